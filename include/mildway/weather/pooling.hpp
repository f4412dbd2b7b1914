// Several forecasts for one place become one.
#pragma once

#include "mildway/weather/outlook.hpp"

#include <vector>

namespace mildway::weather {

/// Weighs each outlook by 1 / error_factor^2 (docs/model.md, "Pooling"), fading out over the last hours of
/// one that ends. At each hour: the weighted mean of their means; a further error of the weighted sd between
/// them; the members of the first ensemble, moved so that their mean is the pooled one. Of snow, ice,
/// thunder, fog and gusts the largest known value; of cloud and wind the first known. `issued` is that of the
/// oldest.
///
/// An outlook with a doubt is left out, with a finding, as long as another has none. Where two cannot both be
/// right (further than kCannotBothBeRightK apart on average over the first five days: one may be in another
/// unit or for another place) the result has a doubt; where they differ much at some hour it has a finding
/// that says when.
///
/// Needs at least one outlook; the first is the preferred one. `place` names and dates in sentences.
[[nodiscard]] Outlook pool(std::vector<Outlook> outlooks, const Place& place);

/// Degrees Fahrenheit taken for Celsius are 8 K or more apart from the truth for all air warmer than -30
/// degC, and two sound forecasts never are on average over days (judgement).
inline constexpr double kCannotBothBeRightK = 8;

/// Apart by this much at some hour is worth a sentence.
inline constexpr double kWorthSayingApartK = 4;

/// Adds hours of a climate outlook behind the last known hour of a forecast, up to its end, and notes from
/// where on they are climate. Where the forecast and the climate cannot both be right (more than
/// kCannotBeThatSeasonK apart on average over five days), sets a doubt.
void extend_with_climate(Outlook& outlook, const Outlook& climate, const Place& place);

/// Daily means stray from a smooth climate by 6 to 7 K (standard deviation, winter, cold interiors); five
/// days of more than three of that are a wrong unit or place (judgement).
inline constexpr double kCannotBeThatSeasonK = 22;

}  // namespace mildway::weather
