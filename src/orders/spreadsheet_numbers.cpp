#include "spreadsheet_numbers.hpp"

#include <algorithm>

#include <fmt/format.h>

namespace mildway::orders {

namespace {

/// Without zeros at both ends: "7" of "007" and "7.00"; empty when it is no plain number.
std::string as_spreadsheet(std::string_view number) {
    constexpr std::string_view kDigits = "0123456789";
    const std::size_t point = std::min(number.find('.'), number.size());
    std::string_view whole = number.substr(0, point);
    std::string_view rest = point == number.size() ? std::string_view{} : number.substr(point + 1);
    if (whole.empty() || whole.find_first_not_of(kDigits) != std::string_view::npos ||
        rest.find_first_not_of(kDigits) != std::string_view::npos)
        return "";
    while (whole.size() > 1 && whole.front() == '0') whole.remove_prefix(1);
    while (!rest.empty() && rest.back() == '0') rest.remove_suffix(1);
    return rest.empty() ? std::string(whole) : fmt::format("{}.{}", whole, rest);
}

}  // namespace

SpreadsheetNumbers::SpreadsheetNumbers(const std::vector<Order>& known) {
    for (const Order& order : known) {
        if (const std::string key = as_spreadsheet(order.number); !key.empty())
            seen_.try_emplace(key, Seen{order.number, 0});
    }
}

std::string SpreadsheetNumbers::fault_of_new(const TableOrder& row) {
    const std::string key = as_spreadsheet(row.number);
    if (key.empty()) return "";
    const auto [at, is_new] = seen_.try_emplace(key, Seen{row.number, row.line});
    if (is_new) return "";
    const Seen& other = at->second;
    return fmt::format(
        "'{}' and '{}' {} are one number to a spreadsheet; did one change it? write it as it was, and make "
        "that "
        "column text",
        row.number, other.number, other.line == 0 ? "of the book" : fmt::format("on line {}", other.line));
}

}  // namespace mildway::orders
