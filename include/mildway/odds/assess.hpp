// From a trip and a box to figures.
#pragma once

#include "mildway/care/species.hpp"
#include "mildway/odds/assessment.hpp"
#include "mildway/odds/box_model.hpp"
#include "mildway/odds/trip_cases.hpp"
#include "mildway/odds/world.hpp"

#include <span>
#include <vector>

namespace mildway::odds {

/// Assesses every box on one trip. Arrivals are sampled in strata, on time and one and two days late,
/// weighted by their chances: no luck is spent on how many scenarios happen to be late, and "if late" has
/// figures of its own. The late strata use a quarter and an eighth of the scenarios, shared among the waits
/// and rounded to whole rounds each, at least one, the same ones as the on-time stratum begins with.
///
/// Not covered by the forecast: on time -> no figures and a reason; late -> figures without the late arrivals
/// and a reason. Runs on the calling thread; different trips may be assessed at once.
[[nodiscard]] std::vector<Assessment> assess_trip(const TripCases& cases, const World& world,
                                                  std::span<const BoxModel> boxes,
                                                  const care::Species& species);

/// A box and whose animals are in it.
struct Occupied {
    const BoxModel* box = nullptr;
    const care::Species* species = nullptr;
};

/// The same for boxes of different species, which share the trip's surroundings.
[[nodiscard]] std::vector<Assessment> assess_trip(const TripCases& cases, const World& world,
                                                  std::span<const Occupied> boxes);

}  // namespace mildway::odds
