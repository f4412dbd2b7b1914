#include "catch.hpp"
#include "room_world.hpp"
#include "small_world.hpp"

#include <algorithm>
#include <cmath>
#include <vector>

using namespace mildway;
using namespace mildway::odds;
using testing::RoomWorld;
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

/// Five hours in a room; 19:00 UTC is noon at Near.
struct RoomTrip {
    RoomTrip(const std::string& fields, Instant packed)
        : rooms({{{"room", fields}},
                 testing::made_air(packed - hours(48), 96,
                                   [](double hour) { return 15 + 8 * std::sin(hour / 3); }),
                 testing::steady_outlook(15, packed - hours(48), 96),
                 packed - hours(2),
                 packed + hours(12)}),
          trip(testing::trip_of({rooms.leg("room", packed, packed + hours(5))})) {}

    [[nodiscard]] std::vector<Assessment> assess(std::span<const BoxModel> boxes) const {
        return assess_trip(testing::always(trip), rooms.world(), boxes,
                           testing::species_with({10, 30}, {5, 35}));
    }

    RoomWorld rooms;
    transit::Trip trip;
};

/// small-38 with outsides of these absorptances.
class Painted {
public:
    Painted(const RoomTrip& at, const std::vector<double>& absorptances)
        : packings_(absorptances.size(), shipped_.packings.find("small-38")) {
        for (std::size_t i = 0; i < packings_.size(); ++i) {
            packings_[i].solar_absorptance = absorptances[i];
            boxes_.emplace_back(packings_[i], shipped_.supplies.warmers, box::Contents{1, 0.015},
                                at.rooms.settings(), 15);
        }
    }
    [[nodiscard]] const std::vector<BoxModel>& boxes() const { return boxes_; }

private:
    testing::ShippedBoxes shipped_;
    std::vector<box::Packing> packings_;
    std::vector<BoxModel> boxes_;
};

const char* const kOpenAir =
    R"("hold_c": 0, "follow": 1, "sun_on_box_w_per_m2": 420, "air_speed_m_per_s": 1)";

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
    auto trip = world.trip(0);
    trip.legs.resize(3);  // before the yard, which follows the uncertain outside air
    const auto boxes = one_box(world, "small-38");
    const auto figures =
        assess_trip(testing::always(trip), world.world(), boxes, testing::species_with({10, 30}, {5, 35}))
            .front()
            .all;
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

TEST_CASE("of boxes assessed together each takes up the sun by its own outside") {
    const RoomTrip noon(kOpenAir, testing::at("2027-06-21T17:00:00Z"));
    const Painted painted(noon, {0.2, 0.9, 0.2, 0.65});
    const auto together = noon.assess(painted.boxes());
    const auto warmest_c = [&](std::size_t i) { return together[i].all.value().warmest_c.p50; };
    CHECK(warmest_c(0) + 1 < warmest_c(3));
    CHECK(warmest_c(3) + 0.3 < warmest_c(1));
    CHECK(warmest_c(2) == warmest_c(0));
    for (std::size_t i = 0; i < together.size(); ++i) {
        const auto alone = noon.assess(std::span(&painted.boxes()[i], 1)).front();
        CHECK(alone.all.value().warmest_c.p95 == together[i].all->warmest_c.p95);
        CHECK(alone.around_warmest_c.p95 == together[i].around_warmest_c.p95);
    }
}

TEST_CASE("at night the outside of a box changes nothing") {
    const RoomTrip night(kOpenAir, testing::at("2027-06-21T05:00:00Z"));
    const Painted painted(night, {0.2, 0.9});
    const auto together = night.assess(painted.boxes());
    CHECK(together[0].all.value().coldest_c.p5 == together[1].all.value().coldest_c.p5);
    CHECK(together[0].all->warmest_c.p95 == together[1].all->warmest_c.p95);
    CHECK(together[0].around_warmest_c.p95 == together[1].around_warmest_c.p95);
}

TEST_CASE("the coldest and warmest air around a box are those of its exposure") {
    const RoomTrip noon(kOpenAir, testing::at("2027-06-21T17:00:00Z"));
    const Painted painted(noon, {0.65});
    const Assessment assessed = noon.assess(painted.boxes()).front();
    const World world = noon.rooms.world();
    const Exposure exposure(noon.trip, world, world.handling->scenarios());
    std::vector<double> coldest, warmest;
    for (std::uint32_t block = 0; block < exposure.blocks(); ++block) {
        const BlockArrays arrays = testing::filled(noon.rooms, noon.trip, 0.65, block);
        for (std::size_t lane = 0; lane < kBlock; ++lane) {
            coldest.push_back(1e9);
            warmest.push_back(-1e9);
            for (int point = 0; point < exposure.points(); ++point) {
                const auto air_c =
                    static_cast<double>(arrays.ambient_c[static_cast<std::size_t>(point) * kBlock + lane]);
                coldest.back() = std::min(coldest.back(), air_c);
                warmest.back() = std::max(warmest.back(), air_c);
            }
        }
    }
    const auto check = [](std::vector<double> values, const Spread& spread) {
        std::sort(values.begin(), values.end());
        const auto near = [&](double share, double quantile) {
            const auto i = static_cast<std::size_t>(share * static_cast<double>(values.size()));
            CHECK(quantile >= values[i - 1]);
            CHECK(quantile <= values[i + 1]);
        };
        near(0.05, spread.p5);
        near(0.5, spread.p50);
        near(0.95, spread.p95);
    };
    check(coldest, assessed.around_coldest_c);
    check(warmest, assessed.around_warmest_c);
    CHECK(assessed.around_warmest_c.p50 > assessed.around_coldest_c.p50 + 5);
}
