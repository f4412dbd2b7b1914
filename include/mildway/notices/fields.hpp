// What a template may say: names with texts, yes-or-no flags and lists.
#pragma once

#include <map>
#include <string>
#include <vector>

namespace mildway::notices {

struct Fields {
    using Item = std::map<std::string, std::string>;
    std::map<std::string, std::string> texts;
    std::map<std::string, bool> flags;
    std::map<std::string, std::vector<Item>> lists;
};

}  // namespace mildway::notices
