#include "csv.hpp"

#include <algorithm>

namespace mildway::weather {

namespace {

bool is_blank(char c) {
    return c == ' ' || c == '\t' || c == '\r';
}

std::string_view trimmed(std::string_view text) {
    while (!text.empty() && is_blank(text.front())) text.remove_prefix(1);
    while (!text.empty() && is_blank(text.back())) text.remove_suffix(1);
    return text;
}

/// Index of the comma that ends the field at the front; the size of the line for its last field.
std::size_t field_end(std::string_view line) {
    bool quoted = false;
    for (std::size_t i = 0; i < line.size(); ++i) {
        if (line[i] == '"') quoted = !quoted;
        if (line[i] == ',' && !quoted) return i;
    }
    return line.size();
}

std::string_view unquoted(std::string_view field) {
    field = trimmed(field);
    if (field.size() >= 2 && field.front() == '"' && field.back() == '"')
        field = trimmed(field.substr(1, field.size() - 2));
    return field;
}

}  // namespace

bool CsvLines::next(std::vector<std::string_view>& fields) {
    fields.clear();
    std::string_view line;
    while (trimmed(line).empty()) {
        if (rest_.empty()) return false;
        const std::size_t end = std::min(rest_.find('\n'), rest_.size());
        line = rest_.substr(0, end);
        rest_.remove_prefix(std::min(end + 1, rest_.size()));
        ++line_;
    }
    for (;;) {
        const std::size_t end = field_end(line);
        fields.push_back(unquoted(line.substr(0, end)));
        if (end == line.size()) return true;
        line.remove_prefix(end + 1);
    }
}

}  // namespace mildway::weather
