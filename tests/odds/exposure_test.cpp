#include "exposure.hpp"

#include "mildway/odds/assess.hpp"

#include "catch.hpp"
#include "small_world.hpp"

using namespace mildway;
using namespace mildway::odds;

TEST_CASE("no scenario ends after the latest end that weather is sampled for") {
    const testing::SmallWorld world({.scenarios = 8192, .leg_spread_minutes = 200});
    for (const int late : {0, 1, 2}) {
        const transit::Trip trip = world.trip(late);
        const Exposure exposure(trip, world.world(), 8192);
        const double bound_s = static_cast<double>((latest_end(trip) - trip.packed).count());
        double latest_s = 0;
        for (std::uint32_t s = 0; s < exposure.scenarios(); ++s) {
            latest_s = std::max(latest_s, static_cast<double>(exposure.leg_end_s(trip.legs.size() - 1, s)));
        }
        CHECK(latest_s <= bound_s);
        CHECK(latest_s > bound_s - 3600);  // nor is the bound idle: 3 of 8,192 draws lie beyond 3.4 sigma
    }
}

TEST_CASE("a trip that outlasts the sampled weather is an error of the program and not extrapolated") {
    const testing::SmallWorld world({});
    const Instant from = testing::at("2027-03-01T00:00:00Z");
    const weather::SampledWeather short_window(world.world().outlooks, from, from + hours(30), {256, 7, 1});
    World shortened = world.world();
    shortened.sampled = &short_window;
    const transit::Trip trip = world.trip(0);
    CHECK_THROWS_AS(Exposure(trip, shortened, 256).first_unknown(), std::logic_error);
}
