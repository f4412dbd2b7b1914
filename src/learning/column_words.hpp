// What the name of a column says of what is in it.
#pragma once

#include "mildway/learning/logger.hpp"

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace mildway::learning {

/// Letters and digits in lower case, cut at everything else; the signs for degrees Celsius and Fahrenheit
/// become "c" and "f".
[[nodiscard]] std::vector<std::string> words_of(std::string_view name);

[[nodiscard]] bool is_date_name(std::string_view name);     ///< a date, perhaps with the clock time
[[nodiscard]] bool is_clock_name(std::string_view name);    ///< a clock time, perhaps with the date
[[nodiscard]] bool is_elapsed_name(std::string_view name);  ///< counted from the beginning of the log
[[nodiscard]] bool is_unix_name(std::string_view name);     ///< counted from the beginning of 1970

/// A temperature of air: not a dew point, an alarm, a lowest or highest value.
[[nodiscard]] bool is_temperature_name(std::string_view name);
[[nodiscard]] bool is_inside_name(std::string_view name);
[[nodiscard]] bool is_outside_name(std::string_view name);

/// The unit that a name or a text beside a number says; empty for none, and for both. A lone c or f counts
/// behind a bracket, a dash, a degree sign or a word for temperature, not in "Probe C".
[[nodiscard]] std::optional<TempUnit> unit_in(std::string_view name);

/// The unit of a column of elapsed time; 0 when its name says none.
[[nodiscard]] seconds elapsed_unit_in(std::string_view name);

/// The offset from UTC that a name says, as in "Date Time, GMT-07:00".
[[nodiscard]] std::optional<seconds> offset_in(std::string_view name);

}  // namespace mildway::learning
