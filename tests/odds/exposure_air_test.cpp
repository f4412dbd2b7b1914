// The air around a parcel, against the formula of transit/setting.hpp worked out here by other means.
#include "mildway/box/films.hpp"
#include "mildway/weather/sun.hpp"

#include "catch.hpp"
#include "room_world.hpp"

#include <algorithm>
#include <cmath>
#include <cstring>

using namespace mildway;
using namespace mildway::odds;
using mildway::testing::at;
using mildway::testing::filled;
using mildway::testing::made_air;
using mildway::testing::RoomWorld;
using mildway::testing::trip_of;
using transit::Role;

namespace {

/// Denver's clocks go forward at 09:00 UTC on 14 March 2027, in the middle of the trips here.
const Instant kFirst = at("2027-03-13T00:00:00Z");
const Instant kPacked = at("2027-03-14T02:00:00Z");

double wavy_c(double hour) {
    return 12 + 8 * std::sin(hour / 4);
}

RoomWorld world_with(const std::vector<testing::RoomText>& rooms, unsigned threads = 1) {
    return RoomWorld({rooms, made_air(kFirst, 120, wavy_c),
                      made_air(kFirst, 120, [](double hour) { return 25 - wavy_c(hour); }),
                      kPacked - hours(2), kFirst + hours(100), 256, threads});
}

constexpr const char* kLot = R"("hold_c": 20, "hold_spread_k": 3, "follow": 0.8, "heated_to_c": 9,
    "heated_to_spread_k": 1, "sun_lift_k": 14, "sun_lift_spread_k": 6, "air_speed_m_per_s": 0.5)";

std::string with(const std::string& fields, const std::string& more) {
    return fields + ", " + more;
}

double ambient(const BlockArrays& arrays, std::size_t point, std::size_t lane) {
    return static_cast<double>(arrays.ambient_c[point * kBlock + lane]);
}

/// One leg of 24 h on the quarter hours: a point each, at exact times.
transit::Trip day_in(const RoomWorld& rooms, const std::string& room) {
    return trip_of({rooms.leg(room, kPacked, kPacked + hours(24))});
}

}  // namespace

TEST_CASE("without memory and soak the air follows outside and sun of the moment") {
    const RoomWorld rooms = world_with({{"lot", kLot}});
    const World world = rooms.world();
    const BlockArrays arrays = filled(rooms, day_in(rooms, "lot"));
    const std::size_t lot = rooms.settings().find("lot");
    for (std::size_t point = 0; point <= 96; ++point) {
        const Instant when = kPacked + static_cast<int>(point) * minutes(15);
        const auto hour = static_cast<std::uint32_t>(2 + point / 4);
        const double sun = weather::sun_share(RoomWorld::near_place(), when, 0);
        for (std::size_t lane = 0; lane < kBlock; ++lane) {
            const auto of = [lane](std::span<const float> values) {
                return static_cast<double>(values[lane]);
            };
            const double part = static_cast<double>(point % 4) / 4;
            const double outside =
                (1 - part) * of(rooms.sampled().hour(0, hour)) + part * of(rooms.sampled().hour(0, hour + 1));
            const double hold = of(world.handling->hold_c(lot));
            const double air = hold + 0.8 * (outside - hold) + of(world.handling->sun_lift_k(lot)) * sun;
            CHECK(ambient(arrays, point, lane) ==
                  Approx(std::max(of(world.handling->heated_to_c(lot)), air)).margin(2e-4));
        }
    }
}

TEST_CASE("a lag of nearly nothing changes nearly nothing") {
    const RoomWorld rooms = world_with({{"lot", kLot}, {"lots", with(kLot, R"("lag_hours": 0.001)")}});
    const auto at_once = rooms.surroundings().sun(0, 0);
    const auto memory = rooms.surroundings().air(0, 0.001);
    for (std::size_t i = 0; i < memory.size(); ++i)
        CHECK(memory[i] == Approx(rooms.sampled().block(0)[i]).margin(0.01));
    CHECK(rooms.surroundings().sun(0, 0.001).at(kPacked + hours(14)) ==
          Approx(at_once.at(kPacked + hours(14))).margin(0.001));
}

TEST_CASE("a place that remembers follows the air and sun that it remembers") {
    const double lag_h = 3;
    const RoomWorld rooms = world_with({{"hall", with(kLot, R"("lag_hours": 3)")}});
    const World world = rooms.world();
    const BlockArrays arrays = filled(rooms, day_in(rooms, "hall"));
    const std::size_t hall = rooms.settings().find("hall");
    const std::size_t width = rooms.sampled().scenarios();
    for (std::size_t hour = 0; hour <= 24; ++hour) {
        const float sun = rooms.surroundings().sun(0, lag_h).at(kPacked + hours(static_cast<int>(hour)));
        for (std::size_t lane = 0; lane < kBlock; ++lane) {
            const float hold = world.handling->hold_c(hall)[lane];
            const float outside = rooms.surroundings().air(0, lag_h)[(hour + 2) * width + lane];
            const float air = hold + 0.8f * (outside - hold) + world.handling->sun_lift_k(hall)[lane] * sun;
            CHECK(ambient(arrays, 4 * hour, lane) ==
                  Approx(std::max(world.handling->heated_to_c(hall)[lane], air)).margin(2e-4));
        }
    }
}

TEST_CASE("a closed place that neither follows nor has sun is the same with a lag") {
    const std::string kept = R"("hold_c": 7, "hold_spread_k": 2, "follow": 0, "air_speed_m_per_s": 0.5)";
    const RoomWorld rooms = world_with({{"store", with(kept, R"("lag_hours": 5)")}});
    const BlockArrays arrays = filled(rooms, day_in(rooms, "store"));
    const auto hold = rooms.world().handling->hold_c(rooms.settings().find("store"));
    for (std::size_t point = 0; point <= 96; ++point)
        CHECK(ambient(arrays, point, 3) == static_cast<double>(hold[3]));
}

TEST_CASE("on the way the memory goes straight from that of one place to that of the other") {
    const RoomWorld rooms =
        world_with({{"trailer", R"("hold_c": 20, "follow": 1, "air_speed_m_per_s": 0.3, "lag_hours": 6)"}});
    const auto trip =
        trip_of({rooms.leg("trailer", kPacked, kPacked + hours(8), Role::origin, Role::destination)});
    const BlockArrays arrays = filled(rooms, trip);
    const std::size_t width = rooms.sampled().scenarios();
    for (std::size_t hour = 0; hour <= 8; ++hour) {
        const float here = rooms.surroundings().air(0, 6)[(hour + 2) * width + 5];
        const float there = rooms.surroundings().air(1, 6)[(hour + 2) * width + 5];
        CHECK(ambient(arrays, 4 * hour, 5) ==
              Approx(here + static_cast<float>(hour) / 8 * (there - here)).margin(1e-3));
    }
}

TEST_CASE("a vehicle closed up when the leg begins builds up its sun by 1 - exp of time over soak") {
    const std::string van = R"("hold_c": 20, "follow": 1, "sun_lift_k": 20, "sun_lift_spread_k": 5,
        "air_speed_m_per_s": 0.2)";
    const RoomWorld rooms = world_with({{"van", van},
                                        {"parked", with(van, R"("soak_minutes": 40)")},
                                        {"yard", R"("hold_c": 20, "follow": 1, "air_speed_m_per_s": 0.2)"}});
    const Instant noon = at("2027-03-14T19:00:00Z");
    const auto stay = [&](const char* room) {
        return filled(rooms, trip_of({rooms.leg("indoors", noon - hours(1), noon),
                                      rooms.leg(room, noon, noon + hours(3))}));
    };
    const BlockArrays parked = stay("parked"), yard = stay("yard");
    const auto lift_k = rooms.world().handling->sun_lift_k(rooms.settings().find("parked"));
    for (std::size_t lane = 0; lane < kBlock; ++lane) {
        CHECK(ambient(parked, 5, lane) == ambient(yard, 5, lane));  // the moment it is closed
        double before = 0;
        for (std::size_t k = 0; k <= 12; ++k) {
            const Instant when = noon + static_cast<int>(k) * minutes(15);
            const double sun = weather::sun_share(RoomWorld::near_place(), when, 0);
            const double gained_k = ambient(parked, 5 + k, lane) - ambient(yard, 5 + k, lane);
            const double share = gained_k / (static_cast<double>(lift_k[lane]) * sun);
            CHECK(share == Approx(1 - std::exp(-15.0 * static_cast<double>(k) / 40)).margin(1e-5));
            CHECK(share >= before);
            before = share;
        }
    }
}

TEST_CASE("a second leg in a parked vehicle begins anew") {
    const RoomWorld rooms = world_with({{"parked", R"("hold_c": 20, "follow": 0, "sun_lift_k": 20,
        "soak_minutes": 40, "air_speed_m_per_s": 0.2)"}});
    const Instant noon = at("2027-03-14T19:00:00Z");
    const BlockArrays arrays =
        filled(rooms, trip_of({rooms.leg("parked", noon, noon + hours(1)),
                               rooms.leg("parked", noon + hours(1), noon + hours(2))}));
    CHECK(ambient(arrays, 4, 0) > 30);
    CHECK(ambient(arrays, 5, 0) == 20);
}

TEST_CASE("sun on the box is absorptance times sun over the outside film") {
    const std::string yard = R"("hold_c": 20, "follow": 1, "air_speed_m_per_s": 1.5)";
    const std::string sun = R"("sun_on_box_w_per_m2": 325, "sun_on_box_spread_w_per_m2": 100)";
    const RoomWorld rooms = world_with({{"yard", with(yard, sun)}});
    const auto trip = day_in(rooms, "yard");
    const auto w_per_m2 = rooms.world().handling->sun_on_box_w_per_m2(rooms.settings().find("yard"));
    const BlockArrays shade = filled(rooms, trip, 0), kraft = filled(rooms, trip, 0.65);
    const double film = box::outside_film(1.5).value();
    for (std::size_t point = 0; point <= 96; ++point) {
        const Instant when = kPacked + static_cast<int>(point) * minutes(15);
        const double share = static_cast<double>(rooms.surroundings().sun_on_box(0).at(when));
        for (std::size_t lane = 0; lane < kBlock; ++lane)
            CHECK(ambient(kraft, point, lane) - ambient(shade, point, lane) ==
                  Approx(0.65 * static_cast<double>(w_per_m2[lane]) / film * share).margin(1e-4));
    }
}

TEST_CASE("sun on the box is linear in absorptance") {
    const RoomWorld rooms = world_with({{"yard", R"("hold_c": 20, "follow": 1, "air_speed_m_per_s": 1,
        "sun_on_box_w_per_m2": 300, "sun_on_box_spread_w_per_m2": 90)"}});
    const auto trip = day_in(rooms, "yard");
    const BlockArrays none = filled(rooms, trip, 0), all = filled(rooms, trip, 1);
    const double absorptance = GENERATE(0.1, 0.3, 0.65, 0.9);
    const BlockArrays some = filled(rooms, trip, absorptance);
    for (std::size_t point = 0; point <= 96; ++point) {
        const double expected =
            (1 - absorptance) * ambient(none, point, 2) + absorptance * ambient(all, point, 2);
        CHECK(ambient(some, point, 2) == Approx(expected).margin(1e-4));
    }
}

TEST_CASE("sun on the box lies on top of a heated place") {
    const RoomWorld rooms = world_with({{"lobby", R"("hold_c": 5, "follow": 0, "heated_to_c": 19,
        "sun_on_box_w_per_m2": 100, "air_speed_m_per_s": 0.1)"}});
    const Instant noon = at("2027-03-14T19:00:00Z");
    const BlockArrays arrays = filled(rooms, trip_of({rooms.leg("lobby", noon, noon + hours(1))}), 0.5);
    CHECK(ambient(arrays, 0, 0) == Approx(19 + 0.5 * 100 / box::outside_film(0.1).value()).margin(1e-3));
}

TEST_CASE("a parcel packed before the first sampled hour meets its air and the sun of its own time") {
    const std::string sunny =
        R"("hold_c": 20, "follow": 1, "sun_lift_k": 10, "lag_hours": 2, "air_speed_m_per_s": 1)";
    const auto air = made_air(kFirst, 120, wavy_c);
    const Instant sampled = at("2027-03-14T21:00:00Z"), packed = sampled - hours(3);
    const RoomWorld rooms({{{"yard", sunny}}, air, air, sampled, kFirst + hours(100), 256, 1, packed});
    const BlockArrays arrays = filled(rooms, trip_of({rooms.leg("yard", packed, sampled)}));
    const float lift_k = 10 * rooms.surroundings().sun(0, 2).at(packed);
    CHECK(lift_k > 1);
    CHECK(ambient(arrays, 0, 4) == Approx(rooms.surroundings().air(0, 2)[4] + lift_k).margin(1e-4));
}

TEST_CASE("the same bytes come from any number of threads") {
    const std::vector<testing::RoomText> room{{"hall", with(kLot, R"("lag_hours": 3)")}};
    const RoomWorld one = world_with(room, 1), four = world_with(room, 4);
    const BlockArrays a = filled(one, day_in(one, "hall")), b = filled(four, day_in(four, "hall"));
    CHECK(std::memcmp(a.ambient_c.data(), b.ambient_c.data(), a.ambient_c.size() * sizeof(float)) == 0);
}
