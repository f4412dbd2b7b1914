#include "mildway/planning/explain.hpp"

#include "mildway/planning/ranking.hpp"

#include "catch.hpp"
#include "made_options.hpp"
#include "plan_world.hpp"

#include <string>
#include <vector>

using namespace mildway;
using namespace mildway::planning;
using testing::make_option;

namespace {

const transit::Service* service(const char* id) {
    return &testing::starter().services.find(id);
}

const transit::Service* air() {
    return service("night-air");
}

const transit::Service* held() {
    return service("night-air+held");
}

const box::Packing kPlain = testing::named_packing("plain");
const box::Packing kWarm = testing::named_packing("warm", true);

/// Eight degrees below nought everywhere, on the way to Duluth.
const Stage& stage() {
    static const testing::ChangedWeather cold([](const Place&, weather::Outlook& outlook) {
        for (double& temp_c : outlook.temp_c.front()) temp_c = -8;
    });
    static const Stage laid(testing::starter(), cold, testing::request_for({.days = 2, .scenarios = 16}));
    return laid;
}

transit::Trip monday_by(const transit::Service* by) {
    for (const Stage::Trip& trip : stage().trips()) {
        if (trip.service == by) return trip.cases.on_time;
    }
    throw std::runtime_error("no trip");
}

/// What is said of options, best first, and of changes to the best.
std::vector<std::string> explained(std::vector<Option> best_first, std::vector<Change> changes = {},
                                   RankBy by = RankBy::hours_outside) {
    Plan plan;
    plan.options = std::move(best_first);
    plan.changes = std::move(changes);
    plan.request.rank_by = by;
    return explain(plan, testing::starter(), stage());
}

/// Hours on one leg of Monday's trip.
Option outside_on(const std::string& leg_name, double cold_h, double warm_h = 0) {
    Option option =
        make_option({.service = air(), .packing = &kPlain, .hours_cold = cold_h, .hours_warm = warm_h});
    option.trip = monday_by(air());
    option.assessment.legs = {{"packed", 0, 0}, {leg_name, cold_h, warm_h}};
    return option;
}

Option good() {
    return make_option({.service = air(), .packing = &kPlain, .hours_cold = 0.5});
}

Change change(ChangeKind kind, const testing::MadeOption& made) {
    return {kind, make_option(made), nullptr};
}

}  // namespace

TEST_CASE("a beaten second is told by its hours the leg the place the hours and the air outside then") {
    CHECK(explained({good(), outside_on("van", 2)}).front() ==
          "#1 beats #2 because #2 means 2.0 h too cold instead of 0.5 h too cold, most of it during 'van' at "
          "Duluth MN, 08:15 to 09:50 (-8 \u00b0C outside then).");
}

TEST_CASE("a leg between two places is told by both and the clocks of both") {
    CHECK(explained({good(), outside_on("flight to hub", 2)}).front() ==
          "#1 beats #2 because #2 means 2.0 h too cold instead of 0.5 h too cold, most of it during 'flight "
          "to hub' from El Paso TX to St. Louis MO, 21:00 to 01:15.");
}

TEST_CASE("the air outside is left out where the forecast does not reach") {
    Option second = outside_on("van", 2);
    for (auto& part : second.trip.legs) part.start += hours(240), part.end += hours(240);
    CHECK_THAT(explained({good(), second}).front(),
               Catch::EndsWith("most of it during 'van' at Duluth MN, 08:15 to 09:50."));
}

TEST_CASE("a tie is said to be one and decided by harm") {
    const Option second =
        make_option({.service = air(), .packing = &kPlain, .hours_cold = 0.55, .harm = 0.05});
    CHECK(explained({good(), second}).front() ==
          "#1 and #2 keep the animals equally well, as far as can be told (0.5 h too cold and 0.6 h too cold "
          "outside the safe band); #1 crosses a harm limit less often (0.0 % of trips against 5.0 %).");
}

TEST_CASE("a tie between verdicts is decided by the verdict") {
    Option second = make_option({.service = air(), .packing = &kPlain, .hours_cold = 0.5, .cost_usd = 20});
    second.verdict = Verdict::tight;
    CHECK_THAT(explained({good(), second}).front(), Catch::EndsWith("; #1 is comfortable, #2 tight."));
}

TEST_CASE("a tie in harm too is decided by cost") {
    const Option second =
        make_option({.service = air(), .packing = &kPlain, .hours_cold = 0.5, .cost_usd = 52.5});
    CHECK_THAT(explained({good(), second}).front(), Catch::EndsWith("; #1 costs $2.50 less."));
}

TEST_CASE("a tie in cost too is decided by the day") {
    const Option second = make_option({.day = 2, .service = air(), .packing = &kPlain, .hours_cold = 0.5});
    CHECK_THAT(explained({good(), second}).front(), Catch::EndsWith("; #1 leaves earlier."));
}

TEST_CASE("a tie in everything is admitted") {
    const Option second = make_option({.service = held(), .packing = &kPlain, .hours_cold = 0.5});
    CHECK_THAT(explained({good(), second}).front(), Catch::EndsWith("; nothing else tells them apart."));
}

TEST_CASE("a risk that lies in late parcels says so and one too small to tell is not told") {
    Option best = outside_on("van", 0.4);
    best.assessment.legs[1].hours_late = 0.3;
    CHECK_THAT(explained({best}).front(),
               Catch::EndsWith("% of all hours outside, more than half of it when the parcel is late."));
    best.assessment.all->hours_outside.value = 0.04;
    CHECK(explained({best}).empty());
}

TEST_CASE("the risk of the best is told by its worst leg and side") {
    Option best = outside_on("van", 0.4);
    best.assessment.legs[0].hours_cold = 0.1;
    best.assessment.all->hours_outside.value = 0.5;
    CHECK(explained({best}) ==
          std::vector<std::string>{"The risk of #1 lies most with 'van' at Duluth MN, 08:15 to 09:50, on the "
                                   "cold side: 80 % of all hours outside."});
    CHECK_THAT(explained({outside_on("doorstep", 0.1, 0.6)}).front(),
               Catch::EndsWith(
                   "'doorstep' at Duluth MN, 09:50 to 10:35, on the warm side: 100 % of all hours outside."));
}

TEST_CASE("nothing is said of the risk when nothing is outside") {
    CHECK(explained({outside_on("van", 0)}).empty());
}

TEST_CASE("the best single change is the one that leaves the fewest hours") {
    const Option best = make_option({.service = air(), .packing = &kPlain, .hours_cold = 2});
    const std::vector<Change> changes{
        change(ChangeKind::day, {.day = 3, .service = air(), .packing = &kPlain, .hours_cold = 1.5}),
        change(ChangeKind::hold, {.service = held(), .packing = &kPlain, .hours_cold = 0.7}),
        change(ChangeKind::packing, {.service = air(), .packing = &kWarm, .hours_cold = 1.2})};
    CHECK(
        explained({best}, changes) ==
        std::vector<std::string>{"The best single change to #1 is holding at the counter (Night, held): 0.7 "
                                 "h too cold instead of 2.0 h too cold, comfortable."});
}

TEST_CASE("each change is told by what it changes") {
    const Option best = make_option({.service = air(), .packing = &kPlain, .hours_cold = 2});
    const auto told = [&](const Change& one) { return explained({best}, {one}).front(); };
    const auto is = [](const char* what) {
        return Catch::StartsWith(std::string("The best single change to #1 is ") + what + ":");
    };
    CHECK_THAT(told(change(ChangeKind::day, {.day = 3, .service = air(), .packing = &kPlain})),
               is("another day (Wed 3 Mar)"));
    CHECK_THAT(told(change(ChangeKind::service, {.service = service("two-day"), .packing = &kPlain})),
               is("another service (Two-day)"));
    CHECK_THAT(told(change(ChangeKind::packing, {.service = air(), .packing = &kWarm})),
               is("another packing (warm)"));
    CHECK_THAT(told(change(ChangeKind::one_warmer_more, {.service = air(), .packing = &kWarm})),
               is("one warmer more"));
    CHECK_THAT(told(change(ChangeKind::one_warmer_less, {.service = air(), .packing = &kWarm})),
               is("one warmer less"));
}

TEST_CASE("giving up the counter is called leaving at the door") {
    const Option best = make_option({.service = held(), .packing = &kPlain, .hours_cold = 2});
    CHECK_THAT(explained({best}, {change(ChangeKind::hold, {.service = air(), .packing = &kPlain})}).front(),
               Catch::StartsWith("The best single change to #1 is leaving at the door (Night): 0 h"));
}

TEST_CASE("a change that only ties in hours helps when its verdict is better") {
    Option best = make_option({.service = air(), .packing = &kPlain, .hours_cold = 0.5});
    best.verdict = Verdict::tight;
    const Change at_counter =
        change(ChangeKind::hold, {.service = held(), .packing = &kPlain, .hours_cold = 0.55});
    CHECK_THAT(explained({best}, {at_counter}).front(), Catch::StartsWith("The best single change to #1 is"));
    Change no_better = at_counter;
    no_better.option.verdict = Verdict::tight;
    CHECK_THAT(explained({best}, {no_better}).front(), Catch::StartsWith("No single change"));
}

TEST_CASE("when no change helps each is told by what it would mean") {
    Change unsafe = change(ChangeKind::packing, {.service = air(), .packing = &kWarm, .hours_warm = 3});
    unsafe.option.verdict = Verdict::unsafe;
    CHECK(explained({good()}, {change(ChangeKind::day,
                                      {.day = 2, .service = air(), .packing = &kPlain, .hours_cold = 0.45}),
                               unsafe})
              .front() ==
          "No single change to #1 that was tried does better; another day (Tue 2 Mar): 0.5 h too cold, "
          "comfortable; another packing (warm): 3.0 h too warm, unsafe.");
}

TEST_CASE("nothing is said of changes that were not tried") {
    CHECK(explained({good()}).empty());
}

TEST_CASE("unknown options are compared with nothing") {
    const Option unknown =
        testing::make_unknown({.day = 1, .service = held(), .packing = &kWarm}, "the forecast is stale");
    CHECK(explained({unknown}).empty());
    CHECK(explained({good(), unknown}).empty());
}

TEST_CASE("by cost and loss the first is told by its money with the expected loss") {
    Option first = make_option({.service = air(), .packing = &kPlain, .hours_cold = 9, .cost_usd = 40});
    Option second = make_option({.service = held(), .packing = &kPlain, .cost_usd = 45});
    first.expected_loss_usd = 2.5;
    second.expected_loss_usd = 0.25;
    CHECK(explained({first, second}, {}, RankBy::cost_and_loss).front() ==
          "#1 costs $42.50 with the expected loss, #2 $45.25; both are comfortable.");
    second.verdict = Verdict::tight;
    CHECK(explained({first, second}, {}, RankBy::cost_and_loss).front() ==
          "#1 is comfortable, #2 tight; within a verdict, cost and expected loss decide.");
}

TEST_CASE("what was said last when nothing is comfortable may name a calmer option") {
    Option best = make_option({.service = air(), .packing = &kPlain, .hours_cold = 0.5});
    best.verdict = Verdict::unsafe;
    Option calm = make_option({.day = 3, .service = held(), .packing = &kWarm, .hours_warm = 0.8});
    calm.verdict = Verdict::tight;
    calm.rank = 2;
    CHECK(explained({best, calm}).back() ==
          "#2 is tight, though with more time outside: Wed 3 Mar, Night, held, warm.");
}

TEST_CASE("a plan without a fit option says to keep the animal home") {
    Option best = good();
    best.verdict = Verdict::unsafe;
    CHECK_THAT(explained({best}).back(), Catch::Contains("keep it home"));
}

TEST_CASE("a plan without a comfortable option says to look again") {
    Option best = good();
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

TEST_CASE("as many hours and less harm is better and the harm is told") {
    Option best = good();
    best.assessment.all->chance_harm = {0.154, 0.005};
    const testing::MadeOption held{
        .service = air(), .packing = &kPlain, .hours_cold = 0.5, .harm = 0.086, .harm_error = 0.005};
    CHECK_THAT(explained({best}, {change(ChangeKind::hold, held)}).back(),
               Catch::StartsWith("The best single change to #1 is holding at the counter") &&
                   Catch::Contains("past a harm limit on 8.6 % of trips instead of 15.4 %"));
}
