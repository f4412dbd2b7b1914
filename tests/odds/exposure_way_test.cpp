// Legs that cover a share of the way between two places, and legs that must end by a closing time.
#include "mildway/weather/sun.hpp"

#include "catch.hpp"
#include "room_world.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

using namespace mildway;
using namespace mildway::odds;
using mildway::testing::at;
using mildway::testing::filled;
using mildway::testing::RoomWorld;
using mildway::testing::trip_of;
using transit::Role;

namespace {

const Instant kFirst = at("2027-03-13T00:00:00Z");
const Instant kPacked = at("2027-03-14T02:00:00Z");

constexpr const char* kOpen = R"("hold_c": 0, "follow": 1, "air_speed_m_per_s": 1)";

RoomWorld open_world() {
    return RoomWorld({{{"open", kOpen}},
                      testing::made_air(kFirst, 120, [](double hour) { return -10 + std::sin(hour); }),
                      testing::made_air(kFirst, 120, [](double hour) { return 20 + std::cos(hour); }),
                      kPacked - hours(2),
                      kFirst + hours(100)});
}

transit::Leg on_the_way(const RoomWorld& rooms, const char* room, double from_share, double to_share,
                        int from_hour, int to_hour) {
    transit::Leg leg = rooms.leg(room, kPacked + hours(from_hour), kPacked + hours(to_hour), Role::origin,
                                 Role::destination);
    leg.stretch.from_share = from_share;
    leg.stretch.to_share = to_share;
    return leg;
}

/// The sampled air of a place at a quarter hour after packing.
double air_c(const RoomWorld& rooms, std::size_t place, int quarter, std::size_t lane) {
    const auto hour = static_cast<std::uint32_t>(2 + quarter / 4);
    const double part = static_cast<double>(quarter % 4) / 4;
    const auto of = [&](std::uint32_t when) {
        return static_cast<double>(rooms.sampled().hour(place, when)[lane]);
    };
    return (1 - part) * of(hour) + part * of(hour + 1);
}

double ambient_c(const BlockArrays& arrays, int point, std::size_t lane) {
    return static_cast<double>(arrays.ambient_c[static_cast<std::size_t>(point) * kBlock + lane]);
}

}  // namespace

TEST_CASE("weather two fifths along the way is two fifths from one place to the other") {
    const RoomWorld rooms = open_world();
    const BlockArrays arrays = filled(rooms, trip_of({on_the_way(rooms, "open", 0.4, 0.4, 0, 8)}));
    for (int quarter = 0; quarter <= 32; ++quarter) {
        for (std::size_t lane = 0; lane < kBlock; ++lane) {
            CHECK(ambient_c(arrays, quarter, lane) ==
                  Approx(0.6 * air_c(rooms, 0, quarter, lane) + 0.4 * air_c(rooms, 1, quarter, lane))
                      .margin(1e-4));
        }
    }
}

TEST_CASE("along a part of the way the weather changes evenly from its one share to its other") {
    const RoomWorld rooms = open_world();
    const BlockArrays arrays = filled(rooms, trip_of({on_the_way(rooms, "open", 0.2, 0.8, 0, 6)}));
    for (int quarter = 0; quarter <= 24; ++quarter) {
        const double share = 0.2 + 0.6 * quarter / 24;
        CHECK(ambient_c(arrays, quarter, 3) ==
              Approx((1 - share) * air_c(rooms, 0, quarter, 3) + share * air_c(rooms, 1, quarter, 3))
                  .margin(1e-4));
    }
}

TEST_CASE("two halves of the way one after the other are the whole way") {
    const RoomWorld rooms = open_world();
    const BlockArrays whole = filled(rooms, trip_of({on_the_way(rooms, "open", 0, 1, 0, 8)}));
    const BlockArrays parts = filled(
        rooms, trip_of({on_the_way(rooms, "open", 0, 0.25, 0, 2), on_the_way(rooms, "open", 0.25, 1, 2, 8)}));
    for (int quarter = 0; quarter <= 32; ++quarter) {
        const int point = quarter <= 8 ? quarter : quarter + 1;  // the joint is a point of both parts
        CHECK(ambient_c(parts, point, 5) == Approx(ambient_c(whole, quarter, 5)).margin(2e-4));
    }
    CHECK(ambient_c(parts, 8, 5) == Approx(ambient_c(parts, 9, 5)).margin(1e-5));
}

TEST_CASE("on the way the sun is that of the nearer place") {
    // 11:00 UTC on the longest day: the sun is up at Far, 81 W, and not at Near, 105 W
    const Instant dawn = at("2027-06-21T10:30:00Z");
    REQUIRE(weather::sun_share(RoomWorld::far_place(), dawn + minutes(30), 0) > 0.01);
    REQUIRE(weather::sun_share(RoomWorld::near_place(), dawn + minutes(45), 0) == 0);
    const RoomWorld rooms(
        {{{"lot", R"("hold_c": 20, "follow": 0, "sun_lift_k": 50, "air_speed_m_per_s": 1)"}},
         testing::steady_outlook(0, dawn - hours(48), 96),
         testing::steady_outlook(0, dawn - hours(48), 96),
         dawn - hours(2),
         dawn + hours(12)});
    const auto lifted_k = [&](double share) {
        transit::Leg leg =
            rooms.leg("lot", dawn + minutes(15), dawn + minutes(45), Role::origin, Role::destination);
        leg.stretch.from_share = leg.stretch.to_share = share;
        return ambient_c(filled(rooms, trip_of({leg})), 1, 0) - 20;
    };
    CHECK(lifted_k(0.4) == Approx(0).margin(1e-4));
    CHECK(lifted_k(0.5) == Approx(0).margin(1e-4));
    CHECK(lifted_k(0.6) > 0.5);
    CHECK(lifted_k(0.6) ==
          Approx(50 * weather::sun_share(RoomWorld::far_place(), dawn + minutes(30), 0)).epsilon(0.02));
}

TEST_CASE("however near to one place on the way both places' forecasts are needed") {
    for (const int gappy : {0, 1}) {
        auto near = testing::steady_outlook(10, kFirst, 120), far = near;
        (gappy == 0 ? near : far).temp_c[0][30] = std::numeric_limits<double>::quiet_NaN();
        const RoomWorld rooms({{{"open", kOpen}}, near, far, kPacked - hours(2), kFirst + hours(100)});
        for (const double share : {0.1, 0.9}) {
            const transit::Trip trip = trip_of({on_the_way(rooms, "open", share, share, 3, 6)});
            const auto gap = Exposure(trip, rooms.world(), 256).first_unknown();
            REQUIRE(gap);
            CHECK(gap->role == (gappy == 0 ? Role::origin : Role::destination));
            CHECK(gap->when == kFirst + hours(30));
        }
    }
}

TEST_CASE("a leg that must end by a time ends by it in every scenario") {
    const RoomWorld rooms = open_world();
    transit::Leg held = rooms.leg("open", kPacked, kPacked + hours(5));
    held.rule.spread_minutes = 60;
    const auto ends_h = [&](const transit::Leg& leg) {
        const transit::Trip trip = trip_of({leg});
        const Exposure exposure(trip, rooms.world(), 256);
        std::vector<double> ends;
        for (std::uint32_t s = 0; s < exposure.scenarios(); ++s)
            ends.push_back(static_cast<double>(exposure.leg_end_s(0, s)) / 3600);
        return ends;
    };
    const auto free = ends_h(held);
    held.latest = kPacked + hours(5) + minutes(30);
    const auto closing = ends_h(held);
    int closed_on = 0;
    for (std::size_t s = 0; s < free.size(); ++s) {
        CHECK(closing[s] <= 5.5 + 1e-6);
        CHECK(closing[s] == Approx(std::min(free[s], 5.5)).margin(1e-5));
        closed_on += free[s] > 5.5;
    }
    CHECK(closed_on > 50);  // beyond half a standard deviation: 31 % of 256
}

TEST_CASE("a leg that ends after some while ends by its latest time too") {
    const RoomWorld rooms = open_world();
    transit::Leg held = rooms.leg("open", kPacked, kPacked + hours(2));
    held.rule.kind = transit::LegEnd::Kind::lasts;
    held.rule.length = minutes(120);
    held.rule.spread_factor = 2;
    held.latest = kPacked + hours(3);
    const transit::Trip trip = trip_of({held});
    const Exposure exposure(trip, rooms.world(), 256);
    float latest_s = 0;
    for (std::uint32_t s = 0; s < exposure.scenarios(); ++s)
        latest_s = std::max(latest_s, exposure.leg_end_s(0, s));
    CHECK(latest_s == Approx(3 * 3600));
}

TEST_CASE("a leg that begins after the closing time is over at once") {
    const RoomWorld rooms = open_world();
    transit::Leg held = rooms.leg("open", kPacked + hours(2), kPacked + hours(2));
    held.latest = kPacked + hours(1);
    const transit::Trip trip = trip_of({rooms.leg("open", kPacked, kPacked + hours(2)), held});
    const Exposure exposure(trip, rooms.world(), 256);
    for (std::uint32_t s = 0; s < exposure.scenarios(); ++s)
        REQUIRE(exposure.leg_end_s(1, s) - exposure.leg_end_s(0, s) == Approx(60));
}
