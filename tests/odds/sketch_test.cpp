// The first look: what it calls hopeless must be so, and the rest must not depend on its shortcuts.
#include "mildway/odds/sketch.hpp"

#include "catch.hpp"
#include "small_world.hpp"

#include <vector>

using namespace mildway;
using namespace mildway::odds;
using testing::SmallWorld;

namespace {

/// small-38 with animals of different needs in a world that is cool outside: the safe band begins at each of
/// these.
class Needs {
public:
    Needs(const SmallWorld& world, const std::vector<double>& safe_from_c) : box_(world.box("small-38")) {
        for (const double from_c : safe_from_c)
            species_.push_back(testing::species_with({from_c, 40}, {-40, 60}));
        for (const care::Species& one : species_) boxes_.push_back({&box_, &one});
    }
    [[nodiscard]] const std::vector<Occupied>& boxes() const { return boxes_; }

private:
    BoxModel box_;
    std::vector<care::Species> species_;
    std::vector<Occupied> boxes_;
};

const std::vector<double> kFrom_c{-20, 0, 4, 4.6, 5, 5.1, 5.2, 5.4, 8, 19};

SmallWorld cool_world(std::uint32_t scenarios = 2048) {
    return SmallWorld({.outside_c = 6, .scenarios = scenarios, .leg_spread_minutes = 40});
}

std::vector<Sketch> sketch(const SmallWorld& world, const Needs& needs, const SketchLimits& limits) {
    std::vector<Sketch> all;
    for (const auto& one : sketch_trip(world.cases(), world.world(), needs.boxes(), limits))
        all.push_back(one.value());
    return all;
}

}  // namespace

TEST_CASE("what a first look calls hopeless an assessment finds beyond the limits, too") {
    const SmallWorld world = cool_world();
    const Needs needs(world, kFrom_c);
    const SketchLimits limits{0.3, 0.02};
    const auto sketches = sketch(world, needs, limits);
    const auto assessed = assess_trip(world.cases(), world.world(), needs.boxes());
    std::size_t hopeless = 0;
    for (std::size_t i = 0; i < kFrom_c.size(); ++i) {
        INFO("safe from " << kFrom_c[i]);
        const Figures& all = assessed[i].all.value();
        if (sketches[i].hopeless) {
            ++hopeless;
            CHECK(all.chance_outside.value > limits.chance_outside);
        } else {
            CHECK(all.chance_outside.value < limits.chance_outside + 0.2);
            CHECK(sketches[i].chance_outside == Approx(all.chance_outside.value).margin(0.15));
            CHECK(sketches[i].hours_outside == Approx(all.hours_outside.value).epsilon(0.2).margin(0.1));
        }
    }
    CHECK(hopeless > 2);
    CHECK(hopeless < kFrom_c.size() - 2);
}

TEST_CASE("limits change nothing for what is well within them") {
    const SmallWorld world = cool_world();
    const Needs needs(world, kFrom_c);
    const auto plain = sketch(world, needs, {});
    const auto limited = sketch(world, needs, {0.3, 0.02});
    for (std::size_t i = 0; i < kFrom_c.size(); ++i) {
        INFO("safe from " << kFrom_c[i]);
        CHECK_FALSE(plain[i].hopeless);
        if (plain[i].chance_outside > 0.3) continue;
        CHECK(limited[i].hours_outside == plain[i].hours_outside);
        CHECK(limited[i].chance_outside == plain[i].chance_outside);
    }
}

TEST_CASE("a harm limit makes a box hopeless as well") {
    const SmallWorld world = cool_world();
    const BoxModel box = world.box("small-38");
    const care::Species frail = testing::species_with({-20, 40}, {18, 60});
    const std::vector<Occupied> boxes{{&box, &frail}};
    const auto look = sketch_trip(world.cases(), world.world(), boxes, {1, 0.02});
    CHECK(look.front().value().hopeless);
    CHECK(look.front().value().hours_outside == 0);
}

TEST_CASE("hours of a first look are told apart by side") {
    const SmallWorld world = cool_world();
    const Needs needs(world, {19});
    const Sketch cold = sketch(world, needs, {}).front();
    CHECK(cold.hours_outside > 1);
    CHECK(cold.hours_cold == cold.hours_outside);
}

TEST_CASE("there is no first look where the weather is not known") {
    const SmallWorld world({.forecast_hours = 20});
    const Needs needs(world, {10});
    CHECK_FALSE(sketch_trip(world.cases(), world.world(), needs.boxes()).front().has_value());
}

TEST_CASE("where the weather of late arrivals is not known those on time stand for all") {
    const SmallWorld all_known({.outside_c = 6});
    const SmallWorld world({.outside_c = 6, .late_one_day = 0.5, .forecast_hours = 48});
    const Needs needs(world, {12});
    const Sketch look = sketch_trip(world.cases(), world.world(), needs.boxes()).front().value();
    const SmallWorld never_late({.outside_c = 6, .late_one_day = 0, .late_more_days = 0});
    CHECK(look.hours_outside == sketch(never_late, needs, {}).front().hours_outside);
    CHECK(look.hours_outside < sketch(all_known, needs, {}).front().hours_outside);
}

TEST_CASE("what is clearly beyond a limit follows from the limit and from how much was seen") {
    const auto beyond = [](double chance_harm, double limit, double scenarios) {
        Sketch seen;
        seen.chance_harm = chance_harm;
        seen.scenarios = scenarios;
        return clearly_beyond(seen, {1, limit});
    };
    // three standard errors: 0.133 and 0.066
    CHECK_FALSE(beyond(0.5 + 0.13, 0.5, 128));
    CHECK(beyond(0.5 + 0.15, 0.5, 128));
    CHECK_FALSE(beyond(0.5 + 0.06, 0.5, 512));
    CHECK(beyond(0.5 + 0.08, 0.5, 512));
    // of small limits, too, more room than their own errors need
    CHECK_FALSE(beyond(0.04, 0.0001, 128));
    CHECK(beyond(0.06, 0.0001, 128));
}
