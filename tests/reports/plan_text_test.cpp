#include "mildway/reports/plan_text.hpp"

#include "mildway/planning/lane_rules.hpp"

#include "catch.hpp"
#include "plan_world.hpp"
#include "report_text.hpp"

#include <algorithm>

using namespace mildway;
using testing::flat;
using testing::Order;

namespace {

std::string text_of(const planning::Plan& plan, std::size_t lines = 8,
                    const planning::Workspace& workspace = testing::starter()) {
    return reports::plan_text(workspace, plan, {lines});
}

std::string text_for(const Order& order, std::size_t lines = 8) {
    return text_of(testing::plan_for(order), lines);
}

planning::Plan plan_at(const char* now, const Order& order) {
    planning::PlanRequest request = testing::request_for(order);
    request.now = *parse_instant(now);
    return planning::make_plan(testing::starter(), testing::demo_weather(), request);
}

/// The lines of the ranking: each begins with its rank.
std::vector<std::string> ranking_of(const std::string& text) {
    std::vector<std::string> rows;
    for (const auto& line : testing::lines_of(text)) {
        const auto first = line.find_first_not_of(' ');
        if (first == std::string::npos || first > 2 || std::isdigit(line[first]) == 0) continue;
        if (line.find('$') != std::string::npos) rows.push_back(line);
    }
    return rows;
}

bool ends_with_verdict(const std::string& row) {
    const std::vector<std::string> verdicts{"comfortable", "tight", "unsafe", "unknown"};
    return std::any_of(verdicts.begin(), verdicts.end(),
                       [&](const std::string& verdict) { return row.ends_with(" " + verdict); });
}

const Order kMildOrder{.to = "Sacramento CA", .species = "hermanns-tortoise"};

}  // namespace

TEST_CASE("a plan begins with what is sent and what it can bear") {
    const std::string text = text_for({.to = "Tampa FL", .species = "dart-frog", .count = 3});
    CHECK_THAT(
        flat(text),
        Catch::StartsWith("3 x green-and-black dart frog, 1.5 g each, from Las Cruces NM to Tampa FL "
                          "Safe from 16 \u00b0C to 27 \u00b0C; harm below 13 \u00b0C or above 29 \u00b0C."));
}

TEST_CASE("source basis and age of the weather are told") {
    CHECK_THAT(flat(text_for({})),
               Catch::Contains("Weather: US National Weather Service (forecast), 3 h old."));
}

TEST_CASE("a comfortable plan says so in the ranking and warns of nothing more") {
    const auto plan = testing::plan_for(kMildOrder);
    REQUIRE(plan.options.front().verdict == planning::Verdict::comfortable);
    const std::string text = text_of(plan);
    CHECK_THAT(ranking_of(text).front(), Catch::EndsWith(" comfortable"));
    CHECK_THAT(flat(text), !Catch::Contains("keep it home") && !Catch::Contains("Not known: "));
}

TEST_CASE("what is not forecast of the weather that makes late is named with its places") {
    const auto plan = testing::plan_for(kMildOrder);
    CHECK_THAT(flat(text_of(plan)),
               Catch::Contains("Not known, so not in the chance of being late: gusts (St. Louis MO); ") &&
                   Catch::Contains("; warnings (") && !Catch::Contains("So no better than tight."));
}

TEST_CASE("snow that is not forecast in the cold keeps a plan from being comfortable and says so") {
    const testing::ChangedWeather snowless([](const Place& place, weather::Outlook& outlook) {
        if (place.name == "St. Louis MO") outlook.snow_mm_per_h.clear();
    });
    const testing::Order order{
        .to = "Albany NY", .services = {"night-air+held"}, .packings = {"small-19-1s"}};
    auto request = testing::request_for(order);
    request.from = Date{date::year{2027} / 3 / 4};  // a night of frost at the hub
    request.days = 1;
    const auto plan = planning::make_plan(testing::starter(), snowless, request);
    CHECK(plan.options.front().verdict != planning::Verdict::comfortable);
    CHECK_THAT(flat(reports::plan_text(testing::starter(), plan, {4})),
               Catch::Contains("snow (St. Louis MO)") && Catch::Contains("So no better than tight."));
}

TEST_CASE("an unsafe plan says to keep the animal home") {
    const auto plan = testing::plan_for({.to = "Tampa FL", .species = "crested-gecko"});
    REQUIRE(plan.options.front().verdict == planning::Verdict::unsafe);
    CHECK_THAT(ranking_of(text_of(plan)).front(), Catch::EndsWith(" unsafe"));
    CHECK_THAT(flat(text_of(plan)), Catch::Contains("Nothing tried is fit for this animal: keep it home"));
}

TEST_CASE("an unknown plan gives the reason and no figure") {
    const std::string text = text_of(plan_at("2027-03-01T22:30:00Z", {}));
    CHECK_THAT(flat(text), Catch::Contains("Not known: the forecast for Las Cruces NM is stale") &&
                               Catch::Contains("Nothing here says it is safe to ship."));
    for (const auto& row : ranking_of(text))
        CHECK_THAT(row, Catch::Contains("not known") && Catch::EndsWith(" unknown"));
    CHECK_THAT(flat(text), !Catch::Contains("comfortable") && !Catch::Contains("in 100"));
}

TEST_CASE("every row of the ranking ends in its verdict") {
    const auto rows = ranking_of(text_for({}, 1000));
    CHECK(rows.size() == 3 * 3 * testing::starter().packings.all().size());
    for (const auto& row : rows) {
        CAPTURE(row);
        CHECK(ends_with_verdict(row));
    }
}

TEST_CASE("the ranking shows as many lines as asked and says how many more there are") {
    const std::string text = text_for({}, 5);
    CHECK(ranking_of(text).size() == 5);
    CHECK_THAT(text, Catch::Contains("94 more"));
    CHECK_THAT(text_for({}, 99), !Catch::Contains("more with --top"));
}

TEST_CASE("papers that may forbid the sale stand before the ranking") {
    for (const auto& species : testing::starter().species.all()) {
        CAPTURE(species.id);
        const std::string text = flat(text_for({.species = species.id, .days = 1, .scenarios = 16}));
        const auto ranking = text.find("Ship day");
        REQUIRE(ranking != std::string::npos);
        for (const auto& paper :
             planning::lane_rules(testing::starter(), testing::request_for({.species = species.id}))) {
            CAPTURE(paper.text);
            const auto at = text.find(flat(paper.text));
            REQUIRE(at != std::string::npos);
            CHECK((at < ranking) == paper.may_forbid);
        }
    }
}

TEST_CASE("a hatchling tortoise is met with the four-inch rule first") {
    // 21 CFR 1240.62: turtles with a carapace under 4 inches may not be sold, with exceptions
    const std::string text = flat(text_for({.species = "hermanns-tortoise", .days = 1, .scenarios = 16}));
    REQUIRE(text.find("4 inches (102 mm)") != std::string::npos);
    CHECK(text.find("4 inches (102 mm)") < text.find("Ship day"));
}

TEST_CASE("cautions are shown whatever the verdict") {
    const Order unsafe{.to = "Tampa FL", .species = "crested-gecko", .days = 1, .scenarios = 16};
    for (const auto& plan : {testing::plan_for(kMildOrder), testing::plan_for(unsafe),
                             plan_at("2027-03-01T22:30:00Z", {.scenarios = 16})}) {
        const std::string text = flat(text_of(plan));
        const bool with_warmer = !plan.options.front().packing->warmers.empty();
        const auto cautions =
            testing::starter().advice.cautions(*plan.request.species, {.warmer = with_warmer});
        CHECK(cautions.size() >= 5);
        for (const auto& caution : cautions) CHECK_THAT(text, Catch::Contains(flat(caution.text)));
    }
}

TEST_CASE("a best packing with a warmer brings the warmer's cautions") {
    const std::string burns = "A warmer burns the animal's air";
    CHECK_THAT(flat(text_for({.packings = {"small-38-1w"}, .days = 1, .scenarios = 16})),
               Catch::Contains(burns));
    CHECK_THAT(flat(text_for({.packings = {"small-38"}, .days = 1, .scenarios = 16})),
               !Catch::Contains(burns));
}

TEST_CASE("a Fahrenheit workspace shows degrees Fahrenheit and no others") {
    planning::Workspace workspace = testing::starter();
    workspace.scale = planning::TemperatureScale::fahrenheit;
    const auto request = testing::request_for({.scenarios = 64}, workspace);
    const auto plan = planning::make_plan(workspace, testing::demo_weather(), request);
    const std::string text = text_of(plan, 8, workspace);
    CHECK_THAT(
        flat(text),
        Catch::Contains("Safe from 55 \u00b0F to 86 \u00b0F; harm below 46 \u00b0F or above 91 \u00b0F."));
    CHECK_THAT(text, !Catch::Contains("\u00b0C"));
}

TEST_CASE("the best option is told with its clock times in each place's own time") {
    const std::string text =
        flat(text_for({.services = {"night-air"}, .packings = {"small-38"}, .days = 1, .scenarios = 16}));
    // hand-over 16:30, 50 minutes of drive, closed 30 minutes before; promised 10:30 in Minnesota
    CHECK_THAT(text, Catch::Contains("Close the box 15:10; hand over 16:30 at El Paso TX (17:30 at the "
                                     "latest); promised Tue 2 Mar 10:30 (Duluth MN time)."));
}

TEST_CASE("what a service day late would mean is told") {
    CHECK_THAT(flat(text_for({.days = 1})), Catch::Contains("If a service day late ("));
}

TEST_CASE("late arrivals beyond the forecast are said to be unknown") {
    auto request = testing::request_for({.services = {"two-day"}, .days = 1, .scenarios = 16});
    request.from = Date{date::year{2027} / 3 / 3};  // Wednesday; a day late is Monday the 8th
    const auto plan = planning::make_plan(testing::starter(), testing::demo_weather(), request);
    REQUIRE(plan.options.front().assessment.all);
    CHECK_THAT(flat(text_of(plan)),
               Catch::Contains("A day late or more (") && Catch::Contains("): not known; the forecast for"));
}

TEST_CASE("a forecast that ends before two days late is said so with what it costs the verdict") {
    auto request = testing::request_for({.services = {"night-air+held"}, .days = 1, .scenarios = 16});
    request.from = Date{date::year{2027} / 3 / 5};  // Friday; two service days late is Tuesday the 9th
    const auto plan = planning::make_plan(testing::starter(), testing::demo_weather(), request);
    REQUIRE(plan.options.front().assessment.if_late_one_day);
    REQUIRE_FALSE(plan.options.front().assessment.late_unknown_reason.empty());
    CHECK_THAT(flat(text_of(plan)), Catch::Contains("More than one day late (") &&
                                        Catch::Contains("): not known; the forecast for") &&
                                        Catch::Contains("So no better than tight."));
}

TEST_CASE("each day is told at its best and closed days with their reason") {
    const std::string text = text_for({.services = {"night-air"}, .days = 7, .scenarios = 16});
    const std::string days = text.substr(text.find("Day by day"));
    for (const char* day : {"Mon 1 Mar", "Tue 2 Mar", "Wed 3 Mar", "Thu 4 Mar", "Fri 5 Mar"})
        CHECK_THAT(days, Catch::Contains(day));
    CHECK_THAT(days, Catch::Contains("Sat 6 Mar  no: Night accepts no parcels"));
    CHECK_THAT(days, Catch::Contains("Sun 7 Mar  no: "));
}

TEST_CASE("a day on which late means more than a day says so in the list of days") {
    const std::string text = text_for({.services = {"night-air"}, .days = 5, .scenarios = 16});
    const std::string days = flat(text.substr(text.find("Day by day")));
    const auto thursday = days.find("Thu 4 Mar");
    REQUIRE(thursday != std::string::npos);
    CHECK(days.find("late means 3 days", thursday) < days.find("Fri 5 Mar"));
    CHECK(days.find("late means 3 days") > thursday);
}

TEST_CASE("a held parcel is told until when it can be collected") {
    // the starter's counter closes at 18:00 on weekdays
    CHECK_THAT(flat(text_for({.services = {"night-air+held"}, .days = 1, .scenarios = 16})),
               Catch::Contains("promised Tue 2 Mar 10:30, to be collected by 18:00 (Duluth MN time)."));
}

TEST_CASE("a ranking by cost and loss says so below it") {
    auto request = testing::request_for({.days = 1, .scenarios = 16});
    const auto text = [&] {
        return flat(text_of(planning::make_plan(testing::starter(), testing::demo_weather(), request)));
    };
    const std::string said = "Ranked by verdict, and within each by cost and expected loss together.";
    CHECK_THAT(text(), !Catch::Contains(said));
    request.value_usd = 100;
    request.rank_by = planning::RankBy::cost_and_loss;
    CHECK_THAT(text(), Catch::Contains(said));
}

TEST_CASE("services that are not sold there are named below the ranking") {
    CHECK_THAT(flat(text_for({.days = 1, .scenarios = 16})),
               Catch::Contains("left out: Road is not sold to"));
}

TEST_CASE("packings left out are named below the ranking") {
    CHECK_THAT(flat(text_for({.count = 5, .days = 1, .scenarios = 16})),
               Catch::Contains("left out: 19 mm foam: room for 4 cups, not 5"));
}

TEST_CASE("text has no escape codes tabs or trailing blanks") {
    const std::string text = text_for({});
    CHECK(text.find('\x1b') == std::string::npos);
    CHECK(text.find('\t') == std::string::npos);
    for (const auto& line : testing::lines_of(text)) {
        CAPTURE(line);
        CHECK((line.empty() || line.back() != ' '));
    }
}

TEST_CASE("packings whose figures are those of a logger are named") {
    auto plan = testing::plan_for({.days = 1, .scenarios = 16});
    const auto text = [&] { return flat(reports::plan_text(testing::starter(), plan, {})); };
    CHECK_THAT(text(), !Catch::Contains("Learnt from loggers"));
    box::Packing learnt = *plan.options.front().packing;
    learnt.learnt = {1.2, 30.0, 0.8};
    plan.options.front().packing = &learnt;
    CHECK_THAT(text(), Catch::Contains("Learnt from loggers: " + learnt.id + " (wall, air, warmers)."));
}
