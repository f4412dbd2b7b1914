// One option of a plan, and one change to the first, as JSON.
#pragma once

#include "mildway/planning/plan.hpp"

#include <nlohmann/json_fwd.hpp>

namespace mildway::reports {

[[nodiscard]] nlohmann::ordered_json option_json(const planning::Option& option,
                                                 const planning::Workspace& workspace);

/// Its figures are null when they are not known.
[[nodiscard]] nlohmann::ordered_json change_json(const planning::Change& change);

}  // namespace mildway::reports
