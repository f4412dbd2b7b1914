// What being late would mean: trips are laid by the starter's services, figures are written by hand.
#include "plan_late.hpp"

#include "catch.hpp"
#include "made_options.hpp"
#include "plan_world.hpp"
#include "report_text.hpp"

using namespace mildway;
using planning::Option;
using planning::Plan;

namespace {

/// To Albany with the starter's service, thirty hours in the box and fifty when late.
Option laid_option(const std::string& service_id, Date ship_date, const std::string& packing = "small-38") {
    const auto& workspace = testing::starter();
    const transit::Service& service = workspace.services.find(service_id);
    const transit::Route route(
        service, workspace.settings,
        transit::lane_of(service, {workspace.origin, workspace.counter}, *workspace.find_place("Albany NY")),
        workspace.hand_over);
    const auto cases = std::get<odds::TripCases>(odds::lay_cases(route, ship_date, testing::demo_now()));
    Option option = testing::make_option({.service = &service, .packing = &workspace.packings.find(packing)});
    option.ship_date = ship_date;
    option.trip = cases.on_time;
    option.lateness.wait_shares = cases.wait_shares;
    option.if_late = planning::if_late(service, cases, *option.packing, workspace.supplies.warmers);
    option.assessment.late = {0.03, 0.01};
    option.assessment.in_box_h = {29, 30, 31};
    option.assessment.if_late_one_day.emplace();
    auto& late = *option.assessment.if_late_one_day;
    late.hours_outside = {2.5, 0.1};
    late.hours_cold = 2.5;
    late.coldest_c = {8, 11, 14};
    late.warmest_c = {20, 22, 25};
    late.chance_harm = {0.07, 0.01};
    option.assessment.late_in_box_h = {49, 50, 51};
    return option;
}

/// Two days without water and three without food are usual.
Plan plan_for_animal(double without_water_h = 48, double without_food_h = 72) {
    static care::Species species;
    species.without_water_h = without_water_h;
    species.without_food_h = without_food_h;
    Plan plan;
    plan.request.species = &species;
    plan.request.destination = *testing::starter().find_place("Albany NY");
    return plan;
}

std::string lines_for(const Option& option, const Plan& plan = plan_for_animal()) {
    return testing::flat(reports::lateness_lines(testing::starter(), plan, option));
}

constexpr Date kMonday = date::year{2027} / 3 / 1;
constexpr Date kThursday = date::year{2027} / 3 / 4;
constexpr Date kFriday = date::year{2027} / 3 / 5;

}  // namespace

TEST_CASE("what late would mean has its chance hours temperatures and harm") {
    CHECK_THAT(
        lines_for(laid_option("night-air", kMonday)),
        Catch::Contains("If a service day late (3 in 100 are): 2.5 h too cold, coldest 8 \u00b0C to 14 "
                        "\u00b0C, warmest 20 \u00b0C to 25 \u00b0C; past a harm limit 7 in 100."));
}

TEST_CASE("what late would mean says where the parcel waits and when it comes") {
    CHECK_THAT(
        lines_for(laid_option("night-air", kMonday), plan_for_animal(60)),
        Catch::Contains("Then it waits after 'hub sort' (55 in 100 do), comes Wed 3 Mar 09:50 and is 50 "
                        "h in the box."));
}

TEST_CASE("more hours in the box than usual without water are cautioned against and never forbidden") {
    const Option option = laid_option("night-air", kMonday);
    CHECK_THAT(
        lines_for(option, plan_for_animal(48)),
        Catch::Contains("is 50 h in the box: that is more than the 48 h without water that are thought "
                        "of as usual for it: ask your vet; a judgement."));
    CHECK_THAT(lines_for(option, plan_for_animal(50)), !Catch::Contains("without water"));
}

TEST_CASE("hours without food are cautioned against beside those without water") {
    CHECK_THAT(lines_for(laid_option("night-air", kMonday), plan_for_animal(36, 48)),
               Catch::Contains("more than the 36 h without water and 48 h without food that are"));
    CHECK_THAT(lines_for(laid_option("night-air", kMonday), plan_for_animal(60, 48)),
               Catch::Contains("more than the 48 h without food that are"));
}

TEST_CASE("a way that is longer than usual even on time is cautioned against by itself") {
    const Option option = laid_option("night-air", kMonday);
    CHECK_THAT(
        testing::flat(reports::on_time_cautions(plan_for_animal(24), option)),
        Catch::Equals("! About 30 h in the box: that is more than the 24 h without water that are thought "
                      "of as usual for it: ask your vet; a judgement."));
    CHECK(reports::on_time_cautions(plan_for_animal(30), option).empty());
}

TEST_CASE("a warmer that is low before a late box is opened is named with the hour at the destination") {
    const Option option = laid_option("night-air", kMonday, "small-38-1w");
    REQUIRE(option.if_late.warmers_low.size() == 1);
    const Instant low = option.if_late.warmers_low.front().when;
    REQUIRE(low > option.trip.end());
    REQUIRE(low < option.if_late.trip.end());
    CHECK_THAT(lines_for(option), Catch::Contains("! The 40-hour warmer gives less than half from " +
                                                  format_local(find_zone("America/New_York"), low) +
                                                  " on (Albany NY time), before a late box is opened."));
}

TEST_CASE("a warmer that is low even on time is said to be so") {
    Option option = laid_option("night-air", kMonday, "small-38-1w");
    option.if_late.warmers_low.front().when = option.trip.end() - hours(1);
    CHECK_THAT(lines_for(option), Catch::Contains("before the box is opened even when it is on time."));
}

TEST_CASE("a warmer that outlasts a late parcel is not spoken of") {
    Option option = laid_option("night-air", kMonday, "small-38-1w");
    option.if_late.warmers_low.front().when = option.if_late.trip.end();
    CHECK_THAT(lines_for(option), !Catch::Contains("less than half"));
    CHECK_THAT(lines_for(laid_option("night-air", kMonday)), !Catch::Contains("less than half"));
}

TEST_CASE("late parcels of one night are said to come together") {
    CHECK_THAT(
        lines_for(laid_option("night-air", kMonday)),
        Catch::Contains("If this parcel is late, another of the same night is late, too, with a chance of "));
    Option never = laid_option("night-air", kMonday);
    never.assessment.late = {};
    CHECK_THAT(lines_for(never), !Catch::Contains("another of the same night"));
}

TEST_CASE("late arrivals that are not known still have their place and day") {
    Option option = laid_option("night-air", kMonday);
    option.assessment.if_late_one_day.reset();
    option.assessment.late_unknown_reason = "the forecast ends too early";
    // closed 15:10 in New Mexico, 22:10 UTC; handed over the door Wednesday 10:35 in New York, 15:35 UTC
    CHECK_THAT(lines_for(option),
               Catch::Contains("A day late or more (4 in 100): not known; the forecast ends "
                               "too early.") &&
                   Catch::Contains("comes Wed 3 Mar 09:50 and is 41 h in the box."));
}

TEST_CASE("a Thursday parcel to a door that is a day late waits for Monday") {
    CHECK(
        reports::trap_sentence(laid_option("night-air", kThursday)) ==
        "A Thursday parcel that comes a service day late comes on Mon 8 Mar: 3 days later, not 1 (nothing is "
        "delivered on Sat 6, Sun 7 Mar).");
}

TEST_CASE("a Friday parcel for Saturday that is a day late waits for Monday") {
    CHECK(reports::trap_sentence(laid_option("night-air+saturday", kFriday)) ==
          "A Friday parcel that comes a service day late comes on Mon 8 Mar: 2 days later, not 1 (nothing is "
          "delivered on Sun 7 Mar).");
}

TEST_CASE("a parcel before a holiday that is a day late waits for the day after it") {
    // Thanksgiving is the fourth Thursday of November (5 USC 6103(a)): the 25th in 2027
    CHECK(
        reports::trap_sentence(laid_option("night-air", date::year{2027} / 11 / 23)) ==
        "A Tuesday parcel that comes a service day late comes on Fri 26 Nov: 2 days later, not 1 (nothing is "
        "delivered on Thu 25 Nov, Thanksgiving Day).");
}

TEST_CASE("a parcel that is a day late the day after is no trap") {
    CHECK(reports::trap_sentence(laid_option("night-air", kMonday)).empty());
    CHECK(reports::trap_sentence(laid_option("night-air", kFriday)).empty());  // Monday, then Tuesday
}

TEST_CASE("a Friday parcel to a door is said to be on its way over the weekend even when it is on time") {
    const Plan plan = plan_for_animal();
    CHECK(testing::flat(reports::on_time_cautions(plan, laid_option("night-air", kFriday))) ==
          "! A Friday parcel comes on Mon 8 Mar even when it is on time: 3 nights on its way.");
    CHECK(reports::on_time_cautions(plan, laid_option("night-air", kMonday)).empty());
    CHECK(reports::on_time_cautions(plan, laid_option("night-air+saturday", kFriday)).empty());
}

TEST_CASE("in the weeks before Christmas more parcels are said to be late") {
    const Date december = date::year{2027} / 12 / 7;
    CHECK_THAT(
        lines_for(laid_option("night-air", december)),
        Catch::Contains("! More parcels than usual are late in the weeks before Christmas; that is in the "
                        "chance."));
    CHECK_THAT(lines_for(laid_option("night-air", kMonday)), !Catch::Contains("than usual"));
}
