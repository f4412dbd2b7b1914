// The starter's vehicles against published temperatures inside vehicles.
#include "mildway/odds/surroundings.hpp"
#include "mildway/transit/setting.hpp"

#include "catch.hpp"

#include <cmath>
#include <numbers>
#include <span>
#include <vector>

using namespace mildway;
using namespace mildway::transit;

namespace {

const Settings& starter() {
    static const auto settings = Settings::read(ConfigNode::load(MILDWAY_SOURCE_DIR "/config/settings.json"));
    return settings;
}

const Setting& setting(const char* name) {
    return starter().at(starter().find(name));
}

/// Typical temperature in a vehicle without memory (transit/setting.hpp), and with the sun's lift some
/// spreads above its mean, so many minutes after the leg began.
double inside_c(const Setting& vehicle, double outside_c, double sun_share, double spreads = 0,
                double minutes_closed = 0) {
    const double lift_k = vehicle.sun_lift_k + spreads * vehicle.sun_lift_spread_k;
    const double built_up =
        vehicle.soak_minutes > 0 ? 1 - std::exp(-minutes_closed / vehicle.soak_minutes) : 1;
    return vehicle.hold_c + vehicle.follow * (outside_c - vehicle.hold_c) + lift_k * sun_share * built_up;
}

constexpr double kSummerNoon = 0.95;  // sine of 72 deg: a June noon at 40 deg north

}  // namespace

TEST_CASE("On a summer day a vehicle is as hot as the fit to trucks says") {
    // ISTA Views, December 2017/January 2018, p. 19: hottest inside = 0.91 Tmax + 11, 19 days; good to 5 K by
    // its own example
    for (const double outside_c : {25.0, 30.0, 35.0, 40.0}) {
        INFO("outside " << outside_c);
        CHECK(std::abs(inside_c(setting("vehicle"), outside_c, kSummerNoon) - (0.91 * outside_c + 11)) < 5);
    }
}

TEST_CASE("A vehicle under way stays below one parked in full sun but can reach it") {
    // Selover et al. 2016, American Meteorological Society: +23 K in an hour's full sun, Phoenix, about 35
    // degC outside
    const double outside_c = 35;
    CHECK(inside_c(setting("vehicle"), outside_c, kSummerNoon) < outside_c + 23);
    CHECK(inside_c(setting("vehicle"), outside_c, kSummerNoon, 2) > outside_c + 17);  // within 6 K
}

TEST_CASE("A parked vehicle gains in an hour what was measured in the sun and in shade") {
    // Selover et al. 2016, hot clear days: 23 K and 13 K, good to 6 K. The setting takes the sun as one
    // spread above its mean and shade as one below.
    const Setting& parked = setting("parked-vehicle");
    const double outside_c = 30;
    const auto gained_k = [&](double spreads) {
        return inside_c(parked, outside_c, kSummerNoon, spreads, 60) - outside_c;
    };
    CHECK(gained_k(1) == Approx(23).margin(6));
    CHECK(gained_k(-1) == Approx(13).margin(6));
    CHECK(gained_k(0) > 13);
    CHECK(gained_k(0) < 23);
}

TEST_CASE("A parked vehicle heats up by tenths of a kelvin a minute") {
    // the same source: 0.41 K/min in the sun and 0.25 K/min in shade, taken as means of the hour, so that the
    // first quarter of an hour is faster than both
    const Setting& parked = setting("parked-vehicle");
    const double sun = inside_c(parked, 30, kSummerNoon, 1, 15) - 30;
    const double shade = inside_c(parked, 30, kSummerNoon, -1, 15) - 30;
    CHECK(sun / 15 > 0.41);
    CHECK(shade / 15 > 0.25);
}

namespace {

/// The coldest and the warmest of a day.
struct DayInside {
    double coldest_c = 1000;
    double warmest_c = -1000;
    double warmest_hour = 0;  ///< on the clock
};

/// A clear day in Phoenix that repeats itself, from `low_c` at 06:00 to `high_c` at 16:00 and back.
weather::Outlook repeated_day(Instant midnight, double low_c, double high_c, int days) {
    weather::Outlook outlook;
    outlook.source = "made up for a test";
    outlook.issued = outlook.first_hour = midnight;
    outlook.error_factor = 0;
    outlook.temp_c.resize(1);
    for (int i = 0; i < 24 * days; ++i) {
        const double since_low = std::fmod(i + 18, 24);
        const double turn = since_low <= 10 ? since_low / 10 : 1 + (since_low - 10) / 14;
        outlook.temp_c[0].push_back((low_c + high_c) / 2 -
                                    (high_c - low_c) / 2 * std::cos(turn * std::numbers::pi));
        outlook.cloud_fraction.push_back(0);
    }
    return outlook;
}

/// The typical day in a setting after many equal days.
DayInside day_in(const char* name, double low_c, double high_c) {
    const Setting& trailer = setting(name);
    const Place phoenix{"Phoenix AZ", 33.45, -112.07, "America/Phoenix", Climate::elsewhere};
    const Instant midnight = date::sys_days(date::year(2027) / 6 / 20) + hours(7);
    const std::vector<weather::PlaceOutlook> places{{phoenix, repeated_day(midnight, low_c, high_c, 8)}};
    const Instant from = midnight + hours(6 * 24), until = from + hours(25);
    constexpr std::uint32_t kScenarios = 4096;
    const weather::SampledWeather sampled(places, from, until, {kScenarios, 1, 1});
    const odds::Surroundings::Meeting met{starter().find(name), 0};
    const odds::Surroundings surroundings(places, sampled, starter(), std::span(&met, 1), {from, until}, 1);
    DayInside day;
    for (int hour = 0; hour < 24; ++hour) {
        double outside_c = 0;
        for (const float c : surroundings.air(0, trailer.lag_hours)
                                 .subspan(static_cast<std::size_t>(hour) * kScenarios, kScenarios))
            outside_c += static_cast<double>(c) / kScenarios;
        const double sun = static_cast<double>(surroundings.sun(0, trailer.lag_hours).at(from + hours(hour)));
        const double inside = inside_c(trailer, outside_c, sun);
        day.coldest_c = std::min(day.coldest_c, inside);
        if (inside > day.warmest_c) {
            day.warmest_c = inside;
            day.warmest_hour = hour;
        }
    }
    return day;
}

}  // namespace

TEST_CASE("The day in a trailer lies where the fit to trucks says") {
    // ISTA Views, December 2017/January 2018, p. 19: coldest 0.72 Tmin + 16, warmest 0.91 Tmax + 11, 19 days,
    // good to 5 K by its own example; outside 22 to 35 degC
    const DayInside day = day_in("trailer", 22, 35);
    INFO("inside " << day.coldest_c << " to " << day.warmest_c << " degC, warmest at " << day.warmest_hour);
    CHECK(day.coldest_c == Approx(0.72 * 22 + 16).margin(5));
    CHECK(day.warmest_c == Approx(0.91 * 35 + 11).margin(5));
}

TEST_CASE("A trailer is warmest in the hours in which trucks were") {
    // the same source: inside rises from 07 to 14 h, is flat for 3 h, then falls
    const double hour = day_in("trailer", 22, 35).warmest_hour;
    CHECK(hour >= 14);
    CHECK(hour <= 17);
}
