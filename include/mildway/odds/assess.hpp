// From a trip and a box to figures.
#pragma once

#include "mildway/care/species.hpp"
#include "mildway/odds/assessment.hpp"
#include "mildway/odds/box_model.hpp"
#include "mildway/odds/world.hpp"
#include "mildway/transit/trip.hpp"

#include <span>
#include <vector>

namespace mildway::odds {

/// One service on one ship date: on time, and late by one and by two service days.
struct TripCases {
    transit::Trip on_time;
    transit::Trip one_late;
    transit::Trip two_late;
    transit::LateOdds odds;
};

/// The latest that any scenario can have the trip end: how far weather has to be sampled.
[[nodiscard]] Instant latest_end(const transit::Trip& trip);

/// Assesses every box on one trip. Arrivals are sampled in strata, on time and one and two days late,
/// weighted by their chances: no luck is spent on how many scenarios happen to be late, and "if late" has
/// figures of its own. The late strata use a quarter and an eighth of the scenarios, the same ones as the
/// on-time stratum begins with.
///
/// Not covered by the forecast: on time -> no figures and a reason; late -> figures without the late arrivals
/// and a reason. Runs on the calling thread; different trips may be assessed at once.
[[nodiscard]] std::vector<Assessment> assess_trip(const TripCases& cases, const World& world,
                                                  std::span<const BoxModel> boxes,
                                                  const care::Species& species);

}  // namespace mildway::odds
