#include "mildway/base/csv.hpp"

#include "mildway/base/errors.hpp"

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <utility>

#include <fmt/format.h>

namespace mildway {

namespace {

constexpr std::string_view kUtf8Mark = "\xEF\xBB\xBF";

bool is_utf16(std::string_view bytes) {
    return bytes.starts_with("\xFF\xFE") || bytes.starts_with("\xFE\xFF");
}

}  // namespace

std::string_view trimmed(std::string_view text) {
    constexpr std::string_view kBlanks = " \t\r\n";
    const std::size_t first = text.find_first_not_of(kBlanks);
    if (first == std::string_view::npos) return {};
    return text.substr(first, text.find_last_not_of(kBlanks) - first + 1);
}

std::string_view csv_text(const std::string& file, std::string_view bytes) {
    if (is_utf16(bytes))
        throw InputError(file, "", 0, "is text in UTF-16; expected UTF-8: save it as CSV in UTF-8");
    if (bytes.starts_with(kUtf8Mark)) bytes.remove_prefix(kUtf8Mark.size());
    if (trimmed(bytes).empty()) throw InputError(file, "", 0, "is empty; expected a table with a header");
    const std::size_t zero = bytes.find('\0');
    if (zero != std::string_view::npos) {
        const auto line =
            1 + std::count(bytes.begin(), bytes.begin() + static_cast<std::ptrdiff_t>(zero), '\n');
        throw InputError(file, "", static_cast<int>(line), "holds a zero byte; expected text");
    }
    return bytes;
}

char csv_separator(std::string_view header_line) {
    constexpr std::array kSeparators{';', '\t', ','};
    std::array<std::size_t, kSeparators.size()> counts{};
    bool quoted = false;
    for (const char c : header_line) {
        if (c == '"') quoted = !quoted;
        const auto* found = std::find(kSeparators.begin(), kSeparators.end(), c);
        if (!quoted && found != kSeparators.end())
            ++counts.at(static_cast<std::size_t>(found - kSeparators.begin()));
    }
    const auto* most = std::max_element(counts.begin(), counts.end());
    return *most == 0 ? ',' : kSeparators.at(static_cast<std::size_t>(most - counts.begin()));
}

CsvReader::CsvReader(std::string file, std::string_view text, CsvFormat format, int first_line)
    : file_(std::move(file)), text_(text), format_(format), line_(first_line) {}

void CsvReader::fail(int line, const std::string& expectation) const {
    throw InputError(file_, "", line, expectation);
}

bool CsvReader::at_line_end() const {
    return at_ == text_.size() || text_[at_] == '\n' || text_[at_] == '\r';
}

void CsvReader::take_line_end() {
    if (at_ == text_.size()) return;
    at_ += text_.substr(at_).starts_with("\r\n") ? 2u : 1u;
    ++line_;
}

bool CsvReader::next(CsvRecord& record) {
    while (at_ < text_.size() && at_line_end()) take_line_end();
    if (at_ == text_.size()) return false;
    if (++records_ > format_.limits.records)
        fail(line_, fmt::format("is beyond the {} records expected at most", format_.limits.records));
    record.line = line_;
    record.cells.clear();
    for (;;) {
        if (record.cells.size() == format_.limits.cells)
            fail(line_, fmt::format("has more than the {} cells expected at most", format_.limits.cells));
        read_cell(record.cells.emplace_back());
        if (at_line_end()) break;
        ++at_;  // the separator
    }
    record.ended = at_ < text_.size();
    take_line_end();
    return true;
}

void CsvReader::append(std::string& cell, char c) const {
    if (cell.size() == format_.limits.cell_bytes) {
        fail(line_, fmt::format("has a cell of more than the {} bytes expected at most; is a quote missing?",
                                format_.limits.cell_bytes));
    }
    cell += c;
}

void CsvReader::read_cell(std::string& cell) {
    if (at_ < text_.size() && text_[at_] == '"') {
        read_quoted(cell);
        return;
    }
    while (!at_line_end() && text_[at_] != format_.separator) {
        if (text_[at_] == '"')
            fail(line_,
                 "has a quote inside a cell; expected the whole cell in quotes, and inner quotes doubled");
        append(cell, text_[at_++]);
    }
}

void CsvReader::read_quoted(std::string& cell) {
    const int began = line_;
    ++at_;
    for (;;) {
        if (at_ == text_.size()) fail(began, "has a quote that is never closed");
        const char c = text_[at_++];
        if (c == '\n') ++line_;
        if (c != '"') {
            append(cell, c);
        } else if (at_ < text_.size() && text_[at_] == '"') {
            append(cell, text_[at_++]);
        } else {
            break;
        }
    }
    if (!at_line_end() && text_[at_] != format_.separator)
        fail(line_, "has text after a quoted cell; expected a separator or the end of the line");
}

std::optional<double> parse_decimal(std::string_view text, bool decimal_comma) {
    std::string digits(trimmed(text));
    if (decimal_comma && std::count(digits.begin(), digits.end(), ',') == 1 &&
        digits.find('.') == std::string::npos) {
        std::replace(digits.begin(), digits.end(), ',', '.');
    }
    const char* first = digits.data();
    const char* last = first + digits.size();
    if (digits.size() > 1 && digits.front() == '+' && digits[1] != '-') ++first;
    double value = 0;
    const auto [end, error] = std::from_chars(first, last, value);
    if (error != std::errc() || end != last || !std::isfinite(value)) return std::nullopt;
    return value;
}

}  // namespace mildway
