// Eighty columns, whatever has to be said.
#include "mildway/reports/calendar_text.hpp"
#include "mildway/reports/plan_text.hpp"

#include "catch.hpp"
#include "layout.hpp"
#include "plan_world.hpp"
#include "report_text.hpp"
#include "temp_workspace.hpp"

using namespace mildway;
using reports::display_width;

namespace {

void check_width(const std::string& text) {
    for (const auto& line : testing::lines_of(text)) {
        if (display_width(line) <= reports::kColumns) continue;
        CAPTURE(line);
        CHECK(display_width(line) <= reports::kColumns);
    }
}

/// Forty characters of two bytes each, in words.
std::string long_label(char last) {
    std::string label;
    for (int i = 0; i < 39; ++i) label += i % 8 == 7 ? " " : "\u00e9";
    return label + last;
}

/// Labels of 40 characters wherever a workspace takes them; packings take 24.
void lengthen_labels(testing::TempWorkspace& folder) {
    folder.edit_json("services.json", [](auto& json) {
        char last = 'a';
        for (auto& service : json["services"]) service["label"] = long_label(last++);
    });
    folder.edit_json("packings.json", [](auto& json) {
        char last = 'a';
        for (auto& packing : json["packings"])
            packing["label"] =
                "\u00e9\u00e9\u00e9\u00e9\u00e9\u00e9\u00e9 \u00e9\u00e9\u00e9\u00e9\u00e9\u00e9\u00e9 "
                "\u00e9\u00e9\u00e9\u00e9\u00e9\u00e9\u00e9" +
                std::string(1, last++);
    });
    folder.edit_json("species.json", [](auto& json) {
        char last = 'a';
        for (auto& species : json["species"]) species["common"] = long_label(last++);
    });
    folder.edit("workspace.json", "\"name\": \"Duluth MN\"", "\"name\": \"" + long_label('z') + "\"");
}

}  // namespace

TEST_CASE("no line of a plan is wider than eighty columns on any demo lane for any species") {
    for (const char* to : {"Duluth MN", "Tampa FL", "Bozeman MT", "Sacramento CA", "Albany NY"}) {
        for (const auto& species : testing::starter().species.all()) {
            CAPTURE(to, species.id);
            const auto plan =
                testing::plan_for({.to = to, .species = species.id, .days = 9, .scenarios = 16});
            check_width(reports::plan_text(testing::starter(), plan, {1000}));
            check_width(reports::calendar_text(testing::starter(), plan));
        }
    }
}

TEST_CASE("no line is wider than eighty columns with forty characters in every label") {
    testing::TempWorkspace folder;
    lengthen_labels(folder);
    const auto workspace = planning::Workspace::load(folder.path());
    for (const auto* species : {"hermanns-tortoise", "crested-gecko"}) {
        const auto request = testing::request_for(
            {.to = long_label('z'), .species = species, .count = 5, .days = 9, .scenarios = 64}, workspace);
        const auto plan = planning::make_plan(workspace, testing::demo_weather(), request);
        check_width(reports::plan_text(workspace, plan, {1000}));
        check_width(reports::calendar_text(workspace, plan));
    }
}

TEST_CASE("rows of a hundred and more ranks and dear parcels stay in their columns") {
    testing::TempWorkspace folder;
    lengthen_labels(folder);
    folder.edit_json("services.json", [](auto& json) {
        for (auto& service : json["services"]) {
            for (auto& [zone, row] : service["price"]["usd_by_zone"].items()) {
                for (auto& usd : row) usd = 10000;
            }
        }
    });
    const auto workspace = planning::Workspace::load(folder.path());
    const auto request = testing::request_for(
        {.to = long_label('z'), .species = "corn-snake", .days = 7, .scenarios = 16}, workspace);
    const auto plan = planning::make_plan(workspace, testing::demo_weather(), request);
    REQUIRE(plan.options.size() > 99);
    const std::string text = reports::plan_text(workspace, plan, {1000});
    check_width(text);
    std::size_t verdict_column = 0;
    int rows = 0;
    for (const auto& line : testing::lines_of(text)) {
        const auto dollars = line.find(" $100");
        const bool in_words = line.find(':') != std::string::npos;  // the cost of the first option
        if (dollars == std::string::npos || in_words) continue;
        const auto here = display_width(line.substr(0, line.rfind(' ')));
        if (rows++ == 0) verdict_column = here;
        CHECK(here == verdict_column);
    }
    CHECK(rows == static_cast<int>(plan.options.size()));
}

TEST_CASE("doubts and findings about the weather are broken into lines too") {
    auto request = testing::request_for({.scenarios = 16});
    request.now += hours(30);
    const testing::ChangedWeather source([](const Place&, weather::Outlook& outlook) {
        outlook.findings.push_back(
            "something that has to be said about this series in rather more words than fit on a line");
    });
    const auto plan = planning::make_plan(testing::starter(), source, request);
    const std::string text = reports::plan_text(testing::starter(), plan, {8});
    check_width(text);
    const std::string said = "Duluth MN: something that has to be said";
    const std::string flat = testing::flat(text);
    REQUIRE(flat.find(said) != std::string::npos);
    CHECK(flat.find("something that has to be said", flat.find(said) + said.size()) ==
          std::string::npos);  // once for all
}
