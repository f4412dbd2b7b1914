// A first look at many boxes, to tell hopeless ones from those that are worth an assessment.
#pragma once

#include "mildway/odds/assess.hpp"

#include <optional>
#include <span>
#include <vector>

namespace mildway::odds {

/// Not to be shown: of few scenarios, and without errors.
struct Sketch {
    double hours_outside = 0;
    double chance_outside = 0;  ///< of more than 30 minutes outside the safe band
    double chance_harm = 0;
};

/// Every box over one round of scenarios on time and one late by a service day, which stands for all that are
/// late, waiting where most do. Empty where the on-time trip's weather is not known; without late arrivals
/// where only theirs is not.
[[nodiscard]] std::vector<std::optional<Sketch>> sketch_trip(const TripCases& cases, const World& world,
                                                             std::span<const Occupied> boxes);

}  // namespace mildway::odds
