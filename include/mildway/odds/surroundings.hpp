// What the places of a plan are like from hour to hour: the sun on them, and the air of those that remember.
#pragma once

#include "mildway/base/time.hpp"
#include "mildway/transit/setting.hpp"
#include "mildway/weather/sampled_weather.hpp"

#include <cstddef>
#include <optional>
#include <span>
#include <vector>

namespace mildway::odds {

/// Shares of full sun at one place, each quarter of an hour; straight lines between.
class SunSeries {
public:
    SunSeries(Instant first, std::vector<float> shares);

    /// Throws std::logic_error outside the time that the series covers.
    [[nodiscard]] float at(Instant when) const;

private:
    Instant first_;
    std::vector<float> shares_;
};

/// From when memories begin to the end of the last trip.
struct TimeSpan {
    Instant from;
    Instant until;
};

/// Worked out once for all options of a plan, and only for the settings and places that its trips bring
/// together: asking for anything else throws std::logic_error. Sun is that of typical clouds; unknown clouds
/// count as a clear sky (weather::sun_share).
class Surroundings {
public:
    /// A setting that is met at a place: indices into the settings and into the sampled places.
    struct Meeting {
        std::size_t setting;
        std::size_t place;
    };

    /// `places` as in `sampled`; meetings may repeat. Sun covers `trips`, air the sampled hours.
    Surroundings(std::span<const weather::PlaceOutlook> places, const weather::SampledWeather& sampled,
                 const transit::Settings& settings, std::span<const Meeting> meetings, TimeSpan trips,
                 unsigned threads);

    /// Share of full overhead sun on a level surface, low-passed by `lag_hours`.
    [[nodiscard]] const SunSeries& sun(std::size_t place, double lag_hours) const;

    /// Share of full sun on a parcel: min(1, 2 sin(elevation)) under the same clouds. Sun from aside falls on
    /// the upright faces, so that a box takes up as much from 30 deg upwards as from overhead: over the five
    /// faces in the air of 330 x 280 x 230 mm, mean of all bearings, a clear sky gives 57, 185, 309, 385,
    /// 420, 372 W/m2 at 5, 15, 30, 45, 60, 90 deg (tests/outside/sol_air_test.cpp).
    [[nodiscard]] const SunSeries& sun_on_box(std::size_t place) const;

    /// Sampled air low-passed by `lag_hours` > 0, degC, [hour][scenario] as SampledWeather::block. What was
    /// before the first sampled hour is the outlook's mean, moved by what the scenario differs from it at
    /// that hour, and before what the outlook knows its first value as if it had lasted. NaN within
    /// reach_hours(lag) after a sampled hour that some member of the outlook does not know, though one before
    /// it knew.
    [[nodiscard]] std::span<const float> air(std::size_t place, double lag_hours) const;

private:
    struct LaggedSun {
        double lag_hours = 0;
        SunSeries series;
    };
    struct LaggedAir {
        double lag_hours = 0;
        std::vector<float> temp_c;
    };
    struct AtPlace {
        std::vector<LaggedSun> sun;
        std::optional<SunSeries> sun_on_box;
        std::vector<LaggedAir> air;
    };

    std::vector<AtPlace> at_;  ///< [place]
};

}  // namespace mildway::odds
