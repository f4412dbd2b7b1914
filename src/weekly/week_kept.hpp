// Planned orders that a week leaves as they are.
#pragma once

#include "mildway/weekly/week.hpp"

#include "week_stock.hpp"

#include <optional>
#include <span>
#include <string>
#include <vector>

namespace mildway::weekly {

/// Past ones first, then by day; KeptPlan::chosen_anew is not set.
[[nodiscard]] std::vector<KeptPlan> kept_plans(const planning::Workspace& workspace, Instant now,
                                               std::span<const orders::Order> orders, const Keeping& keeping,
                                               std::span<const std::optional<orders::Reassessment>> checks);

/// What Week::broken says. Days, stock and kept plans of the week must be there.
[[nodiscard]] std::vector<std::string> broken_limits(const planning::Workspace& workspace,
                                                     const Limits& limits,
                                                     std::span<const orders::Order> orders,
                                                     const Keeping& keeping, const Week& week);

}  // namespace mildway::weekly
