#include "mildway/orders/order_table.hpp"

#include "order_table_columns.hpp"
#include "order_text.hpp"

#include <algorithm>

namespace mildway::orders {

namespace {

constexpr std::string_view kLineEnd = "\r\n";
constexpr std::string_view kUtf8Mark = "\xEF\xBB\xBF";

void add_cell(std::string& row, std::string_view text) {
    if (!row.empty()) row += ',';
    const std::string cell = guarded_cell(text);
    if (cell.find_first_of(",\"\r\n") == std::string::npos && cell.find('\'') != 0) {
        row += cell;
        return;
    }
    row += '"';
    for (const char c : cell) {
        if (c == '"') row += '"';
        row += c;
    }
    row += '"';
}

std::string figure(const std::optional<double>& value) {
    return value ? figure_text(*value) : "";
}

std::string row_of(const Order& order, const Animal& animal, std::size_t count) {
    std::string row;
    add_cell(row, order.number);
    for (std::size_t i = 0; i < kFieldCount; ++i) add_cell(row, field_text(order, static_cast<Field>(i)));
    add_cell(row, std::to_string(count));
    add_cell(row, animal.mark);
    add_cell(row, figure(animal.mass_g));
    add_cell(row, figure(animal.shell_mm));
    add_cell(row, state_name(order.state));
    const bool planned = order.choice.has_value();
    add_cell(row, planned ? format_date(order.choice->ship_date) : "");
    add_cell(row, planned ? format_date(order.choice->delivery_date) : "");
    add_cell(row, planned ? order.choice->service : "");
    add_cell(row, planned ? order.choice->packing : "");
    add_cell(row, planned ? verdict_name(order.choice->verdict) : "");
    return row.append(kLineEnd);
}

}  // namespace

std::string write_order_table(const std::vector<Order>& orders) {
    std::string text;
    for (const auto& column : table_columns()) text += (text.empty() ? "" : ",") + column;
    text += kLineEnd;
    for (const Order& order : orders) {
        for (std::size_t i = 0; i < order.animals.size();) {
            std::size_t next = i + 1;
            while (next < order.animals.size() && order.animals[i] == order.animals[next]) ++next;
            text += row_of(order, order.animals[i], next - i);
            i = next;
        }
    }
    const bool more_than_ascii =
        std::any_of(text.begin(), text.end(), [](char c) { return static_cast<unsigned char>(c) > 0x7F; });
    return more_than_ascii ? std::string(kUtf8Mark) + text : text;
}

}  // namespace mildway::orders
