// What the report of a week says of orders that were planned before, and of what it proposes.
#include "mildway/reports/week_report.hpp"

#include "catch.hpp"
#include "plan_world.hpp"
#include "report_text.hpp"
#include "weather_lines.hpp"
#include "week_orders.hpp"

#include <algorithm>

#include <nlohmann/json.hpp>

using namespace mildway;
using reports::WeekDone;
using testing::columns_of;
using testing::flat;
using testing::lines_of;
using testing::open_order;

namespace {

constexpr date::year_month kMarch = date::year{2027} / 3;

orders::Order planned(const std::string& number, Date ship_date, Verdict verdict = Verdict::comfortable) {
    orders::Order one = open_order(number);
    one.state = orders::State::planned;
    one.choice = orders::Choice{};
    one.choice->ship_date = ship_date;
    one.choice->packing = "small-19-1s";
    one.choice->packing_label = "19 mm + 72 h warmer";
    one.choice->service_label = "Night, held";
    one.choice->verdict = verdict;
    return one;
}

weekly::Week week_of(const std::vector<orders::Order>& orders, bool replan = false,
                     const weekly::Limits& limits = {}) {
    weekly::WeekRequest asked;
    asked.from = testing::demo_monday();
    asked.days = 3;
    asked.scenarios = 128;
    asked.now = testing::demo_now();
    asked.replan = replan;
    return weekly::plan_week(testing::starter(), limits, testing::demo_weather(), orders, asked);
}

std::string text_of(const weekly::Week& week, WeekDone done = WeekDone::shown) {
    std::string text = reports::week_text(testing::starter(), week, done);
    for (const std::string& line : lines_of(text)) {
        CAPTURE(line);
        CHECK(columns_of(line) <= 80);
    }
    return text;
}

nlohmann::json json_of(const weekly::Week& week, WeekDone done = WeekDone::shown) {
    return nlohmann::json::parse(reports::week_json(testing::starter(), week, done));
}

}  // namespace

TEST_CASE("a week lists what was planned before with a mark where a person should look") {
    const weekly::Week week = week_of({planned("A", kMarch / 2), planned("B", date::year{2027} / 2 / 26),
                                       planned("C", kMarch / 2, Verdict::unsafe)});
    const std::string text = text_of(week);
    CHECK_THAT(text, Catch::Contains("No order is open: there is nothing to plan.\n") &&
                         Catch::Contains("\nPlanned before:\n! B  1 x corn snake to Albany NY\n"
                                         "    Fri 26 Feb: its day is past and it was not handed over; ") &&
                         Catch::Contains("\n  A  1 x corn snake to Albany NY\n"
                                         "    Tue 2 Mar: comfortable when it was planned.\n") &&
                         Catch::Contains("\n! C  ") && Catch::Contains("unsafe, cold when it was planned"));
    const auto kept = json_of(week).at("kept");
    CHECK(kept.at(0).at("number") == "B");
    CHECK(kept.at(0).at("past") == true);
    CHECK(kept.at(0).at("needs_you") == true);
    CHECK(kept.at(1).at("needs_you") == false);
    CHECK(kept.at(2).at("verdict") == "unsafe");
}

TEST_CASE("an order without a new choice is said to keep its plan and why") {
    orders::Order stuck = planned("A", kMarch / 11);
    stuck.buyer_away = {{kMarch / 1, kMarch / 11}};
    const weekly::Week week = week_of({stuck, open_order("B")}, true);
    const std::string text = text_of(week, WeekDone::applied);
    CHECK_THAT(text, Catch::Contains("2 orders, 1 planned, 1 keeps its plan, none waits") &&
                         !Catch::Contains("\nWaiting:"));
    CHECK_THAT(flat(text), Catch::Contains("keeps its plan of Thu 11 Mar, Night, held, 19 mm + 72 h warmer: "
                                           "comfortable when it was planned. 'mildway order take-back A' "
                                           "takes it back.") &&
                               Catch::Contains("arrival would not suit: the buyer is away"));
    const auto json = json_of(week);
    CHECK(json.at("orders").at(0).at("keeps_plan") == true);
    CHECK(json.at("orders").at(1).at("keeps_plan") == false);
    CHECK(json.at("kept").at(0).at("no_new_choice") == true);
    CHECK(reports::needs_person(week.kept.front()));
}

TEST_CASE("a limit that kept plans break is said first") {
    weekly::Limits limits;
    limits.boxes_per_day = 1;
    const weekly::Week week =
        week_of({planned("A", kMarch / 2), planned("B", kMarch / 2), open_order("C")}, false, limits);
    const std::string text = text_of(week);
    const auto full = text.find("! Tue 2 Mar: 2 parcels, of 1 that may be packed a day.");
    REQUIRE(full != std::string::npos);
    CHECK(full < text.find("Day by day:"));
    CHECK(json_of(week).at("broken").size() == 1);
}

TEST_CASE("what was proposed for each order is shown and that nothing was") {
    orders::Order away = open_order("B");
    away.buyer_away = {{kMarch / 1, kMarch / 11}};
    const weekly::Week week = week_of({open_order("A"), away});
    const auto proposed = reports::proposal_of(week.orders[0], testing::demo_now()).days;
    REQUIRE(proposed.size() == 1);
    CHECK_THAT(text_of(week, WeekDone::proposed),
               Catch::Contains("\n  Proposed: " + format_day(proposed[0].ship_date) + " (arrival " +
                               format_day(proposed[0].arrival_date) + ").\n") &&
                   Catch::Contains("\n    Proposed: no day.\n"));
    CHECK_THAT(text_of(week), !Catch::Contains("Proposed"));
    const auto json = json_of(week, WeekDone::proposed);
    CHECK(json.at("orders").at(0).at("proposed").at(0).at("ship_date") == format_date(proposed[0].ship_date));
    CHECK(json.at("orders").at(1).at("proposed").empty());
    CHECK(json_of(week).at("orders").at(0).at("proposed").is_null());
}

TEST_CASE("an order whose species is gone waits with that reason in the text of a week") {
    orders::Order nobody = open_order("A");
    nobody.species = "unicorn";
    const weekly::Week week = week_of({nobody, open_order("B")});
    CHECK_THAT(text_of(week), Catch::Contains("\nWaiting:\n  A  1 x unicorn to Albany NY\n"
                                              "    species.json has no 'unicorn' any more.\n"));
    CHECK(json_of(week).at("orders").at(0).at("gone") == "species.json has no 'unicorn' any more");
    CHECK(reports::needs_person(testing::starter(), week.orders[0]));
}

TEST_CASE("weather that is issued later than now has no age") {
    planning::PlaceWeather there;
    there.place = "Albany NY";
    there.issued = testing::demo_now() + std::chrono::hours(1);
    CHECK(reports::age_line({there}, testing::demo_now()) == "Weather of 1 place.\n");
    there.issued = testing::demo_now() - std::chrono::hours(3);
    CHECK(reports::age_line({there}, testing::demo_now()) ==
          "Weather of 1 place; the oldest, of Albany NY, is 3 h old.\n");
}
