// Looking at text made for people.
#pragma once

#include <algorithm>
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

/// Columns that a line takes: bytes of UTF-8 that begin a character.
inline auto columns_of(const std::string& line) {
    return std::count_if(line.begin(), line.end(),
                         [](char byte) { return (static_cast<unsigned char>(byte) & 0xC0U) != 0x80U; });
}

/// Line breaks and indents as one blank, to look for sentences however they are broken.
inline std::string flat(const std::string& text) {
    std::string all;
    std::istringstream in(text);
    for (std::string word; in >> word;) all += (all.empty() ? "" : " ") + word;
    return all;
}

}  // namespace mildway::testing
