// A plan as a calendar: made options on known days, so that every mark is known beforehand.
#include "mildway/reports/calendar_text.hpp"

#include "catch.hpp"
#include "layout.hpp"
#include "made_options.hpp"
#include "plan_world.hpp"
#include "report_text.hpp"

#include <functional>

using namespace mildway;
using planning::Option;
using planning::Plan;
using planning::Side;
using planning::Verdict;

namespace {

const transit::Service kAir = testing::named_service("air");
const box::Packing kBox = testing::named_packing("box");

constexpr date::year_month kMarch = date::year{2027} / 3;

Option option_on(date::year_month month, int day, Verdict verdict, Side side = Side::cold) {
    testing::MadeOption made{.day = day, .month = month, .service = &kAir, .packing = &kBox};
    made.hours_cold = side == Side::cold ? 1.5 : 0;
    made.hours_warm = side == Side::warm ? 1.5 : 0;
    Option option = verdict == Verdict::unknown ? testing::make_unknown(made, "the forecast is stale")
                                                : testing::make_option(made);
    option.verdict = verdict;
    option.side = side;
    return option;
}

planning::ClosedDay closed_on(Date day, const std::string& brief) {
    return {day, &kAir, "air does not run, " + brief, brief};
}

Plan plan_of(std::vector<Option> options, std::vector<planning::ClosedDay> closed = {}) {
    Plan plan;
    plan.request = testing::request_for({});
    plan.options = std::move(options);
    plan.closed = std::move(closed);
    plan.weather.emplace_back();
    plan.weather.front().issued = plan.request.now;
    return plan;
}

std::string calendar_of(const Plan& plan) {
    return reports::calendar_text(testing::starter(), plan);
}

/// The lines of one month's grid: its name, the weekdays, the weeks.
std::vector<std::string> grid_of(const std::string& calendar, const std::string& month) {
    const auto lines = testing::lines_of(calendar);
    std::vector<std::string> grid;
    for (const auto& line : lines) {
        const bool in_grid = !grid.empty();
        if (!in_grid && line != month) continue;
        if (in_grid && (line.empty() || line.find("comfortable") != std::string::npos)) break;
        grid.push_back(line);
    }
    return grid;
}

/// Every day of a plan from `from` on, comfortable.
Plan whole_days(Date from, int count) {
    std::vector<Option> options;
    for (int i = 0; i < count; ++i) {
        const Date day{date::sys_days(from) + date::days(i)};
        options.push_back(
            option_on(day.year() / day.month(), static_cast<int>(unsigned(day.day())), Verdict::comfortable));
    }
    return plan_of(std::move(options));
}

}  // namespace

TEST_CASE("a calendar has the marks of verdict and side in the column of the weekday") {
    const auto grid = grid_of(
        calendar_of(plan_of(
            {option_on(kMarch, 2, Verdict::comfortable), option_on(kMarch, 3, Verdict::tight, Side::cold),
             option_on(kMarch, 4, Verdict::tight, Side::warm),
             option_on(kMarch, 5, Verdict::unsafe, Side::cold),
             option_on(kMarch, 8, Verdict::unsafe, Side::warm), option_on(kMarch, 9, Verdict::unknown)},
            {closed_on(kMarch / 6, "no parcels accepted")})),
        "March 2027");
    CHECK(grid == std::vector<std::string>{
                      "March 2027",
                      "  Mon      Tue      Wed      Thu      Fri      Sat      Sun",
                      "            2 =      3 -c     4 -w     5 xc     6 .",
                      "   8 xw     9 ?",
                  });
}

TEST_CASE("a calendar marks days that rest on the climate alone") {
    Option climate = option_on(kMarch, 1, Verdict::tight);
    climate.basis = weather::Basis::climate;
    CHECK(
        grid_of(calendar_of(plan_of({climate, option_on(kMarch, 2, Verdict::tight)})), "March 2027").at(2) ==
        "   1 -c*    2 -c");
}

TEST_CASE("a calendar shows a day by its best option") {
    auto grid = grid_of(calendar_of(plan_of({option_on(kMarch, 1, Verdict::comfortable),
                                             option_on(kMarch, 1, Verdict::unsafe)},
                                            {closed_on(kMarch / 1, "no parcels accepted")})),
                        "March 2027");
    CHECK(grid.at(2) == "   1 =");
}

TEST_CASE("a calendar over the end of a month has a grid for each") {
    const std::string calendar = calendar_of(whole_days(date::year{2027} / 4 / 29, 5));
    CHECK(grid_of(calendar, "April 2027").at(2) == std::string(29, ' ') + "29 =     30 =");
    const auto may = grid_of(calendar, "May 2027");
    CHECK(may.at(2) == std::string(48, ' ') + "1 =      2 =");
    CHECK(may.at(3) == "   3 =");
    CHECK(may.size() == 4);
}

TEST_CASE("a calendar over the turn of the year names both years") {
    const std::string calendar = calendar_of(whole_days(date::year{2026} / 12 / 31, 2));
    CHECK(grid_of(calendar, "December 2026").at(2) == std::string(29, ' ') + "31 =");
    CHECK(grid_of(calendar, "January 2027").at(2) == std::string(39, ' ') + "1 =");
}

TEST_CASE("no day is lost or doubled in months in which the clocks change") {
    // 14 March and 7 November 2027 in the United States
    for (const auto& [from, name] : {std::pair{Date{date::year{2027} / 3 / 1}, "March 2027"},
                                     std::pair{Date{date::year{2027} / 11 / 1}, "November 2027"}}) {
        const auto grid = grid_of(calendar_of(whole_days(from, 30)), name);
        std::string all;
        for (std::size_t week = 2; week < grid.size(); ++week) all += " " + grid[week];
        std::string expected;
        for (int day = 1; day <= 30; ++day) expected += (day > 1 ? " " : "") + std::to_string(day) + " =";
        CHECK(testing::flat(all) == expected);
        CHECK(grid.size() == 2 + 5);
    }
}

TEST_CASE("a calendar's legend has the words of all verdicts") {
    const std::string text = testing::flat(calendar_of(whole_days(kMarch / 1, 1)));
    CHECK_THAT(text,
               Catch::Contains("= comfortable; -c tight on the cold side, -w on the warm side; xc unsafe "
                               "on the cold side, xw on the warm side; ? unknown; . closed; * by the time "
                               "of the year alone."));
}

TEST_CASE("closed days of one reason are told together and those of another apart") {
    const Plan plan = plan_of(
        {option_on(kMarch, 1, Verdict::comfortable)},
        {closed_on(kMarch / 6, "no parcels accepted"), closed_on(kMarch / 7, "no parcels accepted"),
         closed_on(kMarch / 10, "closed, Founders' Day"), closed_on(kMarch / 13, "no parcels accepted")});
    CHECK_THAT(calendar_of(plan), Catch::Contains("\nClosed:\n"
                                                  "  Sat 6, Sun 7, Sat 13 Mar: no parcels accepted\n"
                                                  "  Wed 10 Mar: closed, Founders' Day\n"));
}

TEST_CASE("unsafe days are told together by side with their hours and the worst chance of harm") {
    Option a = option_on(kMarch, 1, Verdict::unsafe);
    Option b = option_on(kMarch, 3, Verdict::unsafe);
    a.assessment.all->hours_outside.value = 4.2;
    a.assessment.all->chance_harm.value = 0.05;
    b.assessment.all->chance_harm.value = 0.31;
    const std::string text =
        testing::flat(calendar_of(plan_of({b, a, option_on(kMarch, 2, Verdict::unsafe, Side::warm)})));
    CHECK_THAT(text,
               Catch::Contains("Unsafe, even at their best: Mon 1, Wed 3 Mar: 1.5 to 4.2 h outside the safe "
                               "band, on the cold side; past a harm limit up to 31 in 100 Tue 2 Mar: 1.5 h "
                               "outside the safe band, on the warm side; past a harm limit under 1 in 1000"));
}

TEST_CASE("unknown days are told with their reason and never called safe") {
    const std::string text = calendar_of(plan_of({option_on(kMarch, 1, Verdict::unknown)}));
    CHECK_THAT(text, Catch::Contains("\nUnknown:\n  Mon 1 Mar: the forecast is stale\n"));
    CHECK_THAT(text, Catch::Contains("Nothing here says it is safe to ship."));
}

TEST_CASE("a calendar without closed or unfit days does not speak of them") {
    const std::string text = calendar_of(whole_days(kMarch / 1, 2));
    CHECK_THAT(text, !Catch::Contains("\nClosed:") && !Catch::Contains("\nUnsafe") &&
                         !Catch::Contains("\nUnknown:") && !Catch::Contains("more than a day"));
}

TEST_CASE("a calendar names the days after which late is more than a day") {
    Option trapped = option_on(kMarch, 4, Verdict::comfortable);
    trapped.if_late.days_later = 3;
    CHECK_THAT(calendar_of(plan_of({trapped, option_on(kMarch, 1, Verdict::comfortable)})),
               Catch::Contains("\nA service day late is more than a day:\n  Thu 4 Mar: 3 days\n"));
}

TEST_CASE("a calendar does not tell what late would mean on a day whose best option is not known") {
    Option trapped = option_on(kMarch, 4, Verdict::unknown);
    trapped.if_late.days_later = 3;
    CHECK_THAT(calendar_of(plan_of({trapped})), !Catch::Contains("more than a day"));
}

TEST_CASE("a calendar says which option is the best and what it costs") {
    CHECK_THAT(calendar_of(whole_days(kMarch / 2, 1)),
               Catch::Contains("\nBest: Tue 2 Mar, air, box, $50: comfortable.\n"));
}

TEST_CASE("a calendar whose best day is unsafe says to keep the animal home") {
    const std::string home = "No day shown is fit for this animal: keep it home.";
    CHECK_THAT(calendar_of(plan_of({option_on(kMarch, 1, Verdict::unsafe)})), Catch::Contains(home));
    CHECK_THAT(calendar_of(plan_of({option_on(kMarch, 1, Verdict::tight)})), !Catch::Contains(home));
}

TEST_CASE("papers that may forbid stand before the calendar and cautions after it") {
    const auto plan = testing::plan_for({.species = "hermanns-tortoise", .days = 1, .scenarios = 16});
    const std::string text = testing::flat(calendar_of(plan));
    REQUIRE(text.find("4 inches (102 mm)") != std::string::npos);
    CHECK(text.find("4 inches (102 mm)") < text.find("March 2027"));
    CHECK(text.find("Mind:") > text.find("March 2027"));
    CHECK(text.find("Mind:") != std::string::npos);
}

TEST_CASE("a calendar has no trailing blanks and no line over eighty columns") {
    const Plan plan = testing::plan_for({.days = 28, .scenarios = 16});
    for (const auto& line : testing::lines_of(calendar_of(plan))) {
        CAPTURE(line);
        CHECK((line.empty() || line.back() != ' '));
        CHECK(reports::display_width(line) <= reports::kColumns);
    }
}

TEST_CASE("Thanksgiving is closed by its name in a calendar") {
    // fourth Thursday of November, 5 USC 6103(a): the 25th in 2027
    auto request = testing::request_for({.services = {"night-air"}, .scenarios = 16});
    request.from = date::year{2027} / 11 / 24;
    request.now = *parse_instant("2027-11-24T13:00:00Z");
    request.days = 3;
    const testing::ChangedWeather weather([&](const Place&, weather::Outlook& outlook) {
        const auto shift = date::floor<hours>(request.now) - outlook.first_hour;
        outlook.first_hour += shift;
        outlook.issued += shift;
    });
    const auto plan = planning::make_plan(testing::starter(), weather, request);
    CHECK_THAT(calendar_of(plan), Catch::Contains("Thu 25 Nov: closed, Thanksgiving Day"));
}
