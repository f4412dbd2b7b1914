// What stands before and after the choices of a plan, whether they are ranked or laid out by day.
#pragma once

#include "mildway/planning/plan.hpp"

#include <string>

namespace mildway::reports {

/// What is sent and what it can bear; the weather, how old, and what is doubtful about it; packings that a
/// logger has been in; rules that may forbid it all.
[[nodiscard]] std::string plan_head(const planning::Workspace& workspace, const planning::Plan& plan);

/// Questions to ask before shipping, cautions, and credits that the weather's licences ask for.
[[nodiscard]] std::string plan_foot(const planning::Workspace& workspace, const planning::Plan& plan);

/// Packings and services that cannot be used, a sentence each.
[[nodiscard]] std::string left_out_lines(const planning::Plan& plan);

}  // namespace mildway::reports
