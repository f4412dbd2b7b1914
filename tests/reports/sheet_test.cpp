#include "mildway/reports/sheet.hpp"

#include "catch.hpp"
#include "changed_services.hpp"
#include "plan_world.hpp"
#include "report_text.hpp"
#include "sheet_orders.hpp"
#include "sheet_packing.hpp"
#include "words.hpp"
#include "xml_check.hpp"

#include <nlohmann/json.hpp>

using namespace mildway;
using reports::Sheet;
using testing::flat;
using testing::planned_order;
using testing::sheet_of;

namespace {

/// The page without its first line, which no XML has.
testing::XmlCheck page_of(const Sheet& sheet) {
    const std::string html = reports::sheet_html(sheet);
    const std::string doctype = "<!DOCTYPE html>\n";
    REQUIRE(html.starts_with(doctype));
    return testing::XmlCheck(std::string_view(html).substr(doctype.size()));
}

std::string all_text(const testing::XmlCheck& page) {
    std::string all;
    for (const auto& text : page.texts()) all += text + " ";
    return flat(all);
}

const reports::SheetStep* step_called(const Sheet& sheet, const std::string& title) {
    for (const auto& step : sheet.steps) {
        if (step.title == title) return &step;
    }
    return nullptr;
}

}  // namespace

TEST_CASE("a sheet tells the lane the day the counter and the latest hand-over") {
    const Sheet sheet = sheet_of(planned_order());
    CHECK(sheet.lane == "Las Cruces NM to Duluth MN");
    CHECK(sheet.ship_day == "Tue 2 Mar 2027");
    CHECK(sheet.be_there == "El Paso TX by 17:30 at the latest");
    CHECK(sheet.animals == "1 x Hermann's tortoise");
    CHECK_THAT(sheet.arrival, Catch::StartsWith("promised Wed 3 Mar 10:30 (Duluth MN time)"));
}

TEST_CASE("times of a sheet run from the warmers to the counter on the breeder's clock") {
    // handed over 16:30; 50 minutes of driving, 30 of packing, warmers 45 minutes before that (config/)
    const Sheet sheet = sheet_of(planned_order());
    REQUIRE(sheet.times.size() == 4);
    CHECK(sheet.times[0].what == "Open the warmers");
    CHECK(sheet.times[0].planned == "14:25");
    CHECK(sheet.times[0].latest == "15:25");
    CHECK(sheet.times[1].planned == "15:10");
    CHECK(sheet.times[2].planned == "15:40");
    CHECK(sheet.times[3].planned == "16:30");
    CHECK(sheet.times[3].latest == "17:30");
}

TEST_CASE("every packing of the workspace brings its warmers and cold packs with count and time") {
    const auto& workspace = testing::starter();
    for (const box::Packing& packing : workspace.packings.all()) {
        CAPTURE(packing.id);
        const Sheet sheet = sheet_of(planned_order(packing.id));
        const std::string text = flat(reports::sheet_text(sheet));
        const std::string page = all_text(page_of(sheet));
        std::size_t openings = 0;
        for (const auto& step : sheet.steps) openings += std::size_t{step.title == "Open warmers"};
        CHECK(openings == packing.warmers.size());
        for (const box::WarmerUse& use : packing.warmers) {
            const std::string wanted =
                std::to_string(use.count) + " x " + workspace.supplies.warmers.at(use.type).label;
            CHECK_THAT(text, Catch::Contains("At 14:25 (45 minutes before packing) open " + wanted));
            CHECK_THAT(page, Catch::Contains("At 14:25 (45 minutes before packing) open " + wanted));
            CHECK(use.opened_before_packing_h == 0.75);
        }
        CHECK((step_called(sheet, "The day before") != nullptr) == packing.coolant.has_value());
        if (packing.coolant) {
            const std::string wanted = "From Mon 1 Mar 15:10 at the latest, lay " +
                                       std::to_string(packing.coolant->count) + " x " +
                                       packing.coolant->type.label;
            CHECK_THAT(text, Catch::Contains(wanted));
            CHECK_THAT(page, Catch::Contains(wanted));
        }
    }
}

TEST_CASE("a pack below or at its melting point is hard and one above is soft") {
    CHECK_THAT(step_called(sheet_of(planned_order("small-38-1g")), "The day before")->text,
               Catch::EndsWith("flat at -10 °C, until hard through."));
    CHECK_THAT(step_called(sheet_of(planned_order("small-38-1p")), "The day before")->text,
               Catch::EndsWith("flat at 22 °C, until hard through."));
    planning::Workspace workspace = testing::starter();
    for (auto& packing : workspace.packings.all()) {
        if (packing.coolant) packing.coolant->conditioned_to_c = packing.coolant->type.melts_at_c + 1;
    }
    CHECK_THAT(step_called(sheet_of(planned_order("small-38-1p"), workspace), "The day before")->text,
               Catch::EndsWith("until soft through."));
}

TEST_CASE("steps give the figures of the recipe") {
    const Sheet sheet = sheet_of(planned_order("small-38-2w"));
    CHECK(step_called(sheet, "Box")->text ==
          "250 x 200 x 150 mm inside, 38 mm foam (eps-20), board (corrugated-c). 6 vent holes of 10 mm, open "
          "and "
          "clear.");
    CHECK_THAT(step_called(sheet, "Fill")->text, Catch::StartsWith("120 g of crumpled paper"));
    CHECK_THAT(
        step_called(sheet, "Cups")->text,
        Catch::StartsWith("1 x deli-500 (110 mm wide, 60 mm high)") && Catch::EndsWith("marked: T-07."));
    CHECK_THAT(step_called(sheet, "Close")->text, Catch::Contains("No tape over a vent hole"));
}

TEST_CASE("a small shell stops the sheet and stands before the packing") {
    orders::Order order = planned_order();
    order.animals.front().shell_mm = 48;
    const Sheet sheet = sheet_of(order);
    CHECK(sheet.needs_person());
    const std::string text = flat(reports::sheet_text(sheet));
    const auto at = text.find("Shell 48 mm is under 102 mm: this rule forbids the sale");
    REQUIRE(at != std::string::npos);
    CHECK(at < text.find("PACK, IN THIS ORDER"));
}

TEST_CASE("a comfortable order of grown tortoises needs no person") {
    CHECK_FALSE(sheet_of(planned_order()).needs_person());
}

TEST_CASE("rules are those of the order's lane with their sources and what to do") {
    const Sheet sheet = sheet_of(planned_order());
    const std::string text = flat(reports::sheet_text(sheet));
    for (const care::Rule& rule : sheet.rules) {
        CAPTURE(rule.id);
        CHECK_THAT(text, Catch::Contains("[ ] " + rule.text + " (" + rule.source + ")"));
        CHECK(rule.id != "border");
    }
    CHECK_THAT(text, Catch::Contains(care::kRulesChange));
}

TEST_CASE("any verdict but comfortable needs a person") {
    for (const Verdict verdict : {Verdict::tight, Verdict::unsafe, Verdict::unknown}) {
        orders::Order order = planned_order();
        order.choice->verdict = verdict;
        CAPTURE(verdict_name(verdict));
        CHECK(sheet_of(order).needs_person());
        CHECK_THAT(reports::sheet_text(sheet_of(order)),
                   Catch::Contains("  Verdict  " + reports::capitalised(std::string(verdict_name(verdict)))));
    }
}

TEST_CASE("the newest check of the choice in force stands in place of the plan's verdict") {
    orders::Reassessment found;
    found.made = testing::demo_now() + hours(20);
    found.weather_issued = found.made - hours(1);
    found.choice_version = 1;
    found.verdict = found.standing = Verdict::unsafe;
    found.hours_outside = 4.25;
    const Sheet sheet = sheet_of(planned_order(), testing::starter(), found.made, found);
    CHECK(sheet.verdict == Verdict::unsafe);
    CHECK_THAT(sheet.judged, Catch::Contains("4.2 h"));
    CHECK_THAT(sheet.assessed, Catch::StartsWith("Checked Tue 2 Mar 02:00"));
    CHECK_THAT(sheet.alarms.front(), Catch::Contains("keep the animals home"));
    found.choice_version = 9;
    CHECK(sheet_of(planned_order(), testing::starter(), testing::demo_now(), found).verdict ==
          Verdict::comfortable);
}

TEST_CASE("a check that found no weather makes the sheet unknown and tells no age of weather") {
    orders::Reassessment found;
    found.made = testing::demo_now() + hours(2);
    found.choice_version = 1;
    const Sheet sheet = sheet_of(planned_order(), testing::starter(), found.made, found);
    CHECK(sheet.judged == "Unknown");
    CHECK(sheet.assessed == "Checked Mon 1 Mar 08:00");
    REQUIRE(sheet.alarms.size() == 1);
    CHECK_THAT(sheet.alarms.front(), Catch::StartsWith("Unknown: there is no usable weather."));
    CHECK(sheet.needs_person());
}

TEST_CASE("a sheet on old weather or after the latest hand-over says so first") {
    const auto alarms_at = [](const char* now) {
        std::string all;
        for (const auto& alarm : sheet_of(planned_order(), testing::starter(), *parse_instant(now)).alarms)
            all += alarm + " ";
        return all;
    };
    CHECK(alarms_at("2027-03-01T22:00:00Z").empty());  // issued 10:00, stale after 12 hours
    CHECK_THAT(alarms_at("2027-03-01T22:00:01Z"), Catch::Contains("is 12 h old"));
    CHECK_THAT(alarms_at("2027-03-03T00:30:00Z"), !Catch::Contains("has passed"));  // 17:30 in El Paso
    CHECK_THAT(alarms_at("2027-03-03T00:30:01Z"), Catch::Contains("Tue 2 Mar 17:30, has passed"));
}

TEST_CASE("a recipe changed since the plan is told and an unchanged one is not") {
    planning::Workspace workspace = testing::starter();
    CHECK(sheet_of(planned_order(), workspace).alarms.empty());
    for (auto& packing : workspace.packings.all()) packing.fill_kg += 0.01;
    const Sheet sheet = sheet_of(planned_order(), workspace);
    REQUIRE(sheet.alarms.size() == 1);
    CHECK_THAT(sheet.alarms.front(), Catch::Contains("was changed since"));
}

TEST_CASE("a longer drive than planned is told") {
    planning::Workspace workspace = testing::starter();
    workspace.hand_over.drive += minutes(5);
    const Sheet sheet = sheet_of(planned_order(), workspace);
    REQUIRE(sheet.alarms.size() == 1);
    CHECK_THAT(sheet.alarms.front(),
               Catch::Contains("box closed 15:05 instead of 15:10") && !Catch::Contains("hand-over"));
}

TEST_CASE("a cut-off a hand-over and a promise that are others by now stop the sheet with both times") {
    const planning::Workspace workspace = testing::with_services([](nlohmann::ordered_json& service) {
        if (service.at("id") != "night-air") return;
        service["cut_off"] = "16:00";
        service["hand_over"] = "15:30";
        service["promised_by"] = "12:30";
    });
    const Sheet sheet = sheet_of(planned_order(), workspace);
    REQUIRE(sheet.alarms.size() == 1);
    CHECK_THAT(sheet.alarms.front(), Catch::Contains("latest hand-over 16:00 instead of 17:30") &&
                                         Catch::Contains("hand-over 15:30 instead of 16:30") &&
                                         Catch::Contains("promised there 12:30 instead of 10:30"));
    CHECK_THAT(reports::sheet_text(sheet), Catch::Contains("STOP AND READ"));
    // laid as it was when it was chosen: the afternoon of the day itself makes no difference
    CHECK(
        sheet_of(planned_order(), testing::starter(), *parse_instant("2027-03-01T22:00:00Z")).alarms.empty());
}

TEST_CASE("a day away that was entered after planning stops the sheet") {
    weekly::Limits limits;
    limits.days_away = {{date::year{2027} / 3 / 2, date::year{2027} / 3 / 3}};
    const Sheet sheet =
        sheet_of(planned_order(), testing::starter(), testing::demo_now(), std::nullopt, limits);
    REQUIRE(sheet.alarms.size() == 1);
    CHECK_THAT(sheet.alarms.front(),
               Catch::Contains("Cannot go as planned: you are away on Tue 2 Mar. Plan again."));
}

TEST_CASE("a service that is gone stops the sheet") {
    orders::Order order = planned_order();
    order.choice->service = "old-service";
    const Sheet sheet = sheet_of(order);
    REQUIRE(sheet.alarms.size() == 1);
    CHECK_THAT(sheet.alarms.front(), Catch::Contains("services.json has no 'old-service' any more"));
}

TEST_CASE("what a check found against the plan is told and the weather is not blamed") {
    orders::Reassessment found;
    found.made = testing::demo_now() + hours(2);
    found.choice_version = 1;
    found.trouble = "no carrier takes the box";
    const Sheet sheet = sheet_of(planned_order(), testing::starter(), found.made, found);
    REQUIRE(sheet.alarms.size() == 1);
    CHECK_THAT(sheet.alarms.front(),
               Catch::Contains("no carrier takes the box") && !Catch::Contains("weather"));
}

TEST_CASE("a better box on the same day is not called another day and a better day says how") {
    orders::Reassessment found;
    found.made = testing::demo_now() + hours(2);
    found.weather_issued = found.made;
    found.choice_version = 1;
    found.standing = found.verdict = Verdict::comfortable;
    found.hours_outside = 1.5;
    found.better_day = planned_order().choice->ship_date;
    found.better_service = "night-air";
    found.better_packing = "small-38-2w";
    const auto said = [&] {
        return flat(reports::sheet_text(sheet_of(planned_order(), testing::starter(), found.made, found)));
    };
    const std::string box = testing::starter().packings.find("small-38-2w").label;
    CHECK_THAT(said(), Catch::Contains("another box on the same day, by Night in " + box));
    found.better_day = date::year{2027} / 3 / 4;
    CHECK_THAT(said(), Catch::Contains("Thu 4 Mar by Night in " + box));
    found.better_day = date::year{2027} / 2 / 26;  // past
    CHECK_THAT(said(), !Catch::Contains("The check found better"));
}

TEST_CASE("an order without a plan has no sheet and is told how to get one") {
    orders::Order order = planned_order();
    order.choice.reset();
    order.state = orders::State::open;
    CHECK_THROWS_AS(sheet_of(order), UsageError);
    CHECK_THROWS_WITH(sheet_of(order), Catch::Contains("JB-1041 has no ship day") && Catch::Contains("week"));
}

TEST_CASE("a cancelled order has no sheet") {
    orders::Order order = planned_order();
    order.state = orders::State::cancelled;
    CHECK_THROWS_WITH(sheet_of(order), Catch::Contains("was cancelled"));
}

TEST_CASE("a packing that is gone is an error of packings.json") {
    orders::Order order = planned_order();
    order.choice->packing = "sold-out";
    CHECK_THROWS_AS(sheet_of(order), InputError);
    CHECK_THROWS_WITH(sheet_of(order), Catch::Contains("packings.json") && Catch::Contains("'sold-out'"));
}

TEST_CASE("an order that is under way has a sheet for the records without alarms") {
    orders::Order order = planned_order();
    order.state = orders::State::handed_over;
    const Sheet sheet = sheet_of(order, testing::starter(), *parse_instant("2027-03-05T12:00:00Z"));
    CHECK(sheet.alarms.empty());
    CHECK_THAT(reports::sheet_text(sheet), Catch::Contains("for your records"));
}

TEST_CASE("the label has both addresses or a line to write them on") {
    orders::Order order = planned_order();
    const std::string text = reports::sheet_text(sheet_of(order));
    CHECK_THAT(text, Catch::Contains("  From  Juniper Bench Herpetology\n        1 Example Road\n"));
    CHECK_THAT(text, Catch::Contains("  To    Buyer 01\n        2 Example Street\n        Duluth MN\n"));
    CHECK_THAT(text,
               Catch::Contains("Testudo hermanni (Hermann's tortoise), number: 1, alive, not venomous"));
    order.buyer.address.clear();
    CHECK_THAT(reports::sheet_text(sheet_of(order)), Catch::Contains("  To    Buyer 01\n        ____"));
}

TEST_CASE("hostile names stay text in page and lines") {
    orders::Order order = planned_order();
    const std::string evil = "<script>alert(\"x\")</script> & 'Zoë' 🐢\x01";
    order.number = evil;
    order.buyer.name = evil;
    order.buyer.address = evil + "\n" + std::string(300, 'x');
    order.place.name = evil;
    order.animals = {{evil, 28, 150}, {std::string(200, 'W'), std::nullopt, std::nullopt}};
    planning::Workspace workspace = testing::starter();
    workspace.breeder = evil;
    const Sheet sheet = sheet_of(order, workspace);
    const auto page = page_of(sheet);
    CHECK(page.problem().empty());
    CHECK(page.count("script") == 0);
    CHECK_THAT(all_text(page), Catch::Contains("<script>alert(\"x\")</script> & 'Zoë' 🐢"));
    for (const auto& line : testing::lines_of(reports::sheet_text(sheet))) {
        CAPTURE(line);
        CHECK(testing::columns_of(line) <= 80);
    }
}

TEST_CASE("a sheet keeps to eighty columns with every packing and species") {
    for (const care::Species& species : testing::starter().species.all()) {
        for (const box::Packing& packing : testing::starter().packings.all()) {
            orders::Order order = planned_order(packing.id);
            order.species = species.id;
            for (const auto& line : testing::lines_of(reports::sheet_text(sheet_of(order)))) {
                CAPTURE(line);
                REQUIRE(testing::columns_of(line) <= 80);
                REQUIRE((line.empty() || line.back() != ' '));
            }
        }
    }
}

TEST_CASE("the page is well-formed fetches nothing and runs nothing") {
    const std::string html = reports::sheet_html(sheet_of(planned_order()));
    CHECK(page_of(sheet_of(planned_order())).problem().empty());
    CHECK_THAT(html, Catch::Contains("<html lang=\"en\">"));
    CHECK_THAT(html, Catch::Contains("Content-Security-Policy") && Catch::Contains("default-src 'none'"));
    for (const char* not_there : {"http:", "https:", "url(", "<script", "<img", "@import", "javascript"})
        CHECK_THAT(html, !Catch::Contains(not_there));
}

TEST_CASE("page and text hold the same rules cautions steps and marks") {
    const Sheet sheet = sheet_of(planned_order("small-38-2s"));
    const std::string page = all_text(page_of(sheet));
    const std::string text = flat(reports::sheet_text(sheet));
    std::vector<std::string> all = sheet.marks;
    for (const auto& rule : sheet.rules) all.push_back(rule.text);
    for (const auto& caution : sheet.cautions) all.push_back(caution.text);
    for (const auto& step : sheet.steps) all.push_back(step.text);
    for (const auto& check : sheet.checks) all.push_back(check);
    CHECK(all.size() > 25);
    for (const auto& each : all) {
        CAPTURE(each);
        CHECK_THAT(page, Catch::Contains(each));
        CHECK_THAT(text, Catch::Contains(each));
    }
}

TEST_CASE("the JSON of a sheet has instants rules and what needs a person") {
    const auto json = nlohmann::json::parse(reports::sheet_json(sheet_of(planned_order())));
    CHECK(json.at("document") == "mildway sheet");
    CHECK(json.at("version") == 1);
    CHECK(json.at("times").at(3).at("planned") == "2027-03-02T23:30:00Z");
    CHECK(json.at("times").at(3).at("latest") == "2027-03-03T00:30:00Z");
    CHECK(json.at("rules").at(0).at("id") == "state-entry");
    CHECK(json.at("needs_person") == false);
    CHECK(json.at("verdict") == "comfortable");
}

TEST_CASE("degrees of a sheet are the workspace's") {
    planning::Workspace workspace = testing::starter();
    workspace.scale = TemperatureScale::fahrenheit;
    CHECK_THAT(sheet_of(planned_order(), workspace).bounds, Catch::StartsWith("Safe from 54 °F to 88 °F"));
}
