// Looking at text made for people.
#pragma once

#include <sstream>
#include <string>
#include <vector>

namespace mildway::testing {

inline std::vector<std::string> lines_of(const std::string& text) {
    std::vector<std::string> lines;
    std::istringstream in(text);
    for (std::string line; std::getline(in, line);) lines.push_back(line);
    return lines;
}

/// Line breaks and indents as one blank, to look for sentences however they are broken.
inline std::string flat(const std::string& text) {
    std::string all;
    std::istringstream in(text);
    for (std::string word; in >> word;) all += (all.empty() ? "" : " ") + word;
    return all;
}

}  // namespace mildway::testing
