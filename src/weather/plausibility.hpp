// Could air have been like that?
#pragma once

#include "hourly.hpp"

#include <string>
#include <vector>

namespace mildway::weather {

/// What air cannot do, as a clause ("200 degC at 2027-03-01T06:00:00Z is outside ..."); empty when the series
/// could be true. Looks for values out of range, jumps between hours, and swings inside a day that point to
/// degrees Fahrenheit labelled as Celsius.
[[nodiscard]] std::string impossible_air(const Hours& span, const std::vector<double>& temp_c);

/// One sentence for each stretch of unknown hours between known ones.
[[nodiscard]] std::vector<std::string> temperature_gaps(const Hours& span, const std::vector<double>& temp_c);

}  // namespace mildway::weather
