// Whether the breeder's limits have room for one choice.
#pragma once

#include "mildway/orders/order.hpp"
#include "mildway/planning/plan.hpp"
#include "mildway/weekly/limits.hpp"

#include <span>
#include <string>
#include <vector>

namespace mildway::weekly {

/// What planning `order` with `option` breaks beside all the other `orders`, a phrase each: "you are away on
/// Tue 2 Mar", "Tue 2 Mar is full (1 a day)", "no warmer 'slow-72h' is left for it"; empty: nothing.
[[nodiscard]] std::vector<std::string> limits_broken_by(const planning::Workspace& workspace,
                                                        const Limits& limits,
                                                        std::span<const orders::Order> orders,
                                                        const orders::Order& order,
                                                        const planning::Option& option);

}  // namespace mildway::weekly
