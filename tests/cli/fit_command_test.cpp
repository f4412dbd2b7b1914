// The command from the file to the figures, on the made logs of fixtures/loggers.
#include "catch.hpp"
#include "command.hpp"
#include "report_text.hpp"

#include <cmath>

#include <fmt/format.h>

using namespace mildway;
using testing::Arguments;
using testing::flat;
using testing::Outcome;
using testing::TempWorkspace;

namespace {

std::string logger(const std::string& name) {
    return std::string(MILDWAY_SOURCE_DIR) + "/fixtures/loggers/" + name;
}

Outcome fit_in(const TempWorkspace& workspace, const std::string& log, const Arguments& more = {}) {
    Arguments arguments{"fit", log, "--packing", "small-38-1w"};
    arguments.insert(arguments.end(), more.begin(), more.end());
    return testing::run_in(workspace, arguments);
}

double value_of(const Outcome& outcome, const std::string& figure) {
    const auto json = outcome.json();
    for (const auto& one : json.at("figures")) {
        if (one.at("figure") == figure) return one.at("value").get<double>();
    }
    throw std::logic_error("no figure " + figure);
}

/// A file of the workspace's folder.
std::string write(const TempWorkspace& workspace, const std::string& name, const std::string& text) {
    testing::spill(workspace.path() / name, text);
    return (workspace.path() / name).string();
}

/// Eight hours of readings each 10 minutes of a box that cools from 20 degrees; `time` makes the text of the
/// n-th time.
template <class Time>
std::string cooling(const std::string& header, Time time, double scale = 1, double zero = 0) {
    std::string text = header + "\n";
    for (int i = 0; i < 49; ++i)
        text += fmt::format("{},{:.2f}\n", time(i), zero + scale * (5 + 15 * std::exp(-i / 4.0)));
    return text;
}

std::string iso_clock(int i) {
    return fmt::format("2027-03-02 {:02}:{:02}", 1 + i / 6, i % 6 * 10);
}

std::string american_clock(int i) {
    return fmt::format("03/02/2027 {:02}:{:02}", 1 + i / 6, i % 6 * 10);
}

}  // namespace

TEST_CASE("fit prints the figures of a log") {
    const TempWorkspace workspace;
    const Outcome outcome = fit_in(workspace, logger("box-and-room.csv"));
    CHECK(outcome.code == cli::kDone);
    CHECK_THAT(outcome.out, Catch::Contains("Liner conducts") && Catch::Contains("Air exchange") &&
                                Catch::Contains("Warmers give"));
    CHECK_FALSE(std::filesystem::exists(workspace.path() / "learnt.json"));
}

TEST_CASE("option --json of fit prints JSON") {
    const TempWorkspace workspace;
    CHECK(fit_in(workspace, logger("box-and-room.csv"), {"--json"}).json()["document"] == "mildway fit");
}

TEST_CASE("option --outside of fit reads a second file") {
    const TempWorkspace workspace;
    const Outcome outcome =
        fit_in(workspace, logger("box-fahrenheit.csv"), {"--outside", logger("room-comma.csv"), "--json"});
    CHECK(outcome.code == cli::kDone);
    CHECK(value_of(outcome, "wall_factor") == Approx(1.25).epsilon(0.05));
}

TEST_CASE("option --around-c of fit stands for a room of one temperature") {
    const TempWorkspace workspace;
    const Outcome outcome = fit_in(workspace, logger("box-in-steady-air.csv"), {"--around-c", "12"});
    CHECK(outcome.code == cli::kNeedsPerson);
    CHECK_THAT(flat(outcome.out), Catch::Contains("Not told by this log"));
}

TEST_CASE("fit without a word on the air around is wrong usage") {
    const TempWorkspace workspace;
    const Outcome outcome = fit_in(workspace, logger("box-fahrenheit.csv"));
    CHECK(outcome.code == cli::kWrongUsage);
    CHECK_THAT(outcome.err, Catch::Contains("nothing says how warm the air around the box was"));
}

TEST_CASE("fit takes the air around from one place only") {
    const TempWorkspace workspace;
    CHECK(fit_in(workspace, logger("box-fahrenheit.csv"),
                 {"--outside", logger("room-comma.csv"), "--around-c", "12"})
              .code == cli::kWrongUsage);
    CHECK_THAT(flat(fit_in(workspace, logger("box-and-room.csv"), {"--around-c", "12"}).out),
               Catch::Contains("the column 'Outside (C)' of the log is not used"));
}

TEST_CASE("option --save of fit keeps the figures that were told") {
    const TempWorkspace workspace;
    const Outcome outcome = fit_in(workspace, logger("box-and-room.csv"), {"--save", "--json"});
    CHECK(outcome.json()["saved"].size() == 3);
    const auto learnt = nlohmann::json::parse(testing::slurp(workspace.path() / "learnt.json"));
    CHECK(learnt["version"] == 1);
    CHECK(learnt["packings"][0]["id"] == "small-38-1w");
    CHECK(learnt["packings"][0]["wall_factor"] == value_of(outcome, "wall_factor"));
    CHECK(learnt["packings"][0]["wall_factor_from_log"] == "box-and-room.csv");
}

TEST_CASE("option --save of fit keeps nothing that was not told") {
    const TempWorkspace workspace;
    const Outcome outcome =
        fit_in(workspace, logger("box-in-steady-air.csv"), {"--around-c", "12", "--save", "--json"});
    CHECK(outcome.json()["saved"] == nlohmann::json({"air_exchange_l_per_h"}));
    const auto learnt = nlohmann::json::parse(testing::slurp(workspace.path() / "learnt.json"));
    CHECK_FALSE(learnt["packings"][0].contains("wall_factor"));
    CHECK_FALSE(learnt["packings"][0].contains("warmer_factor"));
}

TEST_CASE("option --save of fit writes nothing of a model that does not fit") {
    const TempWorkspace workspace;
    const Outcome outcome = testing::run_in(
        workspace, {"fit", logger("box-and-room.csv"), "--packing", "small-38", "--save", "--json"});
    CHECK(outcome.code == cli::kNeedsPerson);
    CHECK(outcome.json()["fits"] == false);
    CHECK(outcome.json()["saved"].empty());
    CHECK_FALSE(std::filesystem::exists(workspace.path() / "learnt.json"));
}

TEST_CASE("option --packing of fit must be one of the workspace") {
    const TempWorkspace workspace;
    const Outcome outcome =
        testing::run_in(workspace, {"fit", logger("box-and-room.csv"), "--packing", "small-38-1v"});
    CHECK(outcome.code == cli::kWrongUsage);
    CHECK_THAT(outcome.err, Catch::Contains("did you mean"));
}

TEST_CASE("option --logger-at of fit changes what the readings are taken for") {
    const TempWorkspace workspace;
    const Outcome cup = fit_in(workspace, logger("box-and-room.csv"), {"--logger-at", "cup", "--json"});
    CHECK(cup.json()["logger_at"] == "cup");
    CHECK(value_of(cup, "wall_factor") !=
          value_of(fit_in(workspace, logger("box-and-room.csv"), {"--json"}), "wall_factor"));
    CHECK(fit_in(workspace, logger("box-and-room.csv"), {"--logger-at", "lid"}).code == cli::kWrongUsage);
}

TEST_CASE("options --count and --mass-g of fit fill the cups") {
    const TempWorkspace workspace;
    const Outcome outcome =
        fit_in(workspace, logger("box-and-room.csv"), {"--count", "4", "--mass-g", "100", "--json"});
    CHECK(value_of(outcome, "wall_factor") !=
          value_of(fit_in(workspace, logger("box-and-room.csv"), {"--json"}), "wall_factor"));
    const Outcome full = fit_in(workspace, logger("box-and-room.csv"), {"--count", "12"});
    CHECK(full.code == cli::kWrongUsage);
    CHECK_THAT(full.err, Catch::Contains("room for"));
}

TEST_CASE("option --setting of fit sets the film outside") {
    const TempWorkspace workspace;
    CHECK(value_of(fit_in(workspace, logger("box-and-room.csv"), {"--setting", "outdoors", "--json"}),
                   "wall_factor") <
          value_of(fit_in(workspace, logger("box-and-room.csv"), {"--json"}), "wall_factor"));
    CHECK(fit_in(workspace, logger("box-and-room.csv"), {"--setting", "indors"}).code == cli::kWrongUsage);
}

TEST_CASE("option --packed of fit leaves out what was before") {
    const TempWorkspace workspace;
    const Outcome outcome =
        fit_in(workspace, logger("box-and-room.csv"), {"--packed", "2027-01-12T16:00:00Z", "--json"});
    CHECK(outcome.json()["stretches"][0]["from"] == "2027-01-12T16:00:00Z");
    CHECK_THAT(fit_in(workspace, logger("box-and-room.csv"), {"--packed", "noon"}).err,
               Catch::Contains("--packed 'noon' is not a time like"));
}

TEST_CASE("option --opened of fit leaves out what came after") {
    const TempWorkspace workspace;
    const Outcome outcome =
        fit_in(workspace, logger("box-and-room.csv"), {"--opened", "2027-01-14T16:00:00Z", "--json"});
    CHECK(outcome.json()["stretches"][0]["to"] == "2027-01-14T15:59:00Z");
}

TEST_CASE("fit of a box that only cools says that its warmer was a dud") {
    const TempWorkspace workspace;
    const std::string log = write(workspace, "log.csv", cooling("Time,Temp (C)", iso_clock));
    CHECK_THAT(flat(fit_in(workspace, log, {"--around-c", "5"}).out),
               Catch::Contains("a dud, or opened long before?"));
}

TEST_CASE("option --zone of fit sets the logger's clock") {
    const TempWorkspace workspace;
    const std::string log = write(workspace, "log.csv", cooling("Time,Temp (C)", iso_clock));
    const auto begin = [&](const Arguments& more) {
        Arguments all{"--around-c", "5", "--json"};
        all.insert(all.end(), more.begin(), more.end());
        return fit_in(workspace, log, all).json()["stretches"][0]["from"];
    };
    CHECK(begin({}) == "2027-03-02T08:00:00Z");
    CHECK(begin({"--zone", "America/New_York"}) == "2027-03-02T06:00:00Z");
}

TEST_CASE("option --unit of fit is asked for with a guess") {
    const TempWorkspace workspace;
    const std::string log = write(workspace, "log.csv", cooling("Time,Temp", iso_clock, 1.8, 32));
    const Outcome asked = fit_in(workspace, log, {"--around-c", "5"});
    CHECK(asked.code == cli::kWrongInput);
    CHECK_THAT(asked.err, Catch::Contains("the unit of the column 'Temp' is not said"));
    CHECK(fit_in(workspace, log, {"--around-c", "5", "--unit", "fahrenheit"}).code <= cli::kNeedsPerson);
}

TEST_CASE("option --dates of fit settles which number is the day") {
    const TempWorkspace workspace;
    const std::string log = write(workspace, "log.csv", cooling("Time,Temp (C)", american_clock));
    CHECK_THAT(fit_in(workspace, log, {"--around-c", "5"}).err,
               Catch::Contains("--dates day-first or --dates month-first"));
    CHECK(fit_in(workspace, log, {"--around-c", "5", "--dates", "day-first", "--json"})
              .json()["stretches"][0]["from"] == "2027-02-03T08:00:00Z");
}

TEST_CASE("option --started of fit is the beginning of a log that counts from there") {
    const TempWorkspace workspace;
    const std::string log =
        write(workspace, "log.csv", cooling("Elapsed (min),Temp (C)", [](int i) { return 10 * i; }));
    CHECK_THAT(fit_in(workspace, log, {"--around-c", "5"}).err,
               Catch::Contains("say when that was with --started"));
    CHECK(fit_in(workspace, log, {"--around-c", "5", "--started", "2027-03-02T08:00:00Z", "--json"})
              .json()["stretches"][0]["from"] == "2027-03-02T08:00:00Z");
}

TEST_CASE("options --inside-column and --outside-column of fit name columns") {
    const TempWorkspace workspace;
    std::string text = testing::slurp(logger("box-and-room.csv"));
    text.replace(text.find("Inside (C),Outside (C)"), 22, "Channel 1 (C),Channel 2 (C)");
    const std::string log = write(workspace, "log.csv", text);
    CHECK(fit_in(workspace, log).code == cli::kWrongInput);
    CHECK(fit_in(workspace, log, {"--inside-column", "Channel 1 (C)", "--outside-column", "Channel 2 (C)"})
              .code == cli::kDone);
}

TEST_CASE("fit of an empty file is bad input") {
    const TempWorkspace workspace;
    const Outcome outcome = fit_in(workspace, write(workspace, "log.csv", ""), {"--around-c", "5"});
    CHECK(outcome.code == cli::kWrongInput);
    CHECK_THAT(outcome.err, Catch::Contains("log.csv: is empty"));
}

TEST_CASE("fit of a file that is not there is bad input") {
    const TempWorkspace workspace;
    const Outcome outcome = fit_in(workspace, "nowhere.csv", {"--around-c", "5"});
    CHECK(outcome.code == cli::kWrongInput);
    CHECK_THAT(outcome.err, Catch::Contains("nowhere.csv: there is no such file"));
}

TEST_CASE("option --packed of fit long before the first reading is wrong usage") {
    const TempWorkspace workspace;
    const Outcome outcome =
        fit_in(workspace, logger("box-and-room.csv"), {"--packed", "2001-01-12T15:00:00Z"});
    CHECK(outcome.code == cli::kWrongUsage);
    CHECK_THAT(outcome.err,
               Catch::Contains("days before the first reading") && Catch::Contains("at most 60"));
}

TEST_CASE("options --inside-column and --outside-column of fit must differ") {
    const TempWorkspace workspace;
    const Outcome outcome = fit_in(workspace, logger("box-and-room.csv"),
                                   {"--inside-column", "Inside (C)", "--outside-column", "inside (c)"});
    CHECK(outcome.code == cli::kWrongUsage);
    CHECK_THAT(outcome.err, Catch::Contains("expected two columns"));
}

TEST_CASE("fit of a log in Latin-1 prints JSON") {
    const TempWorkspace workspace;
    const std::string log = write(workspace, "log.csv",
                                  cooling("Time,Temp (\xB0"
                                          "C)",
                                          iso_clock));
    const Outcome outcome = fit_in(workspace, log, {"--around-c", "5", "--json"});
    CHECK(outcome.code == cli::kNeedsPerson);
    CHECK_THAT(outcome.json()["findings"].dump(), Catch::Contains("not of UTF-8"));
}

TEST_CASE("option --save of fit keeps nothing of a logger that reads far too high") {
    const TempWorkspace workspace;
    const std::string log = write(workspace, "log.csv", cooling("Time,Temp (C)", iso_clock, 1, 20));
    const Outcome outcome = fit_in(workspace, log, {"--around-c", "5", "--save", "--json"});
    CHECK(outcome.code == cli::kNeedsPerson);
    CHECK(outcome.json()["saved"].empty());
    CHECK_FALSE(std::filesystem::exists(workspace.path() / "learnt.json"));
}

TEST_CASE("figures that fit saved are not used once the packing is changed") {
    TempWorkspace workspace;
    CHECK(fit_in(workspace, logger("box-and-room.csv"), {"--save"}).code == cli::kDone);
    CHECK(testing::run_in(workspace, {"config", "check"}).err.empty());
    auto packings = nlohmann::json::parse(testing::slurp(workspace.path() / "packings.json"));
    for (auto& packing : packings["packings"])
        if (packing["id"] == "small-38-1w") packing["seams_l_per_h"] = 17;
    testing::spill(workspace.path() / "packings.json", packings.dump());
    const std::string note = "note: learnt.json: 'small-38-1w' has been changed since its log was read";
    CHECK_THAT(testing::run_in(workspace, {"config", "check"}).err, Catch::Contains(note));
    CHECK_THAT(testing::trace_in(workspace, {}).err, Catch::Contains(note));
    CHECK_THAT(testing::plan_in(workspace, {"--scenarios", "64", "--days", "1"}).err, Catch::Contains(note));
}
