// What an order must be before it is written.
#pragma once

#include "mildway/orders/order.hpp"

namespace mildway::orders {

/// Throws UsageError naming the field.
void check_order(const Order& order);
/// UsageError unless SQLite can keep the day: of the years 0 to 9999.
void check_day(const Date& day, const char* field);
/// Of taking back or cancelling: text as in a note.
void check_reason(const Order& order, const std::string& why);
void check_outcome(const Order& order, const Outcome& outcome);

}  // namespace mildway::orders
