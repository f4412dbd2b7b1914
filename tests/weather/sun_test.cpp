#include "mildway/weather/sun.hpp"

#include "catch.hpp"

#include <cmath>
#include <limits>

using namespace mildway;
using namespace mildway::weather;

namespace {

const Place kSpot{"somewhere", 40.0, -105.0, "America/Denver"};

Instant in_june(int utc_hour) {
    return date::sys_days(date::year(2027) / 6 / 21) + hours(utc_hour);
}

}  // namespace

TEST_CASE("no sun falls at night") {
    CHECK(sun_share(kSpot, in_june(7), 0) == 0);
}

TEST_CASE("under a clear sky the share is the sine of the elevation") {
    CHECK(sun_share(kSpot, in_june(19), 0) == Approx(sun_elevation_sine(kSpot, in_june(19))).margin(1e-12));
}

TEST_CASE("a full cover of cloud leaves a quarter") {
    const double clear = sun_share(kSpot, in_june(19), 0);
    CHECK(sun_share(kSpot, in_june(19), 1) == Approx(0.25 * clear).margin(1e-12));
}

TEST_CASE("half a cover of cloud takes little") {
    // 1 - 0.75 * 0.5^3.4 = 0.92896 by the equation of Kasten and Czeplak (1980)
    CHECK(sun_share(kSpot, in_june(19), 0.5) / sun_share(kSpot, in_june(19), 0) ==
          Approx(0.92896).margin(1e-5));
}

TEST_CASE("unknown cloud counts as a clear sky") {
    const double unknown = std::numeric_limits<double>::quiet_NaN();
    CHECK(sun_share(kSpot, in_june(19), unknown) == sun_share(kSpot, in_june(19), 0));
}

TEST_CASE("the elevation has no jump at the turn of the year") {
    const Instant midnight = date::sys_days(date::year(2027) / 1 / 1);
    const double before = sun_elevation_sine(kSpot, midnight - seconds(1));
    CHECK(std::abs(sun_elevation_sine(kSpot, midnight) - before) < 3e-4);
}
