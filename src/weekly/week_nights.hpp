// Parcels of one night share its luck.
#pragma once

#include "mildway/weekly/week.hpp"

#include <vector>

namespace mildway::weekly {

/// Each night in which two or more of the chosen parcels pass one hub (or, without hubs, one counter), by
/// date.
[[nodiscard]] std::vector<SharedNight> shared_nights(const planning::Workspace& workspace,
                                                     const std::vector<WeekOrder>& orders,
                                                     std::uint64_t seed);

/// That two or more are late when each has a luck of its own.
[[nodiscard]] double chance_of_two_apart(const std::vector<double>& chances);

}  // namespace mildway::weekly
