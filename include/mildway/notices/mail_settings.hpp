// Who writes to the buyers, and through which server (mail.json).
#pragma once

#include "mildway/base/config_reader.hpp"

#include <filesystem>
#include <string>

namespace mildway::notices {

/// tls: from the first byte (usually port 465). starttls: the server is made to, or nothing is sent (usually
/// port 587). none_local_only: in the clear, to a server on this computer.
enum class Security { tls, starttls, none_local_only };

struct MailSettings {
    std::string from_name;
    std::string from_address;
    std::string reply_to;  ///< empty: answers go to from_address
    std::string host;
    int port = 0;
    Security security = Security::starttls;
    std::string user;                     ///< empty: the server asks for none
    std::filesystem::path password_file;  ///< beside the file, unless absolute; empty without a user
    std::filesystem::path ca_file;        ///< whom else to trust; empty: the system's authorities alone
    int answer_timeout_s = 120;           ///< how long the server may think before it answers a line

    /// Throws InputError.
    [[nodiscard]] static MailSettings read(const ConfigNode& node, const std::filesystem::path& folder);
    /// Where answers go.
    [[nodiscard]] const std::string& answers_to() const { return reply_to.empty() ? from_address : reply_to; }
};

}  // namespace mildway::notices
