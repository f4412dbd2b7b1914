// The ranking of a plan as a table.
#pragma once

#include "mildway/planning/plan.hpp"

#include <cstddef>
#include <string>

namespace mildway::reports {

/// The first `lines` options, a line each, and what was left out.
[[nodiscard]] std::string plan_table(const planning::Plan& plan, std::size_t lines);

}  // namespace mildway::reports
