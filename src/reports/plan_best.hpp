// The first option of a plan in sentences.
#pragma once

#include "mildway/planning/plan.hpp"

#include <string>

namespace mildway::reports {

/// When to do what, how warm and cold the animals may get, what it costs, what being late would mean; or why
/// nothing is known.
[[nodiscard]] std::string plan_best(const planning::Workspace& workspace, const planning::Plan& plan);

}  // namespace mildway::reports
