// A plan as a calendar of the coming weeks, 80 columns wide.
#pragma once

#include "mildway/planning/plan.hpp"

#include <string>

namespace mildway::reports {

/// A grid for each month, Monday first, with a mark for each day asked about; what the marks mean; why days
/// are closed, unsafe or unknown. What frames a plan's text stands around it.
[[nodiscard]] std::string calendar_text(const planning::Workspace& workspace, const planning::Plan& plan);

}  // namespace mildway::reports
