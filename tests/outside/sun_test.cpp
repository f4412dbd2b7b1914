// Where the sun stands, against facts of astronomy that do not come from the equations used.
#include "mildway/weather/sun.hpp"

#include "catch.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

using namespace mildway;
using namespace mildway::weather;

namespace {

Place at(double latitude_deg, double longitude_deg) {
    return {"somewhere", latitude_deg, longitude_deg, ""};
}

double elevation_deg(const Place& place, Instant when) {
    return std::asin(sun_elevation_sine(place, when)) * 180 / std::numbers::pi;
}

/// The sun's greatest elevation of a UTC day, searched by the minute.
double noon_elevation_deg(const Place& place, date::sys_days day) {
    double best = -90;
    for (int minute = 0; minute < 24 * 60; ++minute)
        best = std::max(best, elevation_deg(place, day + minutes(minute)));
    return best;
}

/// Obliquity of the ecliptic, IAU 2006 (84381.406 arc seconds).
constexpr double kObliquityDeg = 23.4393;

}  // namespace

TEST_CASE("at the March equinox the noon sun stands at 90 degrees less the latitude") {
    // 2027-03-20 20:25 UTC; in a day the sun's declination moves by 0.4 deg
    const double latitude = GENERATE(0.0, 32.32, 46.79, 60.0);
    CHECK(noon_elevation_deg(at(latitude, 0), date::year(2027) / 3 / 20) ==
          Approx(90 - latitude).margin(0.5));
}

TEST_CASE("at the solstices the noon sun stands higher or lower by the obliquity") {
    const double latitude = GENERATE(32.32, 46.79, 60.0);
    CHECK(noon_elevation_deg(at(latitude, 0), date::year(2027) / 6 / 21) ==
          Approx(90 - latitude + kObliquityDeg).margin(0.15));
    CHECK(noon_elevation_deg(at(latitude, 0), date::year(2027) / 12 / 22) ==
          Approx(90 - latitude - kObliquityDeg).margin(0.15));
}

TEST_CASE("at the north pole the sun stands at the obliquity all through the June solstice") {
    const int hour = GENERATE(0, 7, 13, 22);
    const Instant when = date::sys_days(date::year(2027) / 6 / 21) + hours(hour);
    CHECK(elevation_deg(at(90, 0), when) == Approx(kObliquityDeg).margin(0.1));
}

TEST_CASE("the sundial is 14 minutes late in February and 16 minutes early in November") {
    // extremes of the equation of time: -14 min 15 s about 11 February, +16 min 25 s about 3 November
    // (Royal Museums Greenwich and others; from memory)
    const auto noon_minute = [](date::sys_days day) {
        int best = 0;
        for (int minute = 660; minute < 780; ++minute) {
            if (sun_elevation_sine(at(0, 0), day + minutes(minute)) >
                sun_elevation_sine(at(0, 0), day + minutes(best))) {
                best = minute;
            }
        }
        return best;
    };
    CHECK(std::abs(noon_minute(date::year(2027) / 2 / 11) - 734) <= 2);
    CHECK(std::abs(noon_minute(date::year(2027) / 11 / 3) - 704) <= 2);
}

TEST_CASE("the sun rises and sets in London at the times of the almanac") {
    // Greenwich, 21 June: 04:43 and 21:21 British Summer Time; the upper edge at the horizon with refraction
    // is a centre 0.833 deg below it (from memory)
    const Place greenwich = at(51.4779, 0.0);
    const date::sys_days day = date::year(2027) / 6 / 21;
    CHECK(elevation_deg(greenwich, day + hours(3) + minutes(43)) == Approx(-0.833).margin(0.3));
    CHECK(elevation_deg(greenwich, day + hours(20) + minutes(21)) == Approx(-0.833).margin(0.3));
}

TEST_CASE("a place to the west sees the same sun later") {
    const Instant noon = date::sys_days(date::year(2027) / 3 / 1) + hours(12);
    CHECK(elevation_deg(at(40, 0), noon) == Approx(elevation_deg(at(40, -90), noon + hours(6))).margin(0.1));
}
