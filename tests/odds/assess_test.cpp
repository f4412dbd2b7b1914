#include "catch.hpp"
#include "small_world.hpp"

#include <cmath>
#include <vector>

using namespace mildway;
using namespace mildway::odds;
using testing::SmallWorld;

namespace {

std::vector<BoxModel> one_box(const SmallWorld& world, const char* packing) {
    std::vector<BoxModel> boxes;
    boxes.push_back(world.box(packing));
    return boxes;
}

Assessment assess(const SmallWorld& world, const care::Species& species, const char* packing = "small-38") {
    return assess_trip(world.cases(), world.world(), one_box(world, packing), species).front();
}

/// Never too cold in a world above 0 degC, always too warm.
const care::Species kAlwaysWarm = testing::species_with({-30, -20}, {-40, 90});

}  // namespace

TEST_CASE("an animal that is always outside spends the whole trip outside") {
    const SmallWorld world({.late_one_day = 0, .late_more_days = 0});
    const Assessment assessment = assess(world, kAlwaysWarm);
    const auto trip = world.trip(0);
    REQUIRE(assessment.all);
    CHECK(assessment.all->hours_warm == Approx(in_hours(trip.end() - trip.packed)).epsilon(1e-4));
    CHECK(assessment.all->hours_cold == 0);
}

TEST_CASE("expected hours weigh on time and late arrivals by their chances") {
    const SmallWorld world({.late_one_day = 0.1, .late_more_days = 0.05});
    const auto hours_of = [&](int late) {
        return in_hours(world.trip(late).end() - world.trip(late).packed);
    };
    const Assessment assessment = assess(world, kAlwaysWarm);
    REQUIRE(assessment.all);
    CHECK(assessment.all->hours_outside.value ==
          Approx(0.85 * hours_of(0) + 0.1 * hours_of(1) + 0.05 * hours_of(2)).epsilon(1e-4));
    REQUIRE(assessment.if_late_one_day);
    CHECK(assessment.if_late_one_day->hours_outside.value == Approx(hours_of(1)).epsilon(1e-4));
}

TEST_CASE("a box in a room it shares its temperature with does not change") {
    // Fourier and energy conservation: no difference and no source, no change; metabolism adds under 0.1 K
    const SmallWorld world(
        {.warm_room_c = 18, .cold_room_c = 18, .outside_c = 18, .late_one_day = 0, .late_more_days = 0});
    auto trip = world.cases();
    trip.on_time.legs.resize(3);  // before the yard, which follows the uncertain outside air
    trip.one_late = trip.two_late = trip.on_time;
    const auto boxes = one_box(world, "small-38");
    const auto figures =
        assess_trip(trip, world.world(), boxes, testing::species_with({10, 30}, {5, 35})).front().all;
    REQUIRE(figures);
    CHECK(figures->coldest_c.p5 == Approx(18).margin(0.01));
    CHECK(figures->warmest_c.p95 == Approx(18).margin(0.15));
}

TEST_CASE("the leg that is cold takes the blame") {
    const SmallWorld world(
        {.warm_room_c = 22, .cold_room_c = 22, .outside_c = -15, .late_one_day = 0, .late_more_days = 0});
    const Assessment assessment = assess(world, testing::species_with({12, 40}, {5, 45}));
    double yard_h = 0, others_h = 0;
    for (const auto& leg : assessment.legs) (leg.leg == "yard" ? yard_h : others_h) += leg.hours_cold;
    CHECK(yard_h > 9);
    CHECK(others_h < 1.5);
}

TEST_CASE("a warmer never makes the coldest moment colder") {
    const SmallWorld world({.outside_c = -5});
    const auto species = testing::species_with({12, 30}, {5, 40});
    const auto without = assess(world, species, "small-38");
    const auto with = assess(world, species, "small-38-1w");
    REQUIRE(without.all);
    REQUIRE(with.all);
    CHECK(with.all->coldest_c.p50 > without.all->coldest_c.p50);
    CHECK(with.all->hours_cold < without.all->hours_cold);
}

TEST_CASE("a forecast that ends before the on time arrival leaves the option unknown") {
    const SmallWorld world({.forecast_hours = 30});
    const Assessment assessment = assess(world, kAlwaysWarm);
    CHECK_FALSE(assessment.all);
    CHECK_FALSE(assessment.if_late_one_day);
    CHECK(assessment.unknown_reason == "the forecast for Far ends Mon 1 Mar 23:00, before the trip does");
}

TEST_CASE("a forecast that ends before late arrivals is said so and they are left out") {
    const SmallWorld world({.late_one_day = 0.1, .late_more_days = 0.05, .forecast_hours = 50});
    const Assessment assessment = assess(world, kAlwaysWarm);
    REQUIRE(assessment.all);
    const auto trip = world.trip(0);
    CHECK(assessment.all->hours_outside.value == Approx(in_hours(trip.end() - trip.packed)).epsilon(1e-4));
    CHECK_FALSE(assessment.if_late_one_day);
    CHECK(assessment.late_unknown_reason.find("the forecast for Far ends") == 0);
}

TEST_CASE("more scenarios shrink the sampling error like the square root") {
    const auto species = testing::species_with({9, 30}, {5, 40});
    const auto error = [&](std::uint32_t scenarios) {
        return assess(SmallWorld({.cold_room_c = 15, .outside_c = 9, .scenarios = scenarios}), species)
            .all->hours_outside.error;
    };
    CHECK(error(256) / error(4096) == Approx(4).epsilon(0.15));
}

TEST_CASE("the estimate moves within its sampling error when the number of scenarios grows") {
    const auto species = testing::species_with({9, 30}, {5, 40});
    const auto estimate = [&](std::uint32_t scenarios) {
        return assess(SmallWorld({.cold_room_c = 15, .outside_c = 9, .scenarios = scenarios}), species)
            .all->hours_outside;
    };
    const Estimate few = estimate(512), many = estimate(8192);
    CHECK(std::abs(few.value - many.value) < 4 * few.error);
}

TEST_CASE("if late has real figures even where nothing is ever late") {
    const SmallWorld world({.late_one_day = 0, .late_more_days = 0});
    const Assessment assessment = assess(world, kAlwaysWarm);
    REQUIRE(assessment.if_late_one_day);
    const auto late = world.trip(1);
    CHECK(assessment.if_late_one_day->hours_outside.value ==
          Approx(in_hours(late.end() - late.packed)).epsilon(1e-4));
}
