// The starter's vehicle against published temperatures inside vehicles.
#include "mildway/transit/setting.hpp"

#include "catch.hpp"

#include <cmath>

using namespace mildway;
using namespace mildway::transit;

namespace {

Setting vehicle() {
    const auto settings = Settings::read(ConfigNode::load(MILDWAY_SOURCE_DIR "/config/settings.json"));
    return settings.at(settings.find("vehicle"));
}

/// Typical temperature in the vehicle (transit/setting.hpp), and with the sun's lift some spreads above its
/// mean.
double inside_c(const Setting& setting, double outside_c, double sun_share, double spreads = 0) {
    const double lift_k = setting.sun_lift_k + spreads * setting.sun_lift_spread_k;
    return setting.hold_c + setting.follow * (outside_c - setting.hold_c) + lift_k * sun_share;
}

constexpr double kSummerNoon = 0.95;  // sine of 72 deg: a June noon at 40 deg north

}  // namespace

TEST_CASE("On a summer day a vehicle is as hot as the fit to trucks says") {
    // ISTA Views, December 2017/January 2018, p. 19: hottest inside = 0.91 Tmax + 11, 19 days; good to 5 K by
    // its own example
    for (const double outside_c : {25.0, 30.0, 35.0, 40.0}) {
        INFO("outside " << outside_c);
        CHECK(std::abs(inside_c(vehicle(), outside_c, kSummerNoon) - (0.91 * outside_c + 11)) < 5);
    }
}

TEST_CASE("A vehicle under way stays below one parked in full sun but can reach it") {
    // Selover et al. 2016, American Meteorological Society: +23 K in an hour's full sun, Phoenix, about 35
    // degC outside
    const double outside_c = 35;
    CHECK(inside_c(vehicle(), outside_c, kSummerNoon) < outside_c + 23);
    CHECK(inside_c(vehicle(), outside_c, kSummerNoon, 2) > outside_c + 17);  // within 6 K, two spreads up
}
