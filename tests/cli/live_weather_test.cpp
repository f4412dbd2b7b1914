// Plans from services on this computer, whole: what goes out, what comes back, what is kept.
#include "catch.hpp"
#include "live_services.hpp"
#include "report_text.hpp"

#include <set>

#include <fmt/format.h>

using namespace mildway;
using testing::LiveServices;
using testing::Outcome;
using testing::Reply;
using testing::Seen;

namespace {

/// A station file that says 40 degF at every hour of the year, at the place the workspace's list has for it.
Reply made_normals(const LiveServices& services, const std::string& target) {
    const auto begins = target.rfind('/') + 1;
    const std::string id = target.substr(begins, target.rfind('.') - begins);
    const auto list = nlohmann::json::parse(
        testing::slurp(services.workspace().path() / "climate_stations.json"))["stations"];
    for (const auto& station : list) {
        if (station["id"] != id) continue;
        const std::string where = fmt::format("{},{},200.0", station["latitude_deg"].get<double>(),
                                              station["longitude_deg"].get<double>());
        std::string text =
            "STATION,DATE,LATITUDE,LONGITUDE,ELEVATION,HLY-TEMP-10PCTL,HLY-TEMP-90PCTL,HLY-TEMP-NORMAL,"
            "comp_flag_HLY-TEMP-NORMAL\n";
        const Instant new_year = date::sys_days(date::year(2001) / 1 / 1);
        for (int hour = 0; hour < 365 * 24; ++hour)
            text += fmt::format("{},{},{},20.0,60.0,40.0,C\n", id,
                                date::format("%m-%dT%H:%M:%S", new_year + hours(hour)), where);
        return {.body = text, .content_type = "text/csv"};
    }
    return {.status = 404};
}

}  // namespace

TEST_CASE("behind the last day of the forecast stand the normals of the nearest station") {
    LiveServices services;
    services.workspace().edit_json(
        "workspace.json", [](auto& json) { json["weather"]["beyond_forecast"] = "climate-normals"; });
    services.answer_instead([&](const Seen& seen) -> std::optional<Reply> {
        if (!seen.target.starts_with("/data/normals-hourly/")) return std::nullopt;
        return made_normals(services, seen.target);
    });
    const Outcome outcome = services.run({"weather", "Duluth MN", "--days", "14", "--json"});
    REQUIRE(outcome.code == cli::kDone);
    const auto days = outcome.json()["days"];
    REQUIRE(days.size() == 14);
    CHECK(days[2]["basis_is_climate"] == false);
    CHECK(days[13]["basis_is_climate"] == true);
    // 40 degF are 4.4 degC; the winter's spread about it is 6 K and more
    CHECK(days[13]["low_c"]["p5"].get<double>() < -3);
    CHECK(days[13]["high_c"]["p95"].get<double>() > 12);
}

TEST_CASE("a live plan has the figures of a recorded one of the same forecasts") {
    LiveServices services;
    const Outcome live = services.plan({"--json"});
    const Outcome recorded = testing::plan_in(services.workspace(), {"--json", "--days", "3"});
    REQUIRE(live.code == recorded.code);
    CHECK(testing::figures_of(live) == testing::figures_of(recorded));
}

TEST_CASE("requests name the program and the contact and no more than four decimals") {
    LiveServices services;
    (void)services.plan();
    std::set<std::string> points;
    for (const Seen& seen : services.seen()) {
        CHECK(seen.headers.at("user-agent") == "mildway/0.1.0 (breeder@mildway.test)");
        if (seen.target.starts_with("/points/")) points.insert(seen.target);
    }
    CHECK(points == std::set<std::string>{"/points/31.7619,-106.485", "/points/32.3199,-106.7637",
                                          "/points/38.7487,-90.37", "/points/46.7867,-92.1005"});
}

TEST_CASE("a second plan soon after asks nobody and prints the same") {
    LiveServices services;
    const Outcome first = services.plan();
    const std::size_t asked = services.asked();
    const Outcome second = services.plan();
    CHECK(services.asked() == asked);
    CHECK(second.out == first.out);
}

TEST_CASE("a plan an hour later asks again and is content with not modified") {
    LiveServices services;
    (void)services.plan();
    const std::size_t before = services.asked();
    services.answer("/gridpoints/", {.status = 304});
    const Outcome later = services.plan({}, "2027-03-01T14:00:00Z");
    CHECK(later.code <= cli::kNeedsPerson);
    CHECK(services.asked() > before);
    int conditional = 0;
    for (const Seen& seen : services.seen()) {
        if (seen.headers.contains("if-modified-since")) {
            CHECK(seen.headers.at("if-modified-since") == "Mon, 01 Mar 2027 10:12:00 GMT");
            ++conditional;
        }
    }
    CHECK(conditional == 4);
}

TEST_CASE("offline the kept answers are used and nobody is asked") {
    LiveServices services;
    const Outcome online = services.plan({"--json"});
    const std::size_t asked = services.asked();
    const Outcome offline = services.plan({"--json", "--offline"}, "2027-03-01T16:00:00Z");
    CHECK(services.asked() == asked);
    REQUIRE(offline.code <= cli::kNeedsPerson);
    CHECK(offline.json()["weather"].size() == online.json()["weather"].size());
    CHECK_THAT(offline.json()["weather"][0]["findings"].dump(), Catch::Contains("3 h ago"));
}

TEST_CASE("offline without kept answers there is no weather") {
    LiveServices services;
    const Outcome outcome = services.plan({"--offline"});
    CHECK(outcome.code == cli::kNoWeather);
    CHECK(outcome.out.empty());
    CHECK_THAT(outcome.err, Catch::Contains("offline"));
}

TEST_CASE("when the service fails the last good copy is used and its age is shown") {
    LiveServices services;
    (void)services.plan();
    services.answer("/gridpoints/duluth",
                    {.status = 500, .body = "{}", .content_type = "application/problem+json"});
    const Outcome later = services.plan({}, "2027-03-01T18:00:00Z");
    CHECK(later.code <= cli::kNeedsPerson);
    CHECK_THAT(testing::flat(later.out), Catch::Contains("500") && Catch::Contains("5 h ago"));
}

TEST_CASE("a last good copy older than trusted makes every option unknown") {
    LiveServices services;
    (void)services.plan();
    services.answer("/gridpoints/",
                    {.status = 503, .body = "{}", .content_type = "application/problem+json"});
    const Outcome later = services.plan({"--from", "2027-03-02"}, "2027-03-02T08:00:00Z");
    CHECK(later.code == cli::kNoWeather);
    CHECK_THAT(testing::flat(later.out), Catch::Contains("is stale") && !Catch::Contains("comfortable"));
}

TEST_CASE("two sources are pooled and both are named with their licence line") {
    LiveServices services({"nws", "met-norway"});
    const Outcome outcome = services.plan();
    REQUIRE(outcome.code <= cli::kNeedsPerson);
    CHECK_THAT(testing::flat(outcome.out), Catch::Contains("US National Weather Service and MET Norway") &&
                                               Catch::Contains("Data from MET Norway"));
}

TEST_CASE("degrees Fahrenheit labelled as Celsius are found out by the second source") {
    LiveServices services({"nws", "met-norway"});
    services.change("albany", [](nlohmann::ordered_json& json) {
        for (auto& sample : json["properties"]["temperature"]["values"])
            sample["value"] = sample["value"].get<double>() * 1.8 + 32;
    });
    const Outcome outcome = services.run(
        testing::quick({"plan", "--to", "Albany NY", "--species", "corn snake", "--days", "2"}, {}));
    CHECK(outcome.code == cli::kNoWeather);
    CHECK_THAT(testing::flat(outcome.out + outcome.err),
               Catch::Contains("cannot both be right") || Catch::Contains("degrees Fahrenheit"));
}

TEST_CASE("live weather without a contact is refused before anything is asked") {
    LiveServices services;
    services.workspace().edit("workspace.json", "\"contact\": \"breeder@mildway.test\",", "");
    const Outcome outcome = services.plan();
    CHECK(outcome.code == cli::kWrongInput);
    CHECK(services.asked() == 0);
    CHECK_THAT(outcome.err, Catch::Contains("/weather/contact"));
}

TEST_CASE("a winter storm warning is carried into the weather at a glance") {
    LiveServices services;
    services.answer(
        "/alerts/active",
        {.body =
             R"({"features": [{"properties": {"id": "a", "event": "Winter Storm Warning", "severity": "Severe",
                    "status": "Actual", "messageType": "Alert", "sent": "2027-03-01T10:00:00-06:00",
                    "onset": "2027-03-02T06:00:00-06:00", "ends": "2027-03-03T06:00:00-06:00",
                    "parameters": {"VTEC": ["/O.NEW.KDLH.WS.W.0001.270302T1200Z-270303T1200Z/"]}}}]})",
         .content_type = "application/geo+json"});
    const Outcome outcome = services.run({"weather", "Duluth MN"});
    CHECK(outcome.code == cli::kDone);
    CHECK_THAT(testing::flat(outcome.out),
               Catch::Contains("Winter Storm Warning, from Tue 2 Mar 06:00 to Wed 3 Mar 06:00"));
}

TEST_CASE("coordinates far from any place take the clock that the weather service gives") {
    LiveServices services;
    const Outcome outcome = services.run({"weather", "46.7867,-92.1005", "--json"});
    REQUIRE(outcome.code == cli::kDone);
    CHECK(outcome.json()["zone"] == "America/Chicago");
}

TEST_CASE("a folder for copies is made where the console says") {
    LiveServices services;
    (void)services.plan();
    CHECK(std::filesystem::exists(services.cache() / "kept"));
}
