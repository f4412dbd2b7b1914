// Many possible truths of the coming days at several places at once.
#pragma once

#include "mildway/base/place.hpp"
#include "mildway/weather/outlook.hpp"
#include "mildway/weather/shared_draws.hpp"

#include <cstddef>
#include <cstdint>
#include <memory>
#include <span>
#include <vector>

namespace mildway::weather {

/// An outlook and the place it is for.
struct PlaceOutlook {
    Place place;
    Outlook outlook;
};

struct SamplingOptions {
    std::uint32_t scenarios = 2000;  ///< a multiple of 4
    std::uint64_t seed = 1;
    unsigned threads = 1;
};

/// Sampled air temperature, degC, as [place][hour][scenario], contiguous in scenario. Errors of each local
/// day's low and high are drawn (correlated in time and between places), laid linearly between 06:00 and
/// 16:00 local, and a small fast residual (sd 0.6 K, 3 h) is added (docs/model.md, "Forecast error"). Hours
/// the outlook does not know are NaN in every scenario that rests on the member in question.
///
/// The same seed and the same list of places and outlooks give the same draw at a valid time, whatever the
/// window [from, to] and the number of threads. The first place of the list draws as if it were alone; each
/// later place is mixed with those before it, so the order of the list is part of the result. Places closer
/// than kSameSpotKm to an earlier one share its error, and with it that place's zone and climate.
///
/// So lists that begin with the same places can share what is drawn for those (`shared`, the first `common`
/// places), as long as their windows are the same: the draw is the same with and without.
class SampledWeather {
public:
    /// Covers [from, to], widened to whole hours. Throws std::invalid_argument when there is no place, an
    /// outlook has no member, `to` lies before `from`, or the scenarios are none or not a multiple of 4;
    /// UsageError for a place without a known zone.
    SampledWeather(std::span<const PlaceOutlook> places, Instant from, Instant to,
                   const SamplingOptions& options, SharedDraws* shared = nullptr, std::size_t common = 0);

    [[nodiscard]] std::uint32_t scenarios() const { return scenarios_; }
    [[nodiscard]] Instant first_hour() const { return first_hour_; }
    [[nodiscard]] std::uint32_t hour_count() const { return hour_count_; }

    /// The scenarios of one hour; `hour` counts from first_hour().
    [[nodiscard]] std::span<const float> hour(std::size_t place, std::uint32_t hour) const;

    /// The whole block of a place, [hour][scenario].
    [[nodiscard]] std::span<const float> block(std::size_t place) const;

private:
    std::uint32_t scenarios_;
    Instant first_hour_;
    std::uint32_t hour_count_;
    std::vector<std::shared_ptr<const std::vector<float>>> temp_c_;
};

}  // namespace mildway::weather
