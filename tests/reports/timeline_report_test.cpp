// One box hour by hour, as table, CSV and JSON.
#include "catch.hpp"
#include "layout.hpp"
#include "report_text.hpp"
#include "temp_workspace.hpp"
#include "traced_box.hpp"

#include <stdexcept>

#include <nlohmann/json.hpp>

using namespace mildway;
using testing::TracedBox;

namespace {

const TracedBox& cold_box() {
    static const TracedBox box(
        {.services = {"night-air"}, .packings = {"small-19"}, .days = 1, .scenarios = 256});
    return box;
}

/// Rows of fields, read by the rules of RFC 4180 and refusing all else.
std::vector<std::vector<std::string>> read_csv(const std::string& text) {
    std::vector<std::vector<std::string>> rows{{""}};
    bool quoted = false;
    for (std::size_t i = 0; i < text.size(); ++i) {
        std::string& field = rows.back().back();
        if (quoted) {
            if (text[i] != '"')
                field += text[i];
            else if (i + 1 < text.size() && text[i + 1] == '"')
                field += text[++i];
            else
                quoted = false;
        } else if (text[i] == '"') {
            if (!field.empty()) throw std::runtime_error("a quote inside a bare field");
            quoted = true;
        } else if (text[i] == ',') {
            rows.back().emplace_back();
        } else if (text[i] == '\r') {
            if (i + 1 == text.size() || text[++i] != '\n') throw std::runtime_error("a bare carriage return");
            rows.push_back({""});
        } else if (text[i] == '\n') {
            throw std::runtime_error("a bare line feed");
        } else {
            field += text[i];
        }
    }
    if (quoted || rows.back() != std::vector<std::string>{""})
        throw std::runtime_error("the last row does not end");
    rows.pop_back();
    return rows;
}

/// The starter's workspace with a leg that CSV and XML have to take care of.
planning::Workspace with_leg_named(const std::string& name) {
    testing::TempWorkspace folder;
    folder.edit_json("services.json", [&](auto& json) {
        for (auto& service : json["services"]) {
            for (auto& leg : service["legs"]) {
                if (leg.value("leg", "") == "van") leg["name"] = name;
            }
            for (auto& wait : service["late"]["waits"]) {
                if (wait["after"] == "van") wait["after"] = name;
            }
        }
    });
    return planning::Workspace::load(folder.path());
}

}  // namespace

TEST_CASE("a timeline's CSV has a header a row for each moment and a constant count of fields") {
    const auto rows = read_csv(reports::timeline_csv(cold_box().subject(), cold_box().timeline()));
    REQUIRE(rows.size() == cold_box().timeline().moments.size() + 1);
    CHECK(rows.front().size() == 14);
    CHECK(rows.front().front() == "time_utc");
    for (const auto& row : rows) CHECK(row.size() == rows.front().size());
}

TEST_CASE("a timeline's CSV gives the moment's own figures") {
    const auto rows = read_csv(reports::timeline_csv(cold_box().subject(), cold_box().timeline()));
    const odds::Moment& moment = cold_box().timeline().moments.at(5);
    const auto& row = rows.at(6);
    CHECK(row[0] == format_instant(moment.when));
    CHECK(row[2] == moment.leg);
    CHECK(std::stod(row[4]) == Approx(moment.around_c.p5).margin(0.006));
    CHECK(std::stod(row[8]) == Approx(moment.cavity_c.p50).margin(0.006));
    CHECK(std::stod(row[12]) == Approx(moment.animals_c.p95).margin(0.006));
    CHECK(std::stod(row[13]) == Approx(moment.on_its_way).margin(0.0001));
}

TEST_CASE("a timeline's CSV gives local time at the origin beside UTC") {
    const auto rows = read_csv(reports::timeline_csv(cold_box().subject(), cold_box().timeline()));
    CHECK(rows[1][0] == "2027-03-01T22:10:00Z");
    CHECK(rows[1][1] == "2027-03-01T15:10");  // America/Denver, seven hours behind in winter
}

TEST_CASE("commas and quotes in a leg's name survive CSV") {
    const std::string name = "van, \"green\" one";
    const TracedBox box({.services = {"night-air"}, .packings = {"small-19"}, .days = 1, .scenarios = 16},
                        with_leg_named(name));
    const std::string csv = reports::timeline_csv(box.subject(), box.timeline());
    CHECK_THAT(csv, Catch::Contains("\"van, \"\"green\"\" one\""));
    int rows_of_leg = 0;
    for (const auto& row : read_csv(csv)) {
        CHECK(row.size() == 14);
        rows_of_leg += row[2] == name;
    }
    CHECK(rows_of_leg >= 1);
}

TEST_CASE("a timeline's JSON has the same moments without a null") {
    const auto json =
        nlohmann::json::parse(reports::timeline_json(cold_box().subject(), cold_box().timeline()));
    CHECK(json.at("document") == "mildway trace");
    CHECK(json.at("version") == 1);
    CHECK(json.at("service") == "night-air");
    CHECK(json.at("packing") == "small-19");
    CHECK(json.at("ship_date") == "2027-03-01");
    CHECK(json.at("cut_short").is_null());
    REQUIRE(json.at("moments").size() == cold_box().timeline().moments.size());
    for (const auto& moment : json.at("moments")) {
        for (const char* where : {"around_c", "cavity_c", "animals_c"}) {
            for (const char* share : {"p5", "p50", "p95"}) CHECK(moment.at(where).at(share).is_number());
        }
    }
}

TEST_CASE("a timeline's JSON has the oxygen of a box with warmers and the coolant of one with packs") {
    const auto first_moments = [](const char* packing) {
        const testing::TracedBox box({.packings = {packing}, .days = 1, .scenarios = 128});
        return nlohmann::json::parse(reports::timeline_json(box.subject(), box.timeline())).at("moments");
    };
    const auto warm = first_moments("small-38-2w");
    CHECK(warm.back().at("oxygen_share_p50") < 0.95);
    CHECK_FALSE(warm.front().contains("coolant_c"));
    const auto cool = first_moments("small-38-1g");
    CHECK(cool.front().at("coolant_c").at("p50") == Approx(-10));
    CHECK_FALSE(cool.front().contains("oxygen_share_p50"));
}

TEST_CASE("a timeline cut short says why in JSON and text") {
    odds::Timeline timeline = cold_box().timeline();
    timeline.cut_short = "the forecast for Duluth MN ends Tue 2 Mar 06:00, before the trip does";
    const auto json = nlohmann::json::parse(reports::timeline_json(cold_box().subject(), timeline));
    CHECK(json.at("cut_short") == timeline.cut_short);
    CHECK_THAT(testing::flat(reports::timeline_text(cold_box().subject(), timeline)),
               Catch::EndsWith("Not known after that: " + timeline.cut_short + "."));
}

TEST_CASE("a timeline's table fits eighty columns on every service") {
    for (const char* service : {"night-air", "night-air+held", "two-day"}) {
        const TracedBox box({.to = "Sacramento CA",
                             .species = "dart-frog",
                             .services = {service},
                             .packings = {"medium-38-2w"},
                             .days = 1,
                             .scenarios = 16});
        for (const auto& line : testing::lines_of(reports::timeline_text(box.subject(), box.timeline()))) {
            CAPTURE(line);
            CHECK(reports::display_width(line) <= reports::kColumns);
        }
    }
}

TEST_CASE("a timeline's table heads every leg once and in the order of the trip") {
    const std::string text = reports::timeline_text(cold_box().subject(), cold_box().timeline());
    std::size_t at = 0;
    for (const auto& leg : cold_box().trip().legs) {
        CAPTURE(leg.name);
        const std::string heading = "\n" + std::string(leg.name) + " ";
        const auto next = text.find(heading, at);
        REQUIRE(next != std::string::npos);
        at = next + 1;
        CHECK(text.find(heading, at) == std::string::npos);
    }
}

TEST_CASE("a late timeline says how late and after which leg it waits") {
    const auto heading = [](const reports::TimelineSubject& subject) {
        return testing::flat(reports::timeline_text(subject, cold_box().timeline()));
    };
    CHECK_THAT(heading(cold_box().late_subject(1, 0)),
               Catch::Contains("One service day late, waiting after 'hub sort'."));
    CHECK_THAT(heading(cold_box().late_subject(2, 2)),
               Catch::Contains("Two service days late, waiting after 'van'."));
    CHECK_THAT(heading(cold_box().subject()), !Catch::Contains("late, waiting"));
}

TEST_CASE("a timeline's JSON says how late and after which leg it waits") {
    const auto json = [](const reports::TimelineSubject& subject) {
        return nlohmann::json::parse(reports::timeline_json(subject, cold_box().timeline()));
    };
    const auto late = json(cold_box().late_subject(1, 1));
    CHECK(late.at("late_days") == 1);
    CHECK(late.at("late_after") == "station");
    CHECK(json(cold_box().subject()).at("late_days") == 0);
    CHECK(json(cold_box().subject()).at("late_after").is_null());
}

TEST_CASE("moments too cold for some are marked in the table") {
    const std::string text = reports::timeline_text(cold_box().subject(), cold_box().timeline());
    int marked = 0;
    int cold = 0;
    for (const auto& line : testing::lines_of(text)) marked += line.ends_with(" cold");
    for (const auto& moment : cold_box().timeline().moments)
        cold += moment.animals_c.p5 < 13 && moment.animals_c.p95 <= 30;
    CHECK(marked == cold);
    CHECK(marked > 3);
}

TEST_CASE("a Fahrenheit workspace shows a timeline in degrees Fahrenheit") {
    planning::Workspace workspace = testing::starter();
    workspace.scale = planning::TemperatureScale::fahrenheit;
    const TracedBox box({.services = {"night-air"}, .packings = {"small-19"}, .days = 1, .scenarios = 16},
                        workspace);
    const std::string text = testing::flat(reports::timeline_text(box.subject(), box.timeline()));
    CHECK_THAT(text, Catch::Contains("Safe from 55 \u00b0F to 86 \u00b0F") && !Catch::Contains("\u00b0C"));
}
