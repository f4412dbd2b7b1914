// A plan by day.
#pragma once

#include "mildway/planning/plan.hpp"

#include <string>
#include <vector>

namespace mildway::planning {

/// What one day offers at its best, or why it offers nothing.
struct DayAtBest {
    Date day{};
    const Option* best = nullptr;       ///< of the plan; nullptr: nothing can be shipped
    const ClosedDay* closed = nullptr;  ///< the first service's reason; with no `best`
    bool all_alike = false;             ///< several services are closed, for the same reason in brief
};

/// Every day asked about, in the order of the calendar. Borrows from the plan.
[[nodiscard]] std::vector<DayAtBest> days_of(const Plan& plan);

}  // namespace mildway::planning
