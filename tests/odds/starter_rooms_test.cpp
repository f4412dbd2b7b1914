// What the `source` of a starter setting says, on a summer day that repeats itself.
#include "catch.hpp"
#include "room_world.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

using namespace mildway;
using namespace mildway::odds;

namespace {

/// From `low_c` at 03:00 to `high_c` at 15:00, hours since midnight of the clock.
double outside_c(double low_c, double high_c, double hour) {
    return (low_c + high_c) / 2 - (high_c - low_c) / 2 * std::cos((hour - 3) / 12 * std::numbers::pi);
}

struct WarmestMoment {
    double temp_c;
    double hour;
};

/// The typical warmest moment of the starter's hall in June at 40 deg north, by the sun's clock.
WarmestMoment warmest_of_hall(double low_c, double high_c) {
    const auto settings =
        transit::Settings::read(ConfigNode::load(MILDWAY_SOURCE_DIR "/config/settings.json"));
    const transit::Setting& hall = settings.at(settings.find("warehouse"));
    REQUIRE(hall.lag_hours > 0);
    const Instant first = testing::at("2027-06-20T00:00:00Z");
    const auto air =
        testing::made_air(first, 96, [&](double hour) { return outside_c(low_c, high_c, hour); });
    const Place greenwich{"Meridian", 40, 0, "Europe/London", Climate::elsewhere};
    std::vector<weather::PlaceOutlook> places{{greenwich, air}};
    places[0].outlook.error_factor = 0;
    const weather::SampledWeather sampled(places, first + hours(48), first + hours(80), {4096, 1, 1});
    const Surroundings::Meeting met{settings.find("warehouse"), 0};
    const Surroundings surroundings(places, sampled, settings, std::span(&met, 1),
                                    {first + hours(48), first + hours(80)}, 1);
    WarmestMoment warmest{-100, 0};
    for (std::uint32_t hour = 0; hour < 24; ++hour) {
        const auto remembered = surroundings.air(0, hall.lag_hours).subspan(hour * 4096, 4096);
        double mean = 0;
        for (const float c : remembered) mean += static_cast<double>(c) / 4096;
        const Instant when = first + hours(48) + hours(static_cast<int>(hour));
        const double sun = static_cast<double>(surroundings.sun(0, hall.lag_hours).at(when));
        const double inside = hall.hold_c + hall.follow * (mean - hall.hold_c) + hall.sun_lift_k * sun;
        if (inside > warmest.temp_c) warmest = {inside, static_cast<double>(hour)};
    }
    return warmest;
}

}  // namespace

TEST_CASE("at its warmest the starter hall is 2 to 6 K above the warmest air of a summer day") {
    for (const double high_c : {28.0, 30.0, 32.0, 34.0}) {
        CAPTURE(high_c);
        const double above_k = warmest_of_hall(high_c - 12, high_c).temp_c - high_c;
        CHECK(above_k >= 2);
        CHECK(above_k <= 6);
    }
}

TEST_CASE("the starter hall is warmest about 16 h") {
    CHECK(warmest_of_hall(18, 30).hour == Approx(16).margin(1));
}
