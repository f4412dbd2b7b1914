// The text of a week in which not everything can go.
#include "mildway/reports/week_report.hpp"

#include "catch.hpp"
#include "plan_world.hpp"
#include "report_text.hpp"
#include "week_orders.hpp"

#include <algorithm>

using namespace mildway;
using reports::WeekDone;
using testing::columns_of;
using testing::flat;
using testing::lines_of;
using testing::open_order;

namespace {

/// Twelve orders: corn snakes that only differ in number, tortoises with small shells, geckos that are too
/// warm.
std::vector<orders::Order> twelve() {
    std::vector<orders::Order> all;
    for (int i = 0; i < 6; ++i)
        all.push_back(open_order("JB-" + std::to_string(101 + i), "Albany NY", "corn-snake"));
    for (int i = 0; i < 4; ++i) {
        all.push_back(open_order("JB-" + std::to_string(201 + i), "Sacramento CA", "hermanns-tortoise"));
        all.back().animals = {{"Ash", 31, 42}, {"Birch", 28, 40}};
    }
    for (int i = 0; i < 2; ++i)
        all.push_back(open_order("JB-" + std::to_string(301 + i), "Tampa FL", "dart-frog"));
    return all;
}

weekly::Limits scarce() {
    weekly::Limits limits;
    limits.boxes_per_day = 2;
    limits.stock.emplace();
    limits.stock->counted_on = testing::demo_monday();
    limits.stock->warmers = {{"slow-40h", 2}, {"slow-72h", 2}};
    return limits;
}

const weekly::Week& crowded() {
    static const weekly::Week week = [] {
        weekly::WeekRequest asked;
        asked.from = testing::demo_monday();
        asked.days = 5;
        asked.scenarios = 128;
        asked.now = testing::demo_now();
        const auto orders = twelve();
        return weekly::plan_week(testing::starter(), scarce(), testing::demo_weather(), orders, asked);
    }();
    return week;
}

std::string crowded_text() {
    return reports::week_text(testing::starter(), crowded(), WeekDone::shown);
}

}  // namespace

TEST_CASE("the text of a crowded week keeps to 80 columns") {
    for (const std::string& line : lines_of(crowded_text())) {
        CAPTURE(line);
        CHECK(columns_of(line) <= 80);
        CHECK((line.empty() || line.back() != ' '));
    }
}

TEST_CASE("the text of a week with long and foreign numbers and places keeps to 80 columns") {
    weekly::Week week = crowded();
    for (auto& one : week.orders) {
        one.order.number = "Schildkröte-für-Übermorgen-und-für-die-Nachbarin-" + one.order.number + "-Zoë";
        one.order.place.name = "Llanfairpwllgwyngyllgogerychwyrndrobwllllantysiliogogogoch";
    }
    for (const std::string& line : lines_of(reports::week_text(testing::starter(), week, WeekDone::shown))) {
        CAPTURE(line);
        CHECK(columns_of(line) <= 80);
    }
}

TEST_CASE("the law stands before the days and cautions after them in the text of a week") {
    const std::string text = crowded_text();
    const auto law = text.find("First: may they be sold and sent at all?");
    const auto small = text.find("2 of 2 shells (42, 40 mm) are under 102 mm");
    const auto days = text.find("Day by day:");
    const auto mind = text.find("\nMind:\n");
    REQUIRE(mind != std::string::npos);
    CHECK(law < small);
    CHECK(small < days);
    CHECK(days < mind);
    CHECK(text.find("never promise that an animal arrives alive") > mind);
}

TEST_CASE("the text of a week tells each order's cautions once with the orders they are about") {
    const std::string text = flat(crowded_text());
    const std::string caution = "A warmer never touches cup or animal";
    const auto first = text.find(caution);
    REQUIRE(first != std::string::npos);
    CHECK(text.find(caution, first + 1) == std::string::npos);
}

TEST_CASE("every order of a crowded week is told once as planned or as waiting") {
    const std::string text = crowded_text();
    const auto waiting_at = text.find("\nWaiting:\n");
    REQUIRE(waiting_at != std::string::npos);
    for (const auto& one : crowded().orders) {
        CAPTURE(one.order.number);
        const auto planned = text.find("\n" + one.order.number + "  ");
        const auto waits = text.find("\n  " + one.order.number + "  ");
        CHECK((planned != std::string::npos) == one.chosen.has_value());
        CHECK((waits != std::string::npos && waits > waiting_at) == !one.chosen.has_value());
    }
}

TEST_CASE("a crowded week says which limit an order gave up its better choice for") {
    const auto& all = crowded().orders;
    REQUIRE(std::any_of(all.begin(), all.end(), [](const auto& one) { return one.chosen && one.given_up; }));
    CHECK_THAT(crowded_text(), Catch::Contains("\n  Given up: "));
}

TEST_CASE("a crowded week says which limits keep an order waiting and what would help") {
    const auto& all = crowded().orders;
    REQUIRE(std::any_of(all.begin(), all.end(),
                        [](const auto& one) { return !one.chosen && !one.because.empty(); }));
    const std::string text = flat(crowded_text());
    CHECK_THAT(text, Catch::Contains(" would suit: ") && Catch::Contains("is left for it"));
    CHECK_THAT(text, Catch::Contains("What would help:"));
}

TEST_CASE("a week tells what was done with it") {
    const auto said = [](WeekDone done) { return reports::week_text(testing::starter(), crowded(), done); };
    CHECK_THAT(said(WeekDone::shown), Catch::Contains("Nothing is written yet"));
    CHECK_THAT(said(WeekDone::applied), Catch::Contains("are in the order book now"));
    CHECK_THAT(said(WeekDone::proposed), Catch::Contains("as a proposal"));
}

namespace {

/// What the week says of one corn snake to Albany that is to go on that day of the week (Monday is 0).
std::string said_of_day(int day, const orders::DateRange& away,
                        const std::string& service = "night-air+held") {
    orders::Order one = open_order("JB-101", "Albany NY", "corn-snake");
    one.buyer_away = {away};
    one.services = {service};
    weekly::WeekRequest asked;
    asked.from = Date{date::sys_days(testing::demo_monday()) + date::days(day)};
    asked.days = 1;
    asked.scenarios = 128;
    asked.now = testing::demo_now();
    const std::vector<orders::Order> orders{one};
    return flat(reports::week_text(
        testing::starter(), weekly::plan_week(testing::starter(), {}, testing::demo_weather(), orders, asked),
        WeekDone::shown));
}

const orders::DateRange kNever{date::year{2027} / 4 / 1, date::year{2027} / 4 / 2};

}  // namespace

TEST_CASE("a week says when a parcel that is late would come while the buyer is away") {
    const orders::DateRange thursday{date::year{2027} / 3 / 4, date::year{2027} / 3 / 4};
    CHECK_THAT(said_of_day(1, thursday),
               Catch::Contains("If a service day late: it would come on Thu 4 Mar: the buyer is away."));
    CHECK_THAT(said_of_day(1, kNever), !Catch::Contains("If a service day late"));
}

TEST_CASE("a week says when a parcel that is late would wait through the weekend") {
    CHECK_THAT(said_of_day(4, kNever),
               Catch::Contains("If a service day late: it would come on Mon 8 Mar, 2 days later."));
}
