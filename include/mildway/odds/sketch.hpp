// A first look at many boxes, to tell hopeless ones from those that are worth an assessment.
#pragma once

#include "mildway/odds/assess.hpp"

#include <optional>
#include <span>
#include <vector>

namespace mildway::odds {

/// Of few scenarios, and without errors: told to nobody but in round numbers.
struct Sketch {
    double hours_outside = 0;
    double hours_cold = 0;      ///< the part of them below the safe band
    double chance_outside = 0;  ///< of more than 30 minutes outside the safe band
    double chance_harm = 0;
    /// Clearly beyond the limits. The figures may then be those of arrivals on time alone, and of half the
    /// scenarios.
    bool hopeless = false;
    double scenarios = 0;  ///< as good as drawn at once from so many
};

/// Chances beyond which nobody wants to know more.
struct SketchLimits {
    double chance_outside = 1;
    double chance_harm = 1;
};

/// Whether they are, by three standard errors or more of a chance that is seen in as many scenarios.
[[nodiscard]] bool clearly_beyond(const Sketch& sketch, const SketchLimits& limits);

/// Every box over one round of scenarios on time and one late by a service day, which stands for all that are
/// late, waiting where most do. Boxes that are hopeless by half a round, or by all that are on time, are not
/// followed further; those that are beyond the limits but not clearly so get three rounds more. Empty where
/// the on-time trip's weather is not known; without late arrivals where only theirs is not.
[[nodiscard]] std::vector<std::optional<Sketch>> sketch_trip(const TripCases& cases, const World& world,
                                                             std::span<const Occupied> boxes,
                                                             const SketchLimits& limits = {});

}  // namespace mildway::odds
