// Numbers of orders, and what spreadsheets make of them.
#include "mildway/base/text.hpp"
#include "mildway/orders/order_fields.hpp"

#include <regex>

#include <fmt/format.h>

namespace mildway::orders {

std::string number_fault(std::string_view number) {
    static const std::regex good("[A-Za-z0-9#][A-Za-z0-9#._-]{0,39}");
    static const std::regex shortened("[0-9]+([.,][0-9]+)?[eE][+-]?[0-9]+");
    static const std::regex day("[0-9]{1,4}[/.-][0-9]{1,2}[/.-][0-9]{1,4}|[0-9]{1,2}-[A-Za-z]{3}(-[0-9]+)?");
    const std::string text(number);
    if (text.empty()) return "is needed: the order's number";
    if (std::regex_match(text, shortened))
        return fmt::format(
            "'{}' looks like a long number that a spreadsheet has shortened; make that column text", text);
    if (std::regex_match(text, day))
        return fmt::format(
            "'{}' looks like a date that a spreadsheet has made of a number; make that column text", text);
    if (!std::regex_match(text, good))
        return fmt::format("'{}' is no number of an order; expected up to 40 letters, digits and # . _ -",
                           text);
    return "";
}

}  // namespace mildway::orders
