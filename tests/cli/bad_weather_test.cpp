// Forecasts that are missing, broken, wrong or too short: never silently taken for fine.
#include "catch.hpp"
#include "command.hpp"

#include <map>

using namespace mildway;
using testing::Outcome;
using testing::TempWorkspace;

namespace {

void check_no_weather(const Outcome& outcome, const std::string& says) {
    CHECK(outcome.code == cli::kNoWeather);
    CHECK(outcome.out.empty());
    CHECK_THAT(outcome.err, Catch::StartsWith("mildway: ") && Catch::Contains(says));
}

/// Reasons of the unknown options by ship date; "" for those with figures.
std::map<std::string, std::string> reasons_by_day(const Outcome& outcome) {
    std::map<std::string, std::string> reasons;
    const auto plan = outcome.json();
    for (const auto& option : plan.at("options")) {
        reasons[option.at("ship_date")] = option.value("unknown_reason", "");
        CHECK(option.at("figures").is_null() == option.contains("unknown_reason"));
    }
    return reasons;
}

const testing::Arguments kOneADay{"--service", "night-air", "--packing", "small-38", "--json"};

}  // namespace

TEST_CASE("a missing folder of forecasts is no weather") {
    TempWorkspace workspace;
    workspace.remove("weather");
    check_no_weather(testing::plan_in(workspace), "weather: the folder of recorded forecasts cannot be read");
}

TEST_CASE("an empty folder of forecasts is no weather") {
    TempWorkspace workspace;
    workspace.remove("weather");
    std::filesystem::create_directory(workspace.path() / "weather");
    check_no_weather(testing::plan_in(workspace), "holds no *.json");
}

TEST_CASE("another folder of forecasts can be named and may be missing too") {
    TempWorkspace workspace;
    std::filesystem::rename(workspace.path() / "weather", workspace.path() / "elsewhere");
    CHECK(testing::plan_in(workspace, {"--recorded", (workspace.path() / "elsewhere").string()}).code <= 1);
    check_no_weather(testing::plan_in(workspace, {"--recorded", "/no/such/folder"}), "/no/such/folder");
}

TEST_CASE("a place without a forecast is no weather and named with its coordinates") {
    for (const auto& [slug, name] :
         std::map<std::string, std::string>{{"las-cruces", "Las Cruces NM"},
                                            {"el-paso", "El Paso TX"},
                                            {"st-louis", "St. Louis MO"},
                                            {"duluth", "Duluth MN (46.7867,-92.1005)"}}) {
        TempWorkspace workspace;
        workspace.remove("weather/" + slug + ".json");
        check_no_weather(testing::plan_in(workspace), "no recorded forecast is for " + name);
    }
}

TEST_CASE("a forecast cut short is no weather and the file is named") {
    TempWorkspace workspace;
    const auto file = workspace.path() / "weather/duluth.json";
    testing::spill(file, testing::slurp(file).substr(0, 9000));
    check_no_weather(testing::plan_in(workspace), "duluth.json: it is cut short");
}

TEST_CASE("a broken forecast beside the good ones does no harm but is told") {
    TempWorkspace workspace;
    testing::spill(workspace.path() / "weather/tampa.json", "{");
    const Outcome outcome = testing::plan_in(workspace);
    CHECK(outcome.code <= cli::kNeedsPerson);
    CHECK_THAT(outcome.out, Catch::Contains("tampa.json"));
}

TEST_CASE("a unit nobody knows is no weather and the unit is named") {
    TempWorkspace workspace;
    workspace.edit("weather/duluth.json", "wmoUnit:degC", "wmoUnit:degR");
    check_no_weather(testing::plan_in(workspace), "degR");
}

TEST_CASE("degrees Fahrenheit given as Celsius are recognised") {
    TempWorkspace workspace;
    workspace.edit_temperatures("tampa", [](double temp_c) { return temp_c * 1.8 + 32; });
    const Outcome outcome =
        testing::run_in(workspace, {"plan", "--to", "Tampa FL", "--species", "corn snake"});
    check_no_weather(outcome, "looks like degrees Fahrenheit labelled as Celsius");
    CHECK_THAT(outcome.err, Catch::Contains("tampa.json"));
}

TEST_CASE("a forecast issued too long ago makes every option unknown") {
    TempWorkspace workspace;
    const Outcome outcome = testing::plan_in(workspace, kOneADay, "2027-03-02T13:00:00Z");
    CHECK(outcome.code == cli::kNoWeather);
    for (const auto& [day, reason] : reasons_by_day(outcome)) CHECK_THAT(reason, Catch::Contains("is stale"));
}

TEST_CASE("how old a forecast may be is the workspace's choice") {
    TempWorkspace workspace;
    workspace.edit("workspace.json", "\"stale_after_hours\": 12", "\"stale_after_hours\": 36");
    CHECK(testing::plan_in(workspace, {}, "2027-03-02T13:00:00Z").code <= cli::kNeedsPerson);
}

TEST_CASE("a stale forecast cannot be traced") {
    TempWorkspace workspace;
    check_no_weather(testing::trace_in(workspace, {}, "2027-03-02T13:00:00Z"), "is stale");
}

TEST_CASE("a forecast from the future makes every option unknown") {
    TempWorkspace workspace;
    const Outcome outcome = testing::plan_in(workspace, kOneADay, "2027-03-01T08:00:00Z");
    CHECK(outcome.code == cli::kNoWeather);
    for (const auto& [day, reason] : reasons_by_day(outcome))
        CHECK_THAT(reason, Catch::Contains("later than now"));
}

TEST_CASE("missing hours inside a trip make that day unknown and no other") {
    TempWorkspace workspace;
    workspace.edit_json("weather/duluth.json", [](auto& json) {
        auto& values = json["properties"]["temperature"]["values"];
        for (auto it = values.begin(); it != values.end();) {
            const std::string time = (*it)["validTime"];
            it = time >= "2027-03-03T10" && time < "2027-03-03T18" ? values.erase(it) : it + 1;
        }
    });
    const Outcome outcome = testing::plan_in(workspace, kOneADay);
    auto reasons = reasons_by_day(outcome);
    CHECK_THAT(reasons["2027-03-02"],
               Catch::Contains("the forecast for Duluth MN has no temperature for Wed 3 Mar"));
    CHECK(reasons["2027-03-03"].empty());
    CHECK(reasons["2027-03-04"].empty());
    const auto plan = outcome.json();
    CHECK_THAT(plan.at("weather").back().at("findings").at(0).get<std::string>(),
               Catch::Contains("no temperature from 2027-03-03T10:00:00Z"));
}

TEST_CASE("a hole in the forecast is told to a person too") {
    TempWorkspace workspace;
    workspace.edit_json("weather/duluth.json",
                        [](auto& json) { json["properties"]["temperature"]["values"].erase(55); });
    CHECK_THAT(testing::plan_in(workspace).out, Catch::Contains("! Duluth MN: no temperature from"));
}

TEST_CASE("days beyond the forecast are unknown with the reason and never extrapolated") {
    TempWorkspace workspace;
    testing::Arguments arguments = kOneADay;
    arguments.insert(arguments.end(), {"--days", "14"});
    const auto reasons = reasons_by_day(testing::plan_in(workspace, arguments));
    CHECK(reasons.at("2027-03-05").empty());
    for (const char* day : {"2027-03-09", "2027-03-10", "2027-03-12"}) {
        CAPTURE(day);
        CHECK_THAT(reasons.at(day),
                   Catch::Contains("ends Mon 8 Mar") && Catch::Contains("before the trip does"));
    }
}

TEST_CASE("a plan for days that no forecast reaches is unknown throughout") {
    TempWorkspace workspace;
    const Outcome outcome = testing::plan_in(workspace, {"--from", "2027-03-22", "--days", "3"});
    CHECK(outcome.code == cli::kNoWeather);
    CHECK_THAT(outcome.out,
               Catch::Contains("Nothing here says it is safe to") && !Catch::Contains("comfortable"));
}

TEST_CASE("a forecast that ends during a trip cuts its trace short and says so") {
    TempWorkspace workspace;
    const Outcome outcome = testing::trace_in(workspace, {"--ship-date", "2027-03-08"});
    CHECK(outcome.code == cli::kNeedsPerson);
    CHECK_THAT(outcome.out, Catch::Contains("Not known after that: "));
}
