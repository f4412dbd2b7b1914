// How far the truth may be from what an outlook says, by what the outlook rests on (docs/model.md, "Forecast
// error").
#pragma once

#include "mildway/weather/forecast_error.hpp"
#include "mildway/weather/outlook.hpp"

namespace mildway::weather {

/// From here on the outlook tells the season, not the weather.
[[nodiscard]] bool is_climate(const Outlook& outlook, Instant when);

/// Hours from issue to `when`; infinite where nothing is forecast: every figure of the model then takes its
/// limit.
[[nodiscard]] double lead_h(const Outlook& outlook, Instant when);

/// Standard deviation, K, of the error about each member at a low or high: the whole error of a single
/// forecast, or what the members of an ensemble or of past years lack; and the outlook's own extra_error_k.
/// Members that all carry the same value lack it all.
[[nodiscard]] double drawn_sd_k(const Outlook& outlook, Climate climate, Phase phase, Season season,
                                Instant when);

}  // namespace mildway::weather
