// Cells that a spreadsheet cannot take for formulas.
#include "mildway/orders/order_table.hpp"

#include <algorithm>
#include <array>

namespace mildway::orders {

namespace {

/// OWASP, "CSV Injection": = + - @ TAB CR; LF and the wide forms of the first four (U+FF1D, FF0B, FF0D, FF20)
/// are ours, from caution.
constexpr std::array<std::string_view, 11> kDangerous{
    "=", "+", "-", "@", "\t", "\r", "\n", "\xEF\xBC\x9D", "\xEF\xBC\x8B", "\xEF\xBC\x8D", "\xEF\xBC\xA0"};

bool begins_dangerously(std::string_view text) {
    return std::any_of(kDangerous.begin(), kDangerous.end(),
                       [&](std::string_view mark) { return text.starts_with(mark); });
}

/// An apostrophe that unguarded_cell() takes off.
bool begins_guarded(std::string_view text) {
    if (!text.starts_with('\'')) return false;
    text.remove_prefix(1);
    return text.starts_with('\'') || begins_dangerously(text);
}

}  // namespace

std::string guarded_cell(std::string_view text) {
    const bool guard = begins_dangerously(text) || begins_guarded(text);
    return (guard ? "'" : "") + std::string(text);
}

std::string_view unguarded_cell(std::string_view cell) {
    return begins_guarded(cell) ? cell.substr(1) : cell;
}

}  // namespace mildway::orders
