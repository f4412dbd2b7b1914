// A plan day by day.
#pragma once

#include "mildway/planning/plan.hpp"

#include <string>

namespace mildway::reports {

/// What each day offers at its best, or why it offers nothing, in the order of the calendar, a line each.
[[nodiscard]] std::string plan_days(const planning::Plan& plan);

}  // namespace mildway::reports
