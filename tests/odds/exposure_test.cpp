#include "exposure.hpp"

#include "mildway/odds/assess.hpp"

#include "catch.hpp"
#include "room_world.hpp"
#include "small_world.hpp"

#include <limits>

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

namespace {

const Instant kFirst = testing::at("2027-03-01T00:00:00Z");

/// A yard and a hall that remembers; the outlook does not know one hour.
testing::RoomWorld world_with_gap(int gap_hour, Instant sampled_from = kFirst) {
    auto gappy = testing::steady_outlook(10, kFirst, 72);
    gappy.temp_c[0][static_cast<std::size_t>(gap_hour)] = std::numeric_limits<double>::quiet_NaN();
    const std::string open = R"("hold_c": 20, "follow": 0.5, "air_speed_m_per_s": 1)";
    return testing::RoomWorld({{{"yard", open}, {"hall", open + R"(, "lag_hours": 2)"}},
                               gappy,
                               testing::steady_outlook(10, kFirst, 72),
                               sampled_from,
                               kFirst + hours(60)});
}

std::optional<UnknownWeather> unknown_in(const testing::RoomWorld& rooms, const char* room, int from_hour) {
    const transit::Trip trip = testing::trip_of(
        {rooms.leg(room, kFirst + hours(from_hour) + minutes(30), kFirst + hours(from_hour + 2))});
    return Exposure(trip, rooms.world(), 256).first_unknown();
}

}  // namespace

TEST_CASE("a place that remembers needs the hours that its memory reaches back to") {
    const auto rooms = world_with_gap(20);
    for (const int hour : {21, 25, 30}) {
        CAPTURE(hour);
        const auto gap = unknown_in(rooms, "hall", hour);
        REQUIRE(gap);
        CHECK(gap->when == kFirst + hours(20));
        CHECK_FALSE(unknown_in(rooms, "yard", hour));
    }
}

TEST_CASE("what lies further back than a memory reaches may be unknown") {
    CHECK_FALSE(unknown_in(world_with_gap(20), "hall", 31));
}

TEST_CASE("a trip that is called known has air at every point") {
    const auto rooms = world_with_gap(20);
    for (int hour = 21; hour < 40; ++hour) {
        const transit::Trip trip = testing::trip_of(
            {rooms.leg("hall", kFirst + hours(hour) + minutes(30), kFirst + hours(hour + 2))});
        const bool known = !Exposure(trip, rooms.world(), 256).first_unknown();
        bool all_there = true;
        for (const float c : testing::filled(rooms, trip).ambient_c) all_there = all_there && !std::isnan(c);
        CAPTURE(hour);
        CHECK(known == all_there);
    }
}

TEST_CASE("a memory asks no outlook for hours before the weather is sampled") {
    CHECK_FALSE(unknown_in(world_with_gap(20, kFirst + hours(22)), "hall", 23));
}

TEST_CASE("a setting with sun in a world without surroundings is an error of the program") {
    const testing::RoomWorld rooms({{{"lot", R"("hold_c": 20, "follow": 1, "sun_lift_k": 5,
                                       "air_speed_m_per_s": 1)"}},
                                    testing::steady_outlook(10, kFirst, 72),
                                    testing::steady_outlook(10, kFirst, 72),
                                    kFirst,
                                    kFirst + hours(60)});
    World world = rooms.world();
    world.surroundings = nullptr;
    const transit::Trip trip = testing::trip_of({rooms.leg("lot", kFirst, kFirst + hours(2))});
    CHECK_THROWS_AS(Exposure(trip, world, 256), std::logic_error);
}
