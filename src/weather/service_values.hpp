// Units and bounds of the numbers that services send.
#pragma once

#include "mildway/base/json_answer.hpp"

#include "hourly.hpp"

#include <limits>
#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace mildway::weather {

inline constexpr double kNotKnown = std::numeric_limits<double>::quiet_NaN();

/// How a unit becomes ours: value * factor + offset.
struct ServiceUnit {
    std::string_view name;
    double factor;
    double offset = 0;

    [[nodiscard]] double to_ours(double value) const { return value * factor + offset; }
};

/// "the unit is 'K'; expected 'degC' or 'degF'".
[[nodiscard]] std::string unknown_unit(std::string_view given, std::span<const ServiceUnit> units);

/// The unit that `named` names; fails there, listing `units`, when it is none of them.
[[nodiscard]] const ServiceUnit& known_unit(const JsonValue& named, std::span<const ServiceUnit> units);

/// What values may be, in our units: from 0 to `high`.
struct ServiceBounds {
    double high;
    std::string_view unit;
};

inline constexpr ServiceBounds kShareBounds{1, ""};
// The strongest gust ever measured was 113 m/s (Barrow Island 1996, WMO archive of extremes); a mean wind is
// far below.
inline constexpr ServiceBounds kWindBounds{100, " m/s"};
inline constexpr ServiceBounds kGustBounds{115, " m/s"};
inline constexpr ServiceBounds kIceBounds{50, " mm/h"};    // judgement
inline constexpr ServiceBounds kSnowBounds{300, " mm/h"};  // judgement: 150 mm is a record kind of hour
inline constexpr ServiceBounds kWaterBounds{400,
                                            " mm/h"};  // 305 mm fell in 42 minutes once (WMO, from memory)

/// What is wrong with a series of which a known value lies outside, as a clause; empty when none does.
[[nodiscard]] std::string beyond_bounds(const Hours& span, const std::vector<double>& series,
                                        const ServiceBounds& bounds);

/// Fails at `where` when a known value lies outside.
void check_bounds(const JsonValue& where, const Hours& span, const std::vector<double>& series,
                  const ServiceBounds& bounds);

/// Fails at `where` unless `temp_c` could be the air's and holds a value.
void check_air(const JsonValue& where, const Hours& span, const std::vector<double>& temp_c);

/// Glaze of an hour, mm, by a service that does not forecast it: none when nothing falls or the air is above
/// kNoGlazeAboveC; otherwise unknown.
[[nodiscard]] double glaze_not_forecast(double temp_c, double water_mm);

/// Rain freezes on what is below 0 degC; air this warm has no such ground under it for long (judgement).
inline constexpr double kNoGlazeAboveC = 3;

/// Fog that is named without a word that tells how widespread or likely it is (judgement).
inline constexpr double kFogWhenNamed = 0.5;

/// A symbol or code of a thunderstorm says that one is about, not that one strikes here (judgement).
inline constexpr double kThunderWhenNamed = 0.5;

}  // namespace mildway::weather
