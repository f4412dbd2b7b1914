// make_plan on the demo's weather: what it refuses, leaves out and calls unknown.
#include "catch.hpp"
#include "plan_world.hpp"

#include <algorithm>
#include <set>

using namespace mildway;
using namespace mildway::planning;
using testing::Order;

namespace {

bool all_unknown(const Plan& plan) {
    return std::all_of(plan.options.begin(), plan.options.end(), [](const Option& option) {
        return option.verdict == Verdict::unknown && !option.assessment.all;
    });
}

Plan planned_at(const char* now, const Order& order = {}) {
    PlanRequest request = testing::request_for(order);
    request.now = *parse_instant(now);
    request.from = local_date(find_zone(testing::starter().counter.zone), request.now);
    return make_plan(testing::starter(), testing::demo_weather(), request);
}

}  // namespace

TEST_CASE("every open day service and packing is an option and none stands twice") {
    const Plan plan = testing::plan_for({.days = 7, .scenarios = 16});
    std::set<std::string> keys;
    for (const Option& option : plan.options) keys.insert(testing::key_of(option));
    // five days of night air, held or not, and of two-day; on Friday the Saturday option; no road that far
    CHECK(plan.options.size() == (5 * 3 + 1) * testing::starter().packings.all().size());
    CHECK(keys.size() == plan.options.size());
}

TEST_CASE("days without a pick-up are closed with a reason") {
    const Plan plan = testing::plan_for({.services = {"night-air"}, .days = 7, .scenarios = 16});
    REQUIRE(plan.closed.size() == 2);
    CHECK(format_day(plan.closed[0].ship_date) == "Sat 6 Mar");
    CHECK(plan.closed[0].service->id == "night-air");
    CHECK_THAT(plan.closed[0].reason, Catch::Contains("accepts no parcels on Sat 6 Mar"));
}

TEST_CASE("packings without room for all animals are left out by name") {
    const Plan plan = testing::plan_for({.count = 5, .services = {"night-air"}, .days = 1, .scenarios = 16});
    CHECK(plan.left_out.size() == testing::starter().packings.all().size() - 1);
    CHECK_THAT(plan.left_out.front(), Catch::Contains("19 mm foam: room for 4 cups, not 5"));
    for (const Option& option : plan.options) CHECK(option.packing->id == "medium-38-2w");
}

TEST_CASE("a plan for more animals than any packing holds is refused") {
    CHECK_THROWS_AS(testing::plan_for({.count = 40, .scenarios = 16}), UsageError);
    CHECK_THROWS_WITH(testing::plan_for({.count = 40, .scenarios = 16}),
                      Catch::Contains("no packing holds 40 animals, one to a cup"));
}

TEST_CASE("a plan of a weekend alone is refused with the reason") {
    PlanRequest request = testing::request_for({.services = {"night-air"}, .days = 2, .scenarios = 16});
    request.from = Date{date::year{2027} / 3 / 6};
    CHECK_THROWS_AS(make_plan(testing::starter(), testing::demo_weather(), request), UsageError);
    CHECK_THROWS_WITH(make_plan(testing::starter(), testing::demo_weather(), request),
                      Catch::Contains("accepts no parcels on Sat 6 Mar"));
}

TEST_CASE("after the cut-off the day is closed and the next ones are ranked") {
    // 17:30 in El Paso is 00:30 UTC
    const Plan plan =
        planned_at("2027-03-02T00:31:00Z", {.services = {"night-air"}, .days = 2, .scenarios = 16});
    REQUIRE(plan.closed.size() == 1);
    CHECK_THAT(plan.closed.front().reason, Catch::Contains("cut-off") && Catch::Contains("17:30 has passed"));
    REQUIRE(!plan.options.empty());
    for (const Option& option : plan.options) CHECK(format_day(option.ship_date) == "Tue 2 Mar");
}

TEST_CASE("as long as packing and the drive fit before the cut-off the day is still open") {
    const Plan plan =
        planned_at("2027-03-01T23:10:00Z", {.services = {"night-air"}, .days = 1, .scenarios = 16});
    CHECK(plan.closed.empty());
}

TEST_CASE("a stale forecast makes every option unknown with the reason") {
    // issued 10:12 UTC and trusted for 12 hours
    const Plan plan = planned_at("2027-03-01T22:13:00Z", {.scenarios = 16});
    CHECK(all_unknown(plan));
    for (const Option& option : plan.options)
        CHECK_THAT(option.assessment.unknown_reason, Catch::Contains("is stale: issued Mon 1 Mar 03:12"));
    CHECK(plan.reasons.empty());
}

TEST_CASE("a forecast is trusted to its last minute") {
    CHECK_FALSE(all_unknown(planned_at("2027-03-01T22:12:00Z", {.scenarios = 16})));
}

TEST_CASE("a forecast from the future makes every option unknown and says so") {
    const Plan plan = planned_at("2027-03-01T09:11:00Z", {.scenarios = 16});
    CHECK(all_unknown(plan));
    CHECK_THAT(plan.options.front().assessment.unknown_reason, Catch::Contains("later than now"));
}

TEST_CASE("one stale place spoils the plan and is the one named") {
    const testing::ChangedWeather source([](const Place& place, weather::Outlook& outlook) {
        if (place.name == "St. Louis MO") outlook.issued -= hours(20);
    });
    const Plan plan = make_plan(testing::starter(), source, testing::request_for({.scenarios = 16}));
    CHECK(all_unknown(plan));
    CHECK_THAT(plan.options.front().assessment.unknown_reason,
               Catch::Contains("the forecast for St. Louis MO is stale"));
    for (const PlaceWeather& there : plan.weather)
        CHECK(there.doubt.empty() == (there.place != "St. Louis MO"));
}

TEST_CASE("a trip that outlasts the forecast is unknown and never guessed") {
    const Plan plan =
        testing::plan_for({.services = {"night-air"}, .packings = {"small-38"}, .days = 9, .scenarios = 16});
    const Option& tuesday = testing::find_option(plan, "2027-03-09 night-air small-38");
    CHECK(tuesday.verdict == Verdict::unknown);
    CHECK_FALSE(tuesday.assessment.all);
    CHECK_THAT(tuesday.assessment.unknown_reason, Catch::Contains("before the trip does"));
    CHECK(plan.options.back().ship_date == tuesday.ship_date);
}

TEST_CASE("late arrivals beyond the forecast are named and cap the verdict at tight") {
    const Plan plan = testing::plan_for({.services = {"night-air+held"}, .days = 5});
    for (const Option& option : plan.options) {
        CAPTURE(testing::key_of(option));
        if (option.assessment.late_unknown_reason.empty()) continue;
        CHECK(option.verdict != Verdict::comfortable);
    }
    const Option& friday = testing::find_option(plan, "2027-03-05 night-air+held small-19-1s");
    CHECK_THAT(friday.assessment.late_unknown_reason, Catch::Contains("ends"));
    CHECK(friday.assessment.all);
}

TEST_CASE("a hole in the forecast makes the trips through it unknown and no others") {
    const Instant hole = *parse_instant("2027-03-03T12:00:00Z");
    const testing::ChangedWeather source([hole](const Place& place, weather::Outlook& outlook) {
        if (place.name != "Duluth MN") return;
        const auto hour = static_cast<std::size_t>((hole - outlook.first_hour) / hours(1));
        outlook.temp_c.front().at(hour) = std::numeric_limits<double>::quiet_NaN();
    });
    const Plan plan =
        make_plan(testing::starter(), source,
                  testing::request_for(
                      {.services = {"night-air"}, .packings = {"small-38"}, .days = 4, .scenarios = 16}));
    const Option& through = testing::find_option(plan, "2027-03-02 night-air small-38");
    CHECK_THAT(through.assessment.unknown_reason,
               Catch::Contains("the forecast for Duluth MN has no temperature for Wed 3 Mar 06:00"));
    CHECK_FALSE(through.assessment.all);
    CHECK(testing::find_option(plan, "2027-03-03 night-air small-38").assessment.all);
    CHECK(testing::find_option(plan, "2027-03-04 night-air small-38").assessment.all);
}

TEST_CASE("one place with nothing but its climate keeps every option from being comfortable") {
    const auto of_climate = [](const std::string& name) {
        return testing::ChangedWeather([name](const Place& place, weather::Outlook& outlook) {
            if (place.name == name) outlook.basis = weather::Basis::climate;
        });
    };
    const PlanRequest request = testing::request_for({.to = "Duluth MN"});
    const auto comfortable = [](const Plan& plan) {
        return std::count_if(plan.options.begin(), plan.options.end(),
                             [](const Option& option) { return option.verdict == Verdict::comfortable; });
    };
    CHECK(comfortable(make_plan(testing::starter(), testing::demo_weather(), request)) > 0);
    CHECK(comfortable(make_plan(testing::starter(), of_climate("Duluth MN"), request)) == 0);
    CHECK(comfortable(make_plan(testing::starter(), of_climate("Las Cruces NM"), request)) == 0);
}

TEST_CASE("a place without a forecast ends the plan") {
    for (const char* place : {"Las Cruces NM", "El Paso TX", "St. Louis MO", "Duluth MN"}) {
        CAPTURE(place);
        CHECK_THROWS_AS(make_plan(testing::starter(), testing::WithoutPlace(place),
                                  testing::request_for({.scenarios = 16})),
                        WeatherError);
    }
}

TEST_CASE("each place of the lane is asked for once and told of") {
    const Plan plan = testing::plan_for({.days = 1, .scenarios = 16});
    REQUIRE(plan.weather.size() == 4);
    CHECK(plan.weather.front().place == "Las Cruces NM");
    CHECK(plan.weather.back().place == "Duluth MN");
    for (const PlaceWeather& there : plan.weather) {
        CHECK(there.doubt.empty());
        CHECK(there.basis == weather::Basis::forecast);
        CHECK(format_instant(there.issued) == "2027-03-01T10:12:00Z");
        CHECK(format_instant(there.known_until) == "2027-03-09T00:00:00Z");  // 188 hours from 05:00
    }
}

TEST_CASE("cost is the materials of the parcel and its carriage and the extras of service and day") {
    const Plan plan = testing::plan_for({.services = {"night-air", "night-air+held", "two-day"},
                                         .packings = {"small-38", "small-38-2w"},
                                         .days = 1,
                                         .scenarios = 16});
    // 334 x 284 x 234 mm3 at 5000 cm3/kg is 4.439 kg: the step of 5 kg to the far zone; box 7, warmers 1.10
    const auto cost = [&](const char* choice) {
        return testing::find_option(plan, std::string("2027-03-01 ") + choice).cost;
    };
    CHECK(cost("night-air small-38").billed_mass_kg == Approx(4.439).margin(0.001));
    CHECK(cost("night-air small-38").carriage_usd == 58);
    CHECK(cost("night-air small-38").total_usd() == Approx(58 + 7));
    CHECK(cost("night-air small-38-2w").total_usd() == Approx(58 + 7 + 2.2));
    CHECK(cost("night-air+held small-38").total_usd() == Approx(58 + 7 - 2));
    CHECK(cost("two-day small-38").total_usd() == Approx(34.5 + 7));
}

TEST_CASE("the expected loss is the value of the animals times the chance of harm") {
    PlanRequest request = testing::request_for({.packings = {"small-19"}, .days = 3});
    CHECK_FALSE(
        make_plan(testing::starter(), testing::demo_weather(), request).options.front().expected_loss_usd);
    request.value_usd = 250;
    const Plan plan = make_plan(testing::starter(), testing::demo_weather(), request);
    double most_usd = 0;
    for (const Option& option : plan.options) {
        CAPTURE(testing::key_of(option));
        REQUIRE(option.expected_loss_usd);
        CHECK(*option.expected_loss_usd == 250 * option.assessment.all->chance_harm.value);
        most_usd = std::max(most_usd, *option.expected_loss_usd);
    }
    CHECK(most_usd > 1);
}

TEST_CASE("without figures there is no expected loss") {
    PlanRequest request = testing::request_for({.scenarios = 16});
    request.value_usd = 250;
    request.now = *parse_instant("2027-03-01T22:13:00Z");  // the forecast is stale by then
    const Plan plan = make_plan(testing::starter(), testing::demo_weather(), request);
    REQUIRE(all_unknown(plan));
    for (const Option& option : plan.options) CHECK_FALSE(option.expected_loss_usd);
}

TEST_CASE("by cost and loss no option stands before one of a better verdict or a cheaper one of its own") {
    PlanRequest request = testing::request_for({.days = 5});
    request.value_usd = 250;
    request.rank_by = RankBy::cost_and_loss;
    const Plan plan = make_plan(testing::starter(), testing::demo_weather(), request);
    std::set<Verdict> verdicts;
    for (std::size_t i = 0; i < plan.options.size(); ++i) {
        const Option& option = plan.options[i];
        CHECK(option.rank == static_cast<int>(i) + 1);
        verdicts.insert(option.verdict);
        if (i == 0 || !option.assessment.all) continue;
        const Option& before = plan.options[i - 1];
        const auto usd = [](const Option& one) { return one.cost.total_usd() + *one.expected_loss_usd; };
        CHECK(before.verdict <= option.verdict);
        if (before.verdict == option.verdict) CHECK(usd(before) <= usd(option));
    }
    CHECK(verdicts.size() >= 2);
    CHECK_THAT(plan.reasons.front(), Catch::Contains("with the expected loss") ||
                                         Catch::Contains("within a verdict, cost and expected loss decide"));
}

TEST_CASE("the chances of coming late that the weather made are those of the figures") {
    const testing::ChangedWeather source([](const Place& place, weather::Outlook& outlook) {
        if (place.name == "St. Louis MO") outlook.snow_mm_per_h.assign(outlook.hour_count(), 20);
    });
    const PlanRequest request =
        testing::request_for({.services = {"night-air"}, .packings = {"small-19"}, .days = 1});
    const Plan quiet = make_plan(testing::starter(), testing::demo_weather(), request);
    const Plan snowed_in = make_plan(testing::starter(), source, request);
    for (const Plan* plan : {&quiet, &snowed_in}) {
        const Option& option = plan->options.front();
        CHECK(option.assessment.late.one_day == option.lateness.odds.one_day);
        CHECK(option.assessment.late.more_days == option.lateness.odds.more_days);
    }
    const odds::Assessment& with = snowed_in.options.front().assessment;
    const odds::Assessment& without = quiet.options.front().assessment;
    CHECK(with.late.late() > 2 * without.late.late());
    CHECK(with.all->hours_outside.value > without.all->hours_outside.value);
    CHECK(with.in_box_h.p95 > without.in_box_h.p95);
}

TEST_CASE("the side of an option is that of most of its hours") {
    const Plan plan = testing::plan_for({.days = 2});
    for (const Option& option : plan.options) {
        const auto& figures = *option.assessment.all;
        if (figures.hours_cold + figures.hours_warm < 0.01) continue;
        CAPTURE(testing::key_of(option));
        CHECK((option.side == Side::cold) == (figures.hours_cold >= figures.hours_warm));
    }
}
