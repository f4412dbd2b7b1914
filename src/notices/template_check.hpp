// Whether a template can be filled: every tag of it is known.
#pragma once

#include "mildway/notices/fields.hpp"

#include <map>
#include <string>

namespace mildway::notices {

/// A template of one folder and the parts it may include, by file name.
struct TemplateFiles {
    std::string folder;  ///< for messages
    const std::map<std::string, std::string>& texts;
    std::string ending;  ///< ".txt.mustache" or ".html.mustache"
};

/// Throws InputError with file and line, as Templates::load says. `known` are the fields of the kind; lists
/// hold at least one item.
void check_template(const TemplateFiles& files, const std::string& name, const Fields& known);

}  // namespace mildway::notices
