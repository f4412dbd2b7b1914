// Why the ranking is what it is, in sentences.
#pragma once

#include "mildway/planning/plan.hpp"

#include <string>
#include <vector>

namespace mildway::planning {

/// First why the first option beats the second; then the one change of day, packing or service that helps the
/// most, each taken from options that were assessed, none guessed. Empty when nothing is known.
[[nodiscard]] std::vector<std::string> explain(const Plan& plan, const LaneOutlooks& outlooks,
                                               TemperatureScale scale);

/// "-8 °C" or "18 °F", rounded.
[[nodiscard]] std::string temperature_text(double temp_c, TemperatureScale scale);

/// "0.4 h too cold"; "0 h" when less than a tenth of an hour.
[[nodiscard]] std::string hours_text(const odds::Figures& figures);

/// "the van at Duluth MN"; "the flight to the hub" needs no place.
[[nodiscard]] std::string leg_text(const transit::Trip& trip, const std::string& leg,
                                   const LaneOutlooks& outlooks);

}  // namespace mildway::planning
