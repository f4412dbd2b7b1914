#include "layout.hpp"

#include "mildway/base/text.hpp"

#include <algorithm>

namespace mildway::reports {

namespace {

/// Bytes of the first `columns` characters.
std::size_t bytes_of(std::string_view text, std::size_t columns) {
    std::size_t at = 0;
    for (std::size_t seen = 0; at < text.size(); ++at) {
        if (starts_character(text[at]) && seen++ == columns) break;
    }
    return at;
}

}  // namespace

std::size_t display_width(std::string_view text) {
    return characters(text);
}

std::string fit(std::string_view text, std::size_t width) {
    std::string fitted;
    add_fitted(fitted, text, width);
    return fitted;
}

void add_fitted(std::string& line, std::string_view text, std::size_t width) {
    const std::size_t taken = display_width(text);
    if (taken <= width) {
        line += text;
        line.append(width - taken, ' ');
    } else {
        line += text.substr(0, bytes_of(text, width - 1));
        line += '~';
    }
}

std::string fit_right(std::string_view text, std::size_t width) {
    const std::size_t taken = display_width(text);
    return std::string(taken < width ? width - taken : 0, ' ') + std::string(text);
}

std::string paragraph(std::string_view first, std::string_view text) {
    const std::string indent(display_width(first), ' ');
    std::string all(first);
    std::size_t column = display_width(first);
    bool line_is_empty = true;
    while (!text.empty()) {
        const std::size_t end = std::min(text.find(' '), text.size());
        const std::string_view word = text.substr(0, end);
        text.remove_prefix(std::min(end + 1, text.size()));
        if (word.empty()) continue;
        const std::size_t width = display_width(word);
        if (!line_is_empty && column + 1 + width > kColumns) {
            all += "\n" + indent;
            column = indent.size();
            line_is_empty = true;
        }
        if (!line_is_empty) {
            all += ' ';
            ++column;
        }
        all += word;
        column += width;
        line_is_empty = false;
    }
    return all + "\n";
}

}  // namespace mildway::reports
