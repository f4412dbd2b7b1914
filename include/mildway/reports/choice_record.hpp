// An option as the order book keeps it.
#pragma once

#include "mildway/orders/order.hpp"
#include "mildway/planning/plan.hpp"

#include <string>
#include <vector>

namespace mildway::reports {

/// The option with its whole assessment as JSON. `weather` is what was known; its oldest outlook of the
/// parcel's places is kept. `chosen_by`: "week" or "plan".
[[nodiscard]] orders::Choice choice_of(const planning::Workspace& workspace, const planning::Option& option,
                                       const Place& destination,
                                       const std::vector<planning::PlaceWeather>& weather, Instant now,
                                       const std::string& chosen_by);

}  // namespace mildway::reports
