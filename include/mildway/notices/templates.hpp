// The breeder's own wording: mustache files in the workspace's folder "messages".
#pragma once

#include "mildway/notices/fields.hpp"
#include "mildway/notices/kind.hpp"

#include <filesystem>
#include <map>
#include <string>

namespace mildway::notices {

/// In the workspace's folder.
inline constexpr const char* kMessagesFolder = "messages";

struct Letter {
    std::string subject;
    std::string text;  ///< lines of at most 72 characters, where words allow
    std::string html;
};

/// KIND.txt.mustache and KIND.html.mustache for every kind, and parts that they share (`{{> name}}` is
/// name.txt.mustache in text, name.html.mustache in HTML). The first line of a text is "Subject: ...".
class Templates {
public:
    /// Reads every file and checks every tag of each: InputError with file and line for a name that a message
    /// of this kind does not have, a section that is not closed, a part that is not there, or a tag that
    /// would let text into HTML as it is.
    [[nodiscard]] static Templates load(const std::filesystem::path& folder);

    [[nodiscard]] Letter letter(Kind kind, const Fields& fields) const;

private:
    std::filesystem::path folder_;
    std::map<std::string, std::string> files_;  ///< text by name
};

}  // namespace mildway::notices
