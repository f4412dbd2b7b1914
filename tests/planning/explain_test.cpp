#include "mildway/planning/explain.hpp"

#include "catch.hpp"
#include "made_options.hpp"
#include "small_world.hpp"

#include <string>
#include <vector>

using namespace mildway;
using namespace mildway::planning;
using testing::make_option;

namespace {

const transit::Service kAir = testing::named_service("air");
const transit::Service kHeld = testing::named_service("held");
const box::Packing kPlain = testing::named_packing("plain");
const box::Packing kWarm = testing::named_packing("warm", true);

/// Minus eight degrees at the buyer's, from Monday on.
const weather::PlaceOutlook kFar{{"Far", 40, -90, "America/Chicago", Climate::elsewhere},
                                 testing::steady_outlook(-8, testing::at("2027-03-01T00:00:00Z"), 48)};
const LaneOutlooks kLane{&kFar, &kFar, &kFar, &kFar};

transit::Leg leg(const char* name, transit::Role from, transit::Role to, const char* start, const char* end) {
    return {name, 0, from, to, testing::at(start), testing::at(end), {}};
}

/// A flight to the destination, then a van there.
transit::Trip short_trip() {
    transit::Trip trip;
    trip.legs = {leg("flight", transit::Role::counter, transit::Role::destination, "2027-03-01T20:00:00Z",
                     "2027-03-02T10:00:00Z"),
                 leg("van", transit::Role::destination, transit::Role::destination, "2027-03-02T10:00:00Z",
                     "2027-03-02T12:00:00Z")};
    return trip;
}

std::vector<std::string> explained(std::vector<Option> best_first) {
    Plan plan;
    plan.options = std::move(best_first);
    return explain(plan, kLane, TemperatureScale::celsius);
}

/// Cold hours on one leg of the short trip.
Option outside_on(const std::string& leg_name, double hours) {
    Option option = make_option({.service = &kAir, .packing = &kPlain, .hours_cold = hours});
    option.trip = short_trip();
    option.assessment.legs = {{leg_name, hours, 0}};
    return option;
}

const Option kGood = make_option({.service = &kAir, .packing = &kPlain, .hours_cold = 0.5});

}  // namespace

TEST_CASE("a beaten second is told by its hours the leg the place and the air outside then") {
    CHECK(explained({kGood, outside_on("van", 2)}).front() ==
          "#1 beats #2 because #2 means 2.0 h too cold instead of 0.5 h too cold, most of it during 'van' at "
          "Far (-8 \u00b0C outside then).");
}

TEST_CASE("a leg between two places is named without a place") {
    CHECK(
        explained({kGood, outside_on("flight", 2)}).front() ==
        "#1 beats #2 because #2 means 2.0 h too cold instead of 0.5 h too cold, most of it during 'flight'.");
}

TEST_CASE("the air outside is left out where the forecast does not reach") {
    Option second = outside_on("van", 2);
    for (auto& part : second.trip.legs) part.start += hours(72), part.end += hours(72);
    CHECK_THAT(explained({kGood, second}).front(), Catch::EndsWith("most of it during 'van' at Far."));
}

TEST_CASE("a tie is said to be one and decided by harm") {
    const Option second =
        make_option({.service = &kAir, .packing = &kPlain, .hours_cold = 0.55, .harm = 0.05});
    CHECK(explained({kGood, second}).front() ==
          "#1 and #2 keep the animals equally well, as far as can be told (0.5 h too cold and 0.6 h too cold "
          "outside the safe band); #1 crosses a harm limit less often (0.0 % of trips against 5.0 %).");
}

TEST_CASE("a tie in harm too is decided by cost") {
    const Option second =
        make_option({.service = &kAir, .packing = &kPlain, .hours_cold = 0.5, .cost_usd = 52.5});
    CHECK_THAT(explained({kGood, second}).front(), Catch::EndsWith("; #1 costs $2.50 less."));
}

TEST_CASE("a tie in cost too is decided by the day") {
    const Option second = make_option({.day = 2, .service = &kAir, .packing = &kPlain, .hours_cold = 0.5});
    CHECK_THAT(explained({kGood, second}).front(), Catch::EndsWith("; #1 leaves earlier."));
}

TEST_CASE("a tie in everything is admitted") {
    const Option second = make_option({.service = &kHeld, .packing = &kPlain, .hours_cold = 0.5});
    CHECK_THAT(explained({kGood, second}).front(), Catch::EndsWith("; nothing else tells them apart."));
}

TEST_CASE("waiting is recommended when a later day saves the most") {
    const Option best = make_option({.day = 4, .service = &kAir, .packing = &kPlain, .hours_cold = 0.5});
    const Option early = make_option({.day = 1, .service = &kHeld, .packing = &kPlain, .hours_cold = 4});
    const Option other = make_option({.day = 4, .service = &kHeld, .packing = &kPlain, .hours_cold = 2});
    CHECK(explained({best, other, early})[1] ==
          "What helps most is waiting: the best that Mon 1 Mar offers is 4.0 h too cold (held, plain).");
}

TEST_CASE("the warmer is praised when it saves the most") {
    const Option best = make_option({.service = &kAir, .packing = &kWarm, .hours_cold = 0.5});
    const Option bare = make_option({.service = &kAir, .packing = &kPlain, .hours_cold = 3});
    CHECK(explained({best, bare})[1] ==
          "What helps most is the warmer: without one, the same day and service means 3.0 h too cold at best "
          "(plain).");
}

TEST_CASE("leaving the warmer out is praised when it saves the most") {
    const Option heated = make_option({.service = &kAir, .packing = &kWarm, .hours_warm = 3});
    CHECK(explained({kGood, heated})[1] ==
          "What helps most is leaving the warmer out: with one, the same day and service means 3.0 h too "
          "warm at "
          "best (warm).");
}

TEST_CASE("the service is named when it saves the most") {
    const Option held = make_option({.service = &kHeld, .packing = &kPlain, .hours_cold = 0.5});
    const Option air = make_option({.service = &kAir, .packing = &kPlain, .hours_cold = 6});
    CHECK(explained({held, air})[1] ==
          "What helps most is the service: by 'air' the same day means 6.0 h too cold at best (plain).");
}

TEST_CASE("a change compares the best with the best of what it gives up") {
    const Option best = make_option({.service = &kAir, .packing = &kWarm, .hours_cold = 0.5});
    const Option bare = make_option({.service = &kAir, .packing = &kPlain, .hours_cold = 3});
    const Option worse = make_option({.service = &kAir, .packing = &kPlain, .hours_cold = 9});
    CHECK_THAT(explained({best, bare, worse})[1], Catch::Contains("3.0 h too cold at best"));
}

TEST_CASE("changes that gain less than a tie are said to gain little") {
    const Option later = make_option({.day = 2, .service = &kAir, .packing = &kPlain, .hours_cold = 0.5});
    const Option held = make_option({.day = 2, .service = &kHeld, .packing = &kPlain, .hours_cold = 0.55});
    const Option early = make_option({.day = 1, .service = &kAir, .packing = &kPlain, .hours_cold = 0.55});
    CHECK(explained({later, held, early})[1] == "Little is gained here by waiting or by the service.");
}

TEST_CASE("nothing is said of changes that were not tried") {
    CHECK(explained({kGood}).empty());
}

TEST_CASE("unknown options are compared with nothing") {
    const Option unknown =
        testing::make_unknown({.day = 1, .service = &kHeld, .packing = &kWarm}, "the forecast is stale");
    CHECK(explained({unknown}).empty());
    CHECK(explained({kGood, unknown}).empty());
}

TEST_CASE("a plan without a fit option says to keep the animal home") {
    Option best = kGood;
    best.verdict = Verdict::unsafe;
    CHECK_THAT(explained({best}).back(), Catch::Contains("keep it home"));
}

TEST_CASE("a plan without a comfortable option says to look again") {
    Option best = kGood;
    best.verdict = Verdict::tight;
    CHECK_THAT(explained({best}).back(), Catch::StartsWith("Nothing tried is comfortable"));
}

TEST_CASE("temperatures are rounded and never minus nought") {
    CHECK(temperature_text(-8.4, TemperatureScale::celsius) == "-8 \u00b0C");
    CHECK(temperature_text(-0.3, TemperatureScale::celsius) == "0 \u00b0C");
    CHECK(temperature_text(-40, TemperatureScale::fahrenheit) == "-40 \u00b0F");
    CHECK(temperature_text(13, TemperatureScale::fahrenheit) == "55 \u00b0F");
}

TEST_CASE("hours are told with their side and as none below three minutes") {
    odds::Figures figures;
    figures.hours_outside.value = 0.049;
    CHECK(hours_text(figures) == "0 h");
    figures.hours_outside.value = 1.25;
    figures.hours_warm = 1.0;
    figures.hours_cold = 0.25;
    CHECK(hours_text(figures) == "1.2 h too warm");
    figures.hours_cold = 1.0;
    figures.hours_warm = 0.25;
    CHECK(hours_text(figures) == "1.2 h too cold");
}
