// What each option does. The first test holds the list of all options in the help: an option that is new has
// to be added there, beside the test that exercises it.
#include "catch.hpp"
#include "command.hpp"

#include <regex>
#include <set>

using namespace mildway;
using testing::Arguments;
using testing::Outcome;
using testing::plan_in;
using testing::TempWorkspace;

namespace {

const std::set<std::string> kCommon{"--help",    "--workspace", "--now",     "--seed",
                                    "--threads", "--json",      "--offline", "--version"};
const std::set<std::string> kPlan{"--help",    "--to",        "--zone",     "--species",  "--count",
                                  "--mass-g",  "--scenarios", "--recorded", "--from",     "--days",
                                  "--service", "--packing",   "--top",      "--calendar", "--value-usd",
                                  "--rank-by", "--order",     "--choose"};
const std::set<std::string> kCheck{"--help", "--quiet",     "--all",     "--dry-run",
                                   "--days", "--scenarios", "--recorded"};
const std::set<std::string> kTrace{"--help",       "--to",      "--zone",      "--species",
                                   "--count",      "--mass-g",  "--scenarios", "--recorded",
                                   "--ship-date",  "--service", "--packing",   "--late-days",
                                   "--late-after", "--csv",     "--svg",       "--explain-box"};
const std::set<std::string> kWeather{"--help", "--zone", "--days", "--scenarios", "--recorded", "--svg"};
const std::set<std::string> kFit{
    "--help",   "--packing", "--outside", "--around-c",      "--logger-at",     "--count",
    "--mass-g", "--setting", "--packed",  "--opened",        "--zone",          "--unit",
    "--dates",  "--started", "--save",    "--inside-column", "--outside-column"};
const std::set<std::string> kWeek{"--help",  "--days",    "--from",     "--replan",
                                  "--apply", "--propose", "--recorded", "--scenarios"};
const std::set<std::string> kNotify{"--help", "--kind",   "--show", "--dry-run", "--send",
                                    "--list", "--settle", "--as",   "--told"};
const std::set<std::string> kSheet{"--help", "--html"};
const std::set<std::string> kHelpOnly{"--help"};

/// Options described in a help text: they stand at the beginning of a line.
std::set<std::string> options_in(const std::string& help) {
    const std::regex option("\n  (?:-[a-z],)?(--[a-z-]+)");
    std::set<std::string> found;
    for (std::sregex_iterator at(help.begin(), help.end(), option), end; at != end; ++at)
        found.insert((*at)[1]);
    return found;
}

std::set<std::string> values_of(const Outcome& outcome, const char* key) {
    const auto plan = outcome.json();
    std::set<std::string> values;
    for (const auto& option : plan.at("options")) values.insert(option.at(key).get<std::string>());
    return values;
}

}  // namespace

TEST_CASE("the help lists the options that have a test and no others") {
    CHECK(options_in(testing::run_bare({"--help"}).out) ==
          kCommon);  // here; --help, --version in workspace_commands_test; --offline in live_weather_test
    CHECK(options_in(testing::run_bare({"plan", "--help"}).out) ==
          kPlan);  // here; calendar_test, plan_order_test
    CHECK(options_in(testing::run_bare({"trace", "--help"}).out) == kTrace);      // trace_test
    CHECK(options_in(testing::run_bare({"weather", "--help"}).out) == kWeather);  // weather_command_test
    CHECK(options_in(testing::run_bare({"fit", "--help"}).out) == kFit);          // fit_command_test
    CHECK(options_in(testing::run_bare({"week", "--help"}).out) == kWeek);        // week_command_test
    CHECK(options_in(testing::run_bare({"check", "--help"}).out) == kCheck);      // check_command_test
    CHECK(options_in(testing::run_bare({"notify", "--help"}).out) == kNotify);    // notify_command_test
    CHECK(options_in(testing::run_bare({"sheet", "--help"}).out) == kSheet);      // sheet_command_test
    CHECK(options_in(testing::run_bare({"init", "--help"}).out) == kHelpOnly);
    CHECK(options_in(testing::run_bare({"config", "--help"}).out) == kHelpOnly);
    CHECK(options_in(testing::run_bare({"config", "check", "--help"}).out) == kHelpOnly);
}

TEST_CASE("option --now stands in for the clock") {
    TempWorkspace workspace;
    const Outcome outcome = plan_in(workspace, {"--json", "--days", "1", "--now", "2027-03-01T15:30:00Z"},
                                    "2031-01-01T00:00:00Z");
    CHECK(outcome.json().at("now") == "2027-03-01T15:30:00Z");
    CHECK(outcome.code <= cli::kNeedsPerson);
}

TEST_CASE("option --now may carry an offset from UTC") {
    TempWorkspace workspace;
    CHECK(plan_in(workspace, {"--json", "--days", "1", "--now", "2027-03-01T08:30:00-07:00"})
              .json()
              .at("now") == "2027-03-01T15:30:00Z");
}

TEST_CASE("without --now the clock is asked") {
    TempWorkspace workspace;
    CHECK(plan_in(workspace, {"--json", "--days", "1"}, "2027-03-01T14:00:00Z").json().at("now") ==
          "2027-03-01T14:00:00Z");
}

TEST_CASE("option --seed chooses the luck and the same seed repeats it") {
    TempWorkspace workspace;
    const Arguments seven{"--json", "--days", "1", "--seed", "7"};
    CHECK(plan_in(workspace, seven).out == plan_in(workspace, seven).out);
    CHECK(plan_in(workspace, seven).out != plan_in(workspace, {"--json", "--days", "1"}).out);
    CHECK(plan_in(workspace, seven).json().at("seed") == 7);
}

TEST_CASE("option --threads changes no byte") {
    TempWorkspace workspace;
    const std::string one = plan_in(workspace, {"--json", "--threads", "1"}).out;
    CHECK(plan_in(workspace, {"--json", "--threads", "2"}).out == one);
    CHECK(plan_in(workspace, {"--json", "--threads", "3"}).out == one);
}

TEST_CASE("option --json prints JSON on every command") {
    TempWorkspace workspace;
    testing::TempFolder folder;
    CHECK(plan_in(workspace, {"--json"}).json().at("document") == "mildway plan");
    CHECK(testing::trace_in(workspace, {"--json"}).json().at("document") == "mildway trace");
    CHECK(testing::run_in(workspace, {"config", "check", "--json"}).json().at("document") ==
          "mildway config check");
    CHECK(testing::run_bare({"init", (folder.path() / "new").string(), "--json"}).json().at("document") ==
          "mildway init");
}

TEST_CASE("common options may stand before or after the command") {
    TempWorkspace workspace;
    const Arguments parcel{"--to",   "Duluth MN", "--species",   "corn snake",
                           "--days", "1",         "--scenarios", "16"};
    Arguments before{"--json", "--seed", "3", "plan"};
    before.insert(before.end(), parcel.begin(), parcel.end());
    Arguments after{"plan"};
    after.insert(after.end(), parcel.begin(), parcel.end());
    after.insert(after.end(), {"--json", "--seed", "3"});
    CHECK(testing::run_in(workspace, before).out == testing::run_in(workspace, after).out);
}

TEST_CASE("option --to takes a place whatever the case") {
    TempWorkspace workspace;
    const Outcome outcome = testing::run_in(
        workspace, {"plan", "--to", "tampa fl", "--species", "corn snake", "--days", "1", "--json"});
    CHECK(outcome.json().at("destination") == "Tampa FL");
}

TEST_CASE("option --to takes coordinates near a place and says whose clock it takes") {
    TempWorkspace workspace;
    const Outcome outcome = testing::run_in(
        workspace, {"plan", "--to", "46.79,-92.1", "--species", "corn snake", "--days", "1", "--json"});
    CHECK(outcome.code <= cli::kNeedsPerson);
    CHECK(outcome.json().at("destination") == "46.7900,-92.1000");
    CHECK_THAT(outcome.err, Catch::Contains("note: ") && Catch::Contains("Duluth MN"));
}

TEST_CASE("option --to takes the coordinates of a place with the very figures of its name") {
    TempWorkspace workspace;
    const Arguments tail{"--species", "corn snake", "--service", "night-air", "--days", "2", "--json"};
    Arguments named{"plan", "--to", "Duluth MN"};
    Arguments point{"plan", "--to", "46.7867,-92.1005"};
    named.insert(named.end(), tail.begin(), tail.end());
    point.insert(point.end(), tail.begin(), tail.end());
    CHECK(testing::figures_of(testing::run_in(workspace, named)) ==
          testing::figures_of(testing::run_in(workspace, point)));
}

TEST_CASE("option --zone sets the clock of coordinates") {
    TempWorkspace workspace;
    const auto promised = [&](const char* zone) {
        return testing::run_in(workspace, {"plan", "--to", "46.7867,-92.1005", "--zone", zone, "--species",
                                           "corn snake", "--days", "1", "--service", "night-air", "--json"})
            .json()
            .at("options")
            .at(0)
            .at("promised");
    };
    CHECK(promised("America/Chicago") == "2027-03-02T16:30:00Z");  // 10:30 there
    CHECK(promised("America/Denver") == "2027-03-02T17:30:00Z");
}

TEST_CASE("option --species takes id common and scientific name") {
    TempWorkspace workspace;
    for (const char* name : {"corn-snake", "Corn Snake", "Pantherophis guttatus"}) {
        CAPTURE(name);
        CHECK(testing::run_in(workspace,
                              {"plan", "--to", "Duluth MN", "--species", name, "--days", "1", "--json"})
                  .json()
                  .at("species") == "corn-snake");
    }
}

TEST_CASE("option --count and --mass-g describe what is in the box") {
    TempWorkspace workspace;
    const auto plan =
        plan_in(workspace, {"--json", "--days", "1", "--count", "3", "--mass-g", "12.5"}).json();
    CHECK(plan.at("count") == 3);
    CHECK(plan.at("mass_g").get<double>() == Approx(12.5));
    CHECK(plan_in(workspace, {"--json", "--days", "1"}).json().at("mass_g").get<double>() == Approx(7));
}

TEST_CASE("option --scenarios is rounded up to whole rounds") {
    TempWorkspace workspace;
    CHECK(plan_in(workspace, {"--json", "--days", "1", "--scenarios", "129"}).json().at("scenarios") == 256);
    CHECK(plan_in(workspace, {"--json", "--days", "1", "--scenarios", "128"}).json().at("scenarios") == 128);
}

TEST_CASE("option --recorded takes another folder of forecasts") {
    TempWorkspace workspace;
    workspace.remove("weather");
    const Outcome outcome = plan_in(workspace, {"--recorded", MILDWAY_SOURCE_DIR "/fixtures/demo/weather"});
    CHECK(outcome.code <= cli::kNeedsPerson);
}

TEST_CASE("option --from and --days choose the ship dates") {
    TempWorkspace workspace;
    const Outcome outcome = plan_in(workspace, {"--json", "--from", "2027-03-02", "--days", "2"});
    CHECK(values_of(outcome, "ship_date") == std::set<std::string>{"2027-03-02", "2027-03-03"});
}

TEST_CASE("the first ship date is today at the counter and not in UTC") {
    TempWorkspace workspace;
    workspace.edit("workspace.json", "\"stale_after_hours\": 12", "\"stale_after_hours\": 24");
    // 22:20 UTC is 15:20 in El Paso; 00:10 UTC of the 2nd is 17:10 of the 1st there, too late for the 1st
    // alone
    const Outcome outcome =
        plan_in(workspace, {"--json", "--days", "1", "--service", "night-air"}, "2027-03-01T22:20:00Z");
    CHECK(values_of(outcome, "ship_date") == std::set<std::string>{"2027-03-01"});
    const Outcome late =
        plan_in(workspace, {"--days", "1", "--service", "night-air"}, "2027-03-02T00:10:00Z");
    CHECK(late.code == cli::kWrongUsage);
    CHECK_THAT(late.err, Catch::Contains("too late for Night on Mon 1 Mar"));
}

TEST_CASE("after the cut-off today is refused with the sentence and the next days are ranked") {
    TempWorkspace workspace;
    workspace.edit("workspace.json", "\"stale_after_hours\": 12", "\"stale_after_hours\": 24");
    const Outcome outcome =
        plan_in(workspace, {"--days", "3", "--json", "--service", "night-air"}, "2027-03-02T00:31:00Z");
    const auto closed = outcome.json().at("closed");
    REQUIRE(closed.size() == 1);
    CHECK(closed.at(0).at("reason") == "the cut-off of Night on Mon 1 Mar at 17:30 has passed");
    CHECK(values_of(outcome, "ship_date") == std::set<std::string>{"2027-03-02", "2027-03-03"});
    CHECK(outcome.code <= cli::kNeedsPerson);
}

TEST_CASE("option --service and --packing limit the choice and may be repeated") {
    TempWorkspace workspace;
    const Outcome outcome =
        plan_in(workspace, {"--json", "--service", "night-air", "--service", "night-air+held", "--packing",
                            "small-38", "--packing", "small-19"});
    CHECK(values_of(outcome, "service") == std::set<std::string>{"night-air", "night-air+held"});
    CHECK(values_of(outcome, "packing") == std::set<std::string>{"small-38", "small-19"});
}

TEST_CASE("a service or packing named twice is one") {
    TempWorkspace workspace;
    const Outcome outcome =
        plan_in(workspace, {"--json", "--days", "1", "--service", "night-air", "--service", "night-air",
                            "--packing", "small-38", "--packing", "small-38"});
    CHECK(outcome.json().at("options").size() == 1);
}

TEST_CASE("option --top sets the lines of the ranking and leaves JSON whole") {
    TempWorkspace workspace;
    CHECK_THAT(plan_in(workspace, {"--top", "2", "--days", "1"}).out, Catch::Contains("31 more"));
    CHECK(plan_in(workspace, {"--top", "2", "--days", "1", "--json"}).json().at("options").size() == 33);
}

TEST_CASE("the exit code follows the verdict of the first option") {
    TempWorkspace workspace;
    const auto verdict_and_code = [&](const Arguments& arguments, const char* clock) {
        const Outcome outcome = plan_in(workspace, arguments, clock);
        return std::pair<std::string, int>(outcome.json().at("options").at(0).at("verdict"), outcome.code);
    };
    using Both = std::pair<std::string, int>;
    CHECK(verdict_and_code({"--json", "--packing", "small-19", "--days", "1"}, testing::kMonday) ==
          Both("unsafe", cli::kNeedsPerson));
    CHECK(verdict_and_code({"--json"}, "2027-03-02T13:00:00Z") == Both("unknown", cli::kNoWeather));
    const Outcome easy = testing::run_in(
        workspace, {"plan", "--to", "Sacramento CA", "--species", "hermanns-tortoise", "--json"});
    CHECK(easy.json().at("options").at(0).at("verdict") == "comfortable");
    CHECK(easy.code == cli::kDone);
}
