// A plan for another program; docs/cli.md describes every field.
#pragma once

#include "mildway/planning/plan.hpp"

#include <string>

namespace mildway::reports {

/// Changes when a field changes its meaning or goes; new fields may appear at any time.
inline constexpr int kPlanVersion = 2;

[[nodiscard]] std::string plan_json(const planning::Workspace& workspace, const planning::Plan& plan);

}  // namespace mildway::reports
