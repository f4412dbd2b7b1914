// Rules of law and papers on a lane of the workspace.
#pragma once

#include "mildway/planning/plan.hpp"

#include <optional>
#include <vector>

namespace mildway::planning {

/// From the workspace's origin through its counter and the services' hubs to the destination: every state on
/// the way counts. `shell_mm`, the carapace of each animal where it was measured, may be empty.
[[nodiscard]] std::vector<care::Rule> lane_rules(const Workspace& workspace, const care::Species& species,
                                                 const Place& destination,
                                                 const std::vector<const transit::Service*>& services,
                                                 const std::vector<std::optional<double>>& shell_mm = {});

/// Of what a plan asks about.
[[nodiscard]] std::vector<care::Rule> lane_rules(const Workspace& workspace, const PlanRequest& request);

}  // namespace mildway::planning
