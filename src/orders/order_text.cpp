#include "order_text.hpp"

#include "mildway/base/csv.hpp"
#include "mildway/base/errors.hpp"
#include "mildway/base/text.hpp"

#include <algorithm>
#include <array>
#include <cstdint>
#include <optional>

#include <fmt/format.h>

namespace mildway::orders {

namespace {

struct Form {
    unsigned mask;
    unsigned mark;
    unsigned more;           ///< bytes that follow
    std::uint32_t smallest;  ///< a smaller one has a shorter form, which must be used
};

/// RFC 3629, 3 and 4.
constexpr std::array<Form, 4> kForms{
    {{0x80, 0x00, 0, 0}, {0xE0, 0xC0, 1, 0x80}, {0xF0, 0xE0, 2, 0x800}, {0xF8, 0xF0, 3, 0x10000}}};

/// The first character, taken off `text`; empty when the bytes are no UTF-8.
std::optional<std::uint32_t> take_character(std::string_view& text) {
    const auto first = static_cast<unsigned char>(text.front());
    for (const Form& form : kForms) {
        if ((first & form.mask) != form.mark) continue;
        if (text.size() <= form.more) return std::nullopt;
        std::uint32_t point = first & ~form.mask;
        for (unsigned i = 1; i <= form.more; ++i) {
            if (starts_character(text[i])) return std::nullopt;
            point = point << 6U | (static_cast<unsigned char>(text[i]) & 0x3FU);
        }
        const bool surrogate = point >= 0xD800 && point <= 0xDFFF;
        if (point < form.smallest || point > 0x10FFFF || surrogate) return std::nullopt;
        text.remove_prefix(form.more + 1);
        return point;
    }
    return std::nullopt;
}

/// C0, DEL, C1; line and paragraph separator; marks, embeddings and isolates of bidirectional text (Unicode
/// Standard Annex 9); the byte order mark.
bool is_unseen(std::uint32_t point) {
    return point < 0x20 || (point >= 0x7F && point <= 0x9F) || point == 0x200E || point == 0x200F ||
           (point >= 0x2028 && point <= 0x202E) || (point >= 0x2066 && point <= 0x2069) || point == 0xFEFF;
}

/// One to three digits, a mark, three digits. Not with a zero in front: nobody parts thousands so.
bool parts_thousands_or_decimals(std::string_view text) {
    if (text.starts_with('+') || text.starts_with('-')) text.remove_prefix(1);
    const std::size_t mark = text.find_first_of(",.");
    if (mark == std::string_view::npos || mark < 1 || mark > 3 || text.size() != mark + 4) return false;
    const auto digit = [](char c) { return c >= '0' && c <= '9'; };
    return text.front() != '0' &&
           std::all_of(text.begin(), text.begin() + static_cast<std::ptrdiff_t>(mark), digit) &&
           std::all_of(text.begin() + static_cast<std::ptrdiff_t>(mark) + 1, text.end(), digit);
}

}  // namespace

std::string text_fault(std::string_view text, const TextLimits& limits) {
    std::size_t count = 0;
    while (!text.empty()) {
        const auto point = take_character(text);
        if (!point) return "is not text in UTF-8";
        if (is_unseen(*point) && !(limits.lines && *point == '\n'))
            return fmt::format("holds the control character U+{:04X}", *point);
        if (++count > limits.characters)
            return fmt::format("is longer than the {} characters expected at most", limits.characters);
    }
    return "";
}

std::string tidy_text(std::string_view text) {
    std::string tidy;
    for (std::size_t i = 0; i < text.size(); ++i) {
        if (text[i] != '\r') {
            tidy += text[i];
        } else if (i + 1 == text.size() || text[i + 1] != '\n') {
            tidy += '\n';
        }
    }
    return std::string(trimmed(tidy));
}

std::optional<double> read_figure(std::string_view text, bool decimal_comma) {
    std::string plain(trimmed(text));
    if (!parts_thousands_or_decimals(plain)) return parse_decimal(plain, decimal_comma);
    const std::size_t mark = plain.find_first_of(",.");
    plain[mark] = '.';
    const double small = parse_decimal(plain, false).value();
    plain.erase(mark, 1);
    const double large = parse_decimal(plain, false).value();
    const std::string one = figure_text(large);
    const std::string other = figure_text(small);
    throw UsageError(
        fmt::format("'{}' may be {} or {}; write {} or {}", trimmed(text), one, other, one, other));
}

std::string figure_text(double value) {
    std::string text = fmt::format("{}", value);
    if (parts_thousands_or_decimals(text)) text += '0';
    return text;
}

std::string_view next_piece(std::string_view& rest) {
    constexpr std::string_view kBetween = " \t\r\n,;";
    const std::size_t first = rest.find_first_not_of(kBetween);
    if (first == std::string_view::npos) return rest = {};
    rest.remove_prefix(first);
    const std::string_view piece = rest.substr(0, rest.find_first_of(kBetween));
    rest.remove_prefix(piece.size());
    return piece;
}

}  // namespace mildway::orders
