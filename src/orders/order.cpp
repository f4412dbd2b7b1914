#include "mildway/orders/order.hpp"

#include "mildway/base/names.hpp"

#include <array>

namespace mildway::orders {

namespace {

constexpr std::array<std::string_view, 5> kStates{"open", "planned", "handed-over", "arrived", "cancelled"};

}  // namespace

std::string_view state_name(State state) {
    return kStates[static_cast<std::size_t>(state)];
}

std::optional<State> state_of(std::string_view name) {
    return value_named<State>(kStates, name);
}

}  // namespace mildway::orders
