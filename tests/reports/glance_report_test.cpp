#include "mildway/reports/glance_report.hpp"

#include "catch.hpp"
#include "plan_world.hpp"
#include "report_text.hpp"
#include "xml_check.hpp"

#include <nlohmann/json.hpp>

using namespace mildway;
using testing::flat;
using testing::starter;
using weather::Glance;

namespace {

Glance glance_of(const std::string& place = "Duluth MN", int days = 7,
                 const std::function<void(weather::Outlook&)>& change = {}) {
    const Place at = *starter().find_place(place);
    weather::Outlook outlook = testing::demo_weather().outlook(at);
    if (change) change(outlook);
    return weather::make_glance(at, std::move(outlook), testing::demo_now(), hours(12), {days, 256, 1, 2});
}

std::string text_of(const Glance& glance) {
    return reports::glance_text(starter(), glance);
}

weather::Alert storm() {
    return {"Winter Storm Warning",          "WS",        "Severe", testing::demo_now() + hours(20),
            testing::demo_now() + hours(44), "heavy snow"};
}

}  // namespace

TEST_CASE("a glance says who says so and how old it is") {
    const std::string text = flat(text_of(glance_of()));
    CHECK_THAT(text, Catch::StartsWith("Duluth MN (46.7867,-92.1005), clock America/Chicago"));
    CHECK_THAT(text, Catch::Contains("US National Weather Service (forecast): issued 3 h ago"));
}

TEST_CASE("a glance keeps to the width of a screen") {
    const Glance glance = glance_of("Duluth MN", 7, [](weather::Outlook& outlook) {
        outlook.snow_mm_per_h.assign(outlook.hour_count(), 5.0);
        outlook.gust_m_per_s.assign(outlook.hour_count(), 22.0);
        outlook.thunder_probability.assign(outlook.hour_count(), 0.5);
        outlook.attributions = {"Data from MET Norway (CC BY 4.0)"};
        outlook.alerts_known = true;
        outlook.alerts = {storm()};
    });
    for (const auto& line : testing::lines_of(text_of(glance))) {
        CAPTURE(line);
        CHECK(line.size() <= 80 + 2 * 4);  // the degree sign takes two bytes
    }
}

TEST_CASE("a glance shows degrees as the workspace wants them") {
    planning::Workspace workspace = starter();
    workspace.scale = planning::TemperatureScale::fahrenheit;
    const Glance glance = glance_of();
    CHECK_THAT(reports::glance_text(workspace, glance), Catch::Contains("°F"));
    CHECK_THAT(reports::glance_text(starter(), glance), !Catch::Contains("°F"));
}

TEST_CASE("snow and wind are named on the days they come") {
    const Glance glance = glance_of("Duluth MN", 3, [](weather::Outlook& outlook) {
        outlook.snow_mm_per_h.assign(outlook.hour_count(), 1.0);
        outlook.ice_mm_per_h.assign(outlook.hour_count(), 0.0);
        outlook.gust_m_per_s.assign(outlook.hour_count(), 20.0);
    });
    CHECK_THAT(text_of(glance), Catch::Contains("snow 3 cm, gusts 20 m/s"));
}

TEST_CASE("unknown snow in the cold is told as not known") {
    const Glance glance = glance_of("Duluth MN", 2, [](weather::Outlook& outlook) {
        outlook.snow_mm_per_h.clear();
        outlook.ice_mm_per_h.assign(outlook.hour_count(), 0.0);
    });
    CHECK_THAT(text_of(glance), Catch::Contains("snow: not known"));
}

TEST_CASE("unknown warnings are not shown as none") {
    const auto with = [](bool known, bool any) {
        return text_of(glance_of("Duluth MN", 2, [&](weather::Outlook& outlook) {
            outlook.alerts_known = known;
            if (any) outlook.alerts = {storm()};
        }));
    };
    CHECK_THAT(with(false, false), Catch::Contains("Warnings in force: not known."));
    CHECK_THAT(with(false, true), Catch::Contains("not known; an older answer had:"));
    CHECK_THAT(with(true, false), Catch::Contains("Warnings in force: none."));
    CHECK_THAT(flat(with(true, true)),
               Catch::Contains("Winter Storm Warning, from Tue 2 Mar 03:00 to Wed 3 Mar 03:00"));
}

TEST_CASE("a doubt stands at the head and says not to plan with it") {
    const Glance glance =
        glance_of("Duluth MN", 2, [](weather::Outlook& outlook) { outlook.issued -= hours(30); });
    CHECK_THAT(flat(text_of(glance)),
               Catch::Contains("is stale") && Catch::Contains("Do not plan with this."));
}

TEST_CASE("days of the climate are marked and explained") {
    const Glance glance = glance_of("Duluth MN", 3, [](weather::Outlook& outlook) {
        outlook.climate_from = testing::demo_now() + hours(40);
    });
    const std::string text = text_of(glance);
    CHECK_THAT(text, Catch::Contains("Wed 3 Mar*") && Catch::Contains("No forecast reaches this day"));
}

TEST_CASE("sources of a pool are shown with weight and distance") {
    const Glance glance = glance_of("Duluth MN", 2, [](weather::Outlook& outlook) {
        outlook.voices = {
            {"A", "a", weather::Basis::forecast, outlook.issued, {}, outlook.last_known(), 0.6, 0.0, 0},
            {"B", "b", weather::Basis::ensemble, outlook.issued, testing::demo_now(), outlook.last_known(),
             0.4, -1.26, -3}};
    });
    const std::string text = flat(text_of(glance));
    CHECK_THAT(text, Catch::Contains("weight 0.60, as the whole on average"));
    CHECK_THAT(text, Catch::Contains("B (ensemble): issued 3 h ago, asked 0 h ago, up to"));
    CHECK_THAT(text, Catch::Contains("weight 0.40, 1.3 K colder than the whole on average"));
}

TEST_CASE("credits that a licence asks for are printed") {
    const Glance glance = glance_of("Duluth MN", 2, [](weather::Outlook& outlook) {
        outlook.attributions = {"Data from MET Norway (CC BY 4.0)"};
    });
    CHECK_THAT(text_of(glance), Catch::Contains("Data from MET Norway (CC BY 4.0)"));
    CHECK_THAT(reports::glance_svg(starter(), glance), Catch::Contains("Data from MET Norway (CC BY 4.0)"));
}

TEST_CASE("the JSON of a glance carries days and hours and unknowns as null") {
    const auto json = nlohmann::json::parse(reports::glance_json(
        glance_of("Duluth MN", 3, [](weather::Outlook& outlook) { outlook.gust_m_per_s.clear(); })));
    CHECK(json["document"] == "mildway weather");
    CHECK(json["version"] == 1);
    CHECK(json["days"].size() == 3);
    CHECK(json["days"][1]["date"] == "2027-03-02");
    CHECK(json["days"][1]["low_c"]["p5"].get<double>() < json["days"][1]["low_c"]["p95"].get<double>());
    CHECK(json["days"][1]["gust_m_per_s"].is_null());
    CHECK(json["hours"].size() == 17 + 48);  // from 07:00 on
    CHECK(json["alerts_known"] == false);
    CHECK(json["usable"] == true);
}

TEST_CASE("the drawing is well-formed and says what it shows in words") {
    const std::string svg = reports::glance_svg(starter(), glance_of());
    const testing::XmlCheck check(svg);
    CHECK(check.problem().empty());
    CHECK(check.count("polygon") == 1);
    CHECK_THAT(svg, Catch::Contains("<title id=\"t\">Duluth MN") && Catch::Contains("Mon 1 Mar"));
}

TEST_CASE("a gap in the series is a gap in the drawing") {
    const std::string svg = reports::glance_svg(
        starter(), glance_of("Duluth MN", 3,
                             [](weather::Outlook& outlook) { outlook.temp_c.front()[30] = std::nan(""); }));
    CHECK(testing::XmlCheck(svg).count("polygon") == 2);
}

TEST_CASE("a drawing of nothing says so") {
    const Glance glance = glance_of("Duluth MN", 2, [](weather::Outlook& outlook) {
        for (double& temp_c : outlook.temp_c.front()) temp_c = std::nan("");
    });
    const std::string svg = reports::glance_svg(starter(), glance);
    CHECK(testing::XmlCheck(svg).problem().empty());
    CHECK_THAT(svg, Catch::Contains("nothing is known of the days ahead"));
}
