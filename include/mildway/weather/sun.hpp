// How much sun falls on things.
#pragma once

#include "mildway/base/place.hpp"
#include "mildway/base/time.hpp"

namespace mildway::weather {

/// Sine of the sun's elevation above the horizon, -1 to 1; NOAA's low-precision solar position equations
/// (fractional year series for declination and equation of time; good to about 0.3 deg, ample for heat).
[[nodiscard]] double sun_elevation_sine(const Place& place, Instant when);

/// Share, 0 to 1, of a clear noon's overhead sun that reaches a level surface: max(0, sine) * (1 - 0.75
/// cloud^3.4) (Kasten and Czeplak 1980). Unknown cloud (NaN) counts as a clear sky, the cautious side for
/// heat.
[[nodiscard]] double sun_share(const Place& place, Instant when, double cloud_fraction);

}  // namespace mildway::weather
