// The weather that a report of many places rests on.
#pragma once

#include "mildway/planning/stage.hpp"

#include <string>
#include <vector>

namespace mildway::reports {

/// "Weather of 8 places; the oldest, of Las Cruces NM, is 3 h old."; without an age where all are issued
/// later than `now`; empty without any.
[[nodiscard]] std::string age_line(const std::vector<planning::PlaceWeather>& weather, Instant now);

/// Credits that the sources' licences ask for, each once, after an empty line; empty without any.
[[nodiscard]] std::string credit_lines(const std::vector<planning::PlaceWeather>& weather);

}  // namespace mildway::reports
