// Orders out of the tables.
#pragma once

#include "mildway/orders/order_book.hpp"

#include "query.hpp"

#include <vector>

namespace mildway::orders {

/// Whole but for the documents; by id.
[[nodiscard]] std::vector<Order> read_orders(Store& store, State state);
/// The same, of one order; empty when there is none.
[[nodiscard]] std::vector<Order> read_order(Store& store, std::int64_t id);

/// By id.
[[nodiscard]] std::vector<OrderLine> read_lines(Store& store, State state);

/// From the column of its ship date on, in the order of kChoiceColumns.
[[nodiscard]] Choice read_choice(Query& row, int version);

/// Of choices as `c`.
inline constexpr const char* kChoiceColumns =
    "c.ship_date, c.service, c.service_label, c.carrier_label, c.packing, c.packing_label, c.packed, "
    "c.handed_over, c.cut_off, c.promised, c.delivery_date, c.held, c.verdict, c.side, c.hours_outside, "
    "c.chance_outside, c.chance_harm, c.cost_usd, c.chosen, c.weather_issued, c.chosen_by";

}  // namespace mildway::orders
