#include "mildway/orders/order.hpp"

#include <array>

namespace mildway::orders {

namespace {

constexpr std::array<std::string_view, 5> kStates{"open", "planned", "handed-over", "arrived", "cancelled"};

}  // namespace

std::string_view state_name(State state) {
    return kStates[static_cast<std::size_t>(state)];
}

std::optional<State> state_of(std::string_view name) {
    for (std::size_t i = 0; i < kStates.size(); ++i) {
        if (kStates[i] == name) return static_cast<State>(i);
    }
    return std::nullopt;
}

}  // namespace mildway::orders
