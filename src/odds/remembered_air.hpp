// Outside air as a place with a memory feels it.
#pragma once

#include "mildway/weather/sampled_weather.hpp"

#include <cstddef>
#include <vector>

namespace mildway::odds {

/// Surroundings::air of one place; `outlook` is the one that `sampled` drew the place from.
[[nodiscard]] std::vector<float> remembered_air(const weather::Outlook& outlook,
                                                const weather::SampledWeather& sampled, std::size_t place,
                                                double lag_hours);

}  // namespace mildway::odds
