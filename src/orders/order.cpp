#include "mildway/orders/order.hpp"

#include "mildway/base/names.hpp"

#include <algorithm>
#include <array>

namespace mildway::orders {

namespace {

constexpr std::array<std::string_view, 5> kStates{"open", "planned", "handed-over", "arrived", "cancelled"};

}  // namespace

std::string_view state_name(State state) {
    return kStates[static_cast<std::size_t>(state)];
}

std::string why_not_arriving(const Order& order, Date arrival) {
    if (order.earliest_arrival && arrival < *order.earliest_arrival)
        return "before the earliest day, " + format_day(*order.earliest_arrival);
    if (order.latest_arrival && arrival > *order.latest_arrival)
        return "after the latest day, " + format_day(*order.latest_arrival);
    const bool away =
        std::any_of(order.buyer_away.begin(), order.buyer_away.end(),
                    [&](const DateRange& range) { return range.from <= arrival && arrival <= range.until; });
    return away ? "the buyer is away" : "";
}

std::optional<State> state_of(std::string_view name) {
    return value_named<State>(kStates, name);
}

}  // namespace mildway::orders
