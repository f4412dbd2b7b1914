#include "mildway/notices/mail_settings.hpp"

#include "mildway/base/mail_address.hpp"

#include <algorithm>

namespace mildway::notices {

namespace {

std::string read_address(const ConfigNode& node, const char* key) {
    std::string address = node.text(key);
    if (!valid_address(address)) {
        node.fail(key,
                  "is no plain e-mail address; expected one such as \"breeder@example.org\", without name or "
                  "brackets");
    }
    return address;
}

bool has_control(const std::string& text) {
    return std::any_of(text.begin(), text.end(),
                       [](char c) { return static_cast<unsigned char>(c) < 0x20 || c == 0x7f; });
}

std::string read_line(const ConfigNode& node, const char* key) {
    std::string line = node.text(key);
    if (line.empty() || has_control(line)) node.fail(key, "is empty or more than one line of text");
    return line;
}

/// Letters, digits, dots, dashes and colons: nothing that would mean something else in a URL.
std::string read_host(const ConfigNode& node) {
    std::string host = node.text("host");
    const bool plain =
        !host.empty() && host.size() <= 253 && std::all_of(host.begin(), host.end(), [](unsigned char c) {
            return std::isalnum(c) != 0 || c == '.' || c == '-' || c == ':';
        });
    if (!plain)
        node.fail("host", "is no name or address of a server; expected one such as \"smtp.example.org\"");
    return host;
}

bool is_loopback(const std::string& host) {
    const bool digits = host.find_first_not_of("0123456789.") == std::string::npos;
    return host == "localhost" || host == "::1" || (digits && host.starts_with("127."));
}

std::filesystem::path read_path(const ConfigNode& node, const char* key,
                                const std::filesystem::path& folder) {
    return folder / read_line(node, key);
}

}  // namespace

MailSettings MailSettings::read(const ConfigNode& node, const std::filesystem::path& folder) {
    MailSettings mail;
    mail.from_name = read_line(node, "from_name");
    mail.from_address = read_address(node, "from_address");
    if (node.has("reply_to")) mail.reply_to = read_address(node, "reply_to");
    mail.host = read_host(node);
    mail.port = node.whole("port", 1, 65535);
    mail.security = static_cast<Security>(node.choice("security", {"tls", "starttls", "none-local-only"}));
    if (mail.security == Security::none_local_only && !is_loopback(mail.host)) {
        node.fail("security",
                  "is 'none-local-only', which is for a server on this computer (localhost); expected 'tls' "
                  "or 'starttls'");
    }
    if (node.has("user")) {
        mail.user = read_line(node, "user");
        mail.password_file = read_path(node, "password_file", folder);
    }
    if (node.has("ca_file")) mail.ca_file = read_path(node, "ca_file", folder);
    mail.answer_timeout_s = node.whole_or("answer_timeout_seconds", mail.answer_timeout_s, 1, 600);
    node.finish();
    return mail;
}

}  // namespace mildway::notices
