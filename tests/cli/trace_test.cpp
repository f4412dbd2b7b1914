#include "catch.hpp"
#include "command.hpp"

#include <algorithm>

using namespace mildway;
using testing::Outcome;
using testing::TempWorkspace;
using testing::trace_in;

namespace {

std::vector<std::string> legs_of(const Outcome& outcome) {
    const auto trace = outcome.json();
    std::vector<std::string> legs;
    for (const auto& moment : trace.at("moments")) {
        const auto leg = moment.at("leg").get<std::string>();
        if (legs.empty() || legs.back() != leg) legs.push_back(leg);
    }
    return legs;
}

std::string last_time(const Outcome& outcome) {
    const auto trace = outcome.json();
    return trace.at("moments").back().at("time");
}

}  // namespace

TEST_CASE("a trace follows the box from packing to the doorstep") {
    TempWorkspace workspace;
    const Outcome outcome = trace_in(workspace, {"--json"});
    CHECK(outcome.code == cli::kDone);
    const auto legs = legs_of(outcome);
    CHECK(legs.front() == "packed");
    CHECK(legs.back() == "doorstep");
    const auto trace = outcome.json();
    CHECK(trace.at("moments").front().at("time") == "2027-03-01T22:10:00Z");
}

TEST_CASE("option --ship-date moves the whole trace") {
    TempWorkspace workspace;
    CHECK(trace_in(workspace, {"--json", "--ship-date", "2027-03-04"}).json().at("ship_date") ==
          "2027-03-04");
    CHECK(last_time(trace_in(workspace, {"--json", "--ship-date", "2027-03-04"})) == "2027-03-05T16:35:00Z");
    CHECK(last_time(trace_in(workspace, {"--json"})) == "2027-03-02T16:35:00Z");
}

TEST_CASE("option --late-days keeps the parcel waiting for whole service days") {
    TempWorkspace workspace;
    CHECK(last_time(trace_in(workspace, {"--json", "--late-days", "0"})) == "2027-03-02T16:35:00Z");
    CHECK(last_time(trace_in(workspace, {"--json", "--late-days", "1"})) == "2027-03-03T16:35:00Z");
    CHECK(last_time(trace_in(workspace, {"--json", "--late-days", "2"})) == "2027-03-04T16:35:00Z");
}

TEST_CASE("option --late-days alone follows where most late parcels wait") {
    TempWorkspace workspace;
    const auto trace = trace_in(workspace, {"--json", "--late-days", "1"}).json();
    CHECK(trace.at("late_after") == "hub sort");  // 55 of 100 in the starter's services.json
    CHECK(trace.at("late_days") == 1);
}

TEST_CASE("option --late-after chooses the leg after which the parcel waits") {
    TempWorkspace workspace;
    const auto waits = [&](const char* leg) {
        const auto legs = legs_of(trace_in(workspace, {"--json", "--late-days", "1", "--late-after", leg}));
        return std::find(legs.begin(), legs.end(), std::string("wait after ") + leg) != legs.end();
    };
    CHECK(waits("hub sort"));
    CHECK(waits("station"));
    CHECK(waits("van"));
    CHECK(
        trace_in(workspace, {"--json", "--late-days", "1", "--late-after", "VAN"}).json().at("late_after") ==
        "van");
}

TEST_CASE("option --packing and --service choose what is traced") {
    TempWorkspace workspace;
    const Outcome outcome = testing::run_in(
        workspace, {"trace", "--to", "Tampa FL", "--species", "dart-frog", "--count", "2", "--mass-g", "2",
                    "--service", "night-air+held", "--packing", "small-19", "--scenarios", "32", "--json"});
    const auto trace = outcome.json();
    CHECK(trace.at("service") == "night-air+held");
    CHECK(trace.at("packing") == "small-19");
    CHECK(trace.at("destination") == "Tampa FL");
    CHECK(trace.at("species") == "dart-frog");
    CHECK(legs_of(outcome).back() == "held at counter");
}

TEST_CASE("option --count and --mass-g change the temperatures of the animals") {
    TempWorkspace workspace;
    const std::string one = trace_in(workspace, {"--json"}).out;
    CHECK(trace_in(workspace, {"--json", "--count", "3"}).out != one);
    CHECK(trace_in(workspace, {"--json", "--mass-g", "70"}).out != one);
    CHECK_THAT(trace_in(workspace, {"--count", "3"}).out, Catch::StartsWith("3 x corn snake"));
}

TEST_CASE("option --zone and coordinates and --recorded work for a trace") {
    TempWorkspace workspace;
    workspace.remove("weather");
    const Outcome outcome = testing::run_in(
        workspace, {"trace", "--to", "46.7867,-92.1005", "--zone", "America/Denver", "--species",
                    "corn snake", "--service", "night-air", "--packing", "small-38", "--recorded",
                    MILDWAY_SOURCE_DIR "/fixtures/demo/weather", "--json"});
    CHECK(outcome.code == cli::kDone);
    CHECK(last_time(outcome) == "2027-03-02T17:35:00Z");  // an hour later than on Duluth's own clock
}

TEST_CASE("option --csv prints a table for other programs") {
    TempWorkspace workspace;
    const Outcome outcome = trace_in(workspace, {"--csv"});
    CHECK(outcome.code == cli::kDone);
    CHECK_THAT(outcome.out, Catch::StartsWith("time_utc,time_origin_local,leg,setting,"));
    const auto rows = std::count(outcome.out.begin(), outcome.out.end(), '\n');
    CHECK(static_cast<std::size_t>(rows) == trace_in(workspace, {"--json"}).json().at("moments").size() + 1);
}

TEST_CASE("option --svg writes a drawing beside the result") {
    TempWorkspace workspace;
    const auto file = workspace.path() / "box.svg";
    const Outcome outcome = trace_in(workspace, {"--svg", file.string()});
    CHECK(outcome.code == cli::kDone);
    CHECK(outcome.out == trace_in(workspace).out);
    CHECK_THAT(outcome.err, Catch::Contains("drawing written to " + file.string()));
    CHECK_THAT(testing::slurp(file), Catch::StartsWith("<svg ") && Catch::EndsWith("</svg>\n"));
}

TEST_CASE("a drawing that cannot be written is a failure of the system") {
    TempWorkspace workspace;
    const Outcome outcome =
        trace_in(workspace, {"--svg", (workspace.path() / "no/such/folder/box.svg").string()});
    CHECK(outcome.code == cli::kSystemFailure);
    CHECK(outcome.out.empty());
}

TEST_CASE("a trace and a plan agree on how cold it gets") {
    TempWorkspace workspace;
    const auto plan = testing::plan_in(workspace, {"--service", "night-air", "--packing", "small-38-1w",
                                                   "--days", "1", "--json", "--scenarios", "2000"})
                          .json();
    const auto trace = trace_in(workspace, {"--json", "--scenarios", "2000"}).json();
    double coldest_c = 100;
    for (const auto& moment : trace.at("moments"))
        coldest_c = std::min(coldest_c, moment.at("animals_c").at("p50").get<double>());
    // each scenario has its coldest moment at its own time, and the plan's figures hold the late parcels too
    const auto& planned = plan.at("options").at(0).at("figures").at("coldest_c");
    CHECK(planned.at("p50").get<double>() <= coldest_c + 0.1);
    CHECK(planned.at("p50").get<double>() > coldest_c - 2.5);
}

TEST_CASE("option --explain-box says where the heat goes before the table") {
    TempWorkspace workspace;
    const Outcome outcome = trace_in(workspace, {"--explain-box"});
    CHECK(outcome.code == cli::kDone);
    REQUIRE(outcome.out.find("Heat leaves by") != std::string::npos);
    CHECK(outcome.out.find("Heat leaves by") < outcome.out.find("Air around"));
    CHECK(trace_in(workspace, {}).out.find("Heat leaves by") == std::string::npos);
}

TEST_CASE("option --explain-box adds the box to the JSON") {
    TempWorkspace workspace;
    CHECK(trace_in(workspace, {"--explain-box", "--json"}).json().at("box").at("settings").size() > 2);
    CHECK_FALSE(trace_in(workspace, {"--json"}).json().contains("box"));
}

TEST_CASE("option --explain-box does not go with CSV") {
    TempWorkspace workspace;
    CHECK(trace_in(workspace, {"--explain-box", "--csv"}).code == cli::kWrongUsage);
}
