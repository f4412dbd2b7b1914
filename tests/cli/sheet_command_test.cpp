// `mildway sheet` on an order book filled by the other commands.
#include "mildway/base/text.hpp"

#include "catch.hpp"
#include "command.hpp"

#include <algorithm>
#include <filesystem>
#include <sstream>
#include <string>

using namespace mildway;
using testing::Arguments;
using testing::Outcome;
using testing::slurp;
using testing::TempWorkspace;

namespace {

void run_well(const TempWorkspace& workspace, const Arguments& arguments) {
    const Outcome outcome = testing::run_in(workspace, arguments);
    INFO(outcome.err);
    REQUIRE((outcome.code == cli::kDone || outcome.code == cli::kNeedsPerson));
}

/// One order of one animal, entered and, if `planned`, with the plan of the demo's week.
void fill_book(const TempWorkspace& workspace, const std::string& to, const std::string& species,
               const std::string& animal = "", bool planned = true) {
    run_well(workspace,
             {"order", "add", "--number", "JB-1", "--to", to, "--species", species, "--buyer", "Ada Sample",
              "--address", "12 Invented Street", "--animal", animal.empty() ? "Ash" : animal});
    if (planned) run_well(workspace, {"week", "--apply", "--days", "5", "--recorded", workspace.recorded()});
}

Outcome sheet_in(const TempWorkspace& workspace, const Arguments& more = {},
                 const char* clock = testing::kMonday) {
    Arguments arguments{"sheet", "JB-1"};
    arguments.insert(arguments.end(), more.begin(), more.end());
    return testing::run_in(workspace, arguments, clock);
}

}  // namespace

TEST_CASE("sheet prints what was planned in 80 columns and is done when all is well") {
    const TempWorkspace workspace;
    fill_book(workspace, "Albany NY", "corn snake", "Ash, 9 g,");
    const Outcome outcome = sheet_in(workspace);
    CHECK(outcome.code == cli::kDone);
    CHECK(outcome.err.empty());
    CHECK_THAT(outcome.out, Catch::Contains("packing sheet of order JB-1\n") &&
                                Catch::Contains("1 x corn snake (Pantherophis guttatus)") &&
                                Catch::Contains("Verdict  Comfortable") &&
                                Catch::Contains("Ash: 9 g in the order") &&
                                Catch::Contains("12 Invented Street"));
    std::istringstream lines(outcome.out);
    for (std::string line; std::getline(lines, line);) {
        CAPTURE(line);
        CHECK(characters(line) <= 80);
    }
}

TEST_CASE("sheet and week tell the same day service and packing") {
    const TempWorkspace workspace;
    fill_book(workspace, "Albany NY", "corn snake", "", false);
    const auto week = testing::run_in(workspace, {"week", "--apply", "--json", "--days", "5", "--recorded",
                                                  workspace.recorded()})
                          .json();
    const auto& chosen = week.at("orders").at(0).at("chosen");
    const auto order = testing::run_in(workspace, {"order", "show", "JB-1", "--json"}).json();
    const auto sheet = sheet_in(workspace, {"--json"}).json();
    CHECK(sheet.at("document") == "mildway sheet");
    CHECK(sheet.at("order") == "JB-1");
    CHECK(sheet.at("verdict") == chosen.at("verdict"));
    const auto day = parse_date(chosen.at("ship_date").get<std::string>());
    REQUIRE(day);
    CHECK_THAT(sheet.at("ship_day").get<std::string>(), Catch::StartsWith(format_day(*day)));
    const auto packings = nlohmann::json::parse(slurp(workspace.path() / "packings.json")).at("packings");
    const auto packing = std::find_if(packings.begin(), packings.end(),
                                      [&](const auto& one) { return one.at("id") == chosen.at("packing"); });
    REQUIRE(packing != packings.end());
    CHECK(sheet.at("packing") == packing->at("label"));
}

TEST_CASE("sheet --html writes the page instead of text and says where") {
    const TempWorkspace workspace;
    fill_book(workspace, "Albany NY", "corn snake");
    const auto file = workspace.path() / "sheet.html";
    testing::spill(file, "an older page");
    const Outcome outcome = sheet_in(workspace, {"--html", file.string()});
    CHECK(outcome.code == cli::kDone);
    CHECK(outcome.out.empty());
    using std::filesystem::perms;
    CHECK(std::filesystem::status(file).permissions() == (perms::owner_read | perms::owner_write));
    CHECK_THAT(outcome.err, Catch::Contains("note: sheet written to " + file.string()));
    CHECK_THAT(slurp(file), Catch::StartsWith("<!DOCTYPE html>") && Catch::EndsWith("</html>\n") &&
                                Catch::Contains("Order JB-1</h1>"));
}

TEST_CASE("sheet --html --json gives both and the file is the same as without JSON") {
    const TempWorkspace workspace;
    fill_book(workspace, "Albany NY", "corn snake");
    const auto file = [&](const char* name) { return (workspace.path() / name).string(); };
    CHECK(sheet_in(workspace, {"--json", "--html", file("a.html")}).json().at("needs_person") == false);
    CHECK(sheet_in(workspace, {"--html", file("b.html")}).code == cli::kDone);
    CHECK(slurp(file("a.html")) == slurp(file("b.html")));
}

TEST_CASE("sheet needs a person for shells under the limit of the law") {
    const TempWorkspace workspace;
    fill_book(workspace, "Sacramento CA", "hermanns-tortoise", "Birch, 28 g, 40 mm");
    const Outcome outcome = sheet_in(workspace);
    CHECK(outcome.code == cli::kNeedsPerson);
    CHECK_THAT(outcome.out,
               Catch::Contains("Verdict  Comfortable") && Catch::Contains("Shell 40 mm is under 102 mm"));
}

TEST_CASE("sheet needs a person for an order that is planned tight") {
    const TempWorkspace workspace;
    fill_book(workspace, "Tampa FL", "corn snake");
    const Outcome outcome = sheet_in(workspace);
    CHECK(outcome.code == cli::kNeedsPerson);
    CHECK_THAT(outcome.out, Catch::Contains("Verdict  Tight"));
}

TEST_CASE("sheet needs a person when the weather behind the plan is old by now") {
    const TempWorkspace workspace;
    fill_book(workspace, "Albany NY", "corn snake");
    const Outcome outcome = sheet_in(workspace, {}, "2027-03-02T13:00:00Z");
    CHECK(outcome.code == cli::kNeedsPerson);
    CHECK_THAT(outcome.out, Catch::Contains("STOP AND READ") && Catch::Contains("mildway check"));
}

TEST_CASE("sheet tells what the newest check found") {
    TempWorkspace workspace;
    fill_book(workspace, "Albany NY", "corn snake");
    workspace.remove("weather/albany.json");
    const Outcome checked = testing::run_in(workspace, {"check", "--recorded", workspace.recorded()});
    REQUIRE(checked.code == cli::kNoWeather);
    const Outcome outcome = sheet_in(workspace);
    CHECK(outcome.code == cli::kNeedsPerson);
    CHECK_THAT(outcome.out, Catch::Contains("Verdict  Unknown") && Catch::Contains("When it was planned") &&
                                Catch::Contains("Nothing here says it is safe to ship") &&
                                !Catch::Contains(" h old"));
}

TEST_CASE("sheet of an order that is not in the book is wrong usage and keeps the file") {
    const TempWorkspace workspace;
    fill_book(workspace, "Albany NY", "corn snake", "", false);
    const auto file = workspace.path() / "sheet.html";
    testing::spill(file, "an older page");
    const Outcome outcome = testing::run_in(workspace, {"sheet", "JB-2", "--html", file.string()});
    CHECK(outcome.code == cli::kWrongUsage);
    CHECK(outcome.out.empty());
    CHECK_THAT(outcome.err, Catch::Contains("JB-2"));
    CHECK(slurp(file) == "an older page");
}

TEST_CASE("sheet of an order without a plan is wrong usage says what to do and makes no file") {
    const TempWorkspace workspace;
    fill_book(workspace, "Albany NY", "corn snake", "", false);
    const auto file = workspace.path() / "sheet.html";
    const Outcome outcome = sheet_in(workspace, {"--html", file.string()});
    CHECK(outcome.code == cli::kWrongUsage);
    CHECK(outcome.out.empty());
    CHECK_THAT(outcome.err, Catch::Contains("mildway week --apply"));
    CHECK_FALSE(std::filesystem::exists(file));
}

TEST_CASE("sheet of an order whose packing is gone names the file") {
    TempWorkspace workspace;
    fill_book(workspace, "Albany NY", "corn snake");
    workspace.edit_json("packings.json", [](nlohmann::ordered_json& json) {
        for (auto& packing : json.at("packings")) packing["id"] = "new-" + packing["id"].get<std::string>();
    });
    workspace.edit_json("week.json", [](nlohmann::ordered_json& json) { json.erase("stock"); });
    const Outcome outcome = sheet_in(workspace);
    CHECK(outcome.code == cli::kWrongInput);
    CHECK_THAT(outcome.err, Catch::Contains("packings.json") && Catch::Contains("JB-1"));
}

TEST_CASE("sheet that cannot write its page fails and prints no sheet") {
    const TempWorkspace workspace;
    fill_book(workspace, "Albany NY", "corn snake");
    const auto file = workspace.path() / "no-such-folder" / "sheet.html";
    const Outcome outcome = sheet_in(workspace, {"--json", "--html", file.string()});
    CHECK(outcome.code == cli::kSystemFailure);
    CHECK(outcome.out.empty());
    CHECK_THAT(outcome.err, Catch::Contains("no-such-folder"));
}

TEST_CASE("sheet stops on a day that was entered as away after planning") {
    TempWorkspace workspace;
    fill_book(workspace, "Albany NY", "corn snake");
    CHECK_THAT(sheet_in(workspace).out, !Catch::Contains("STOP AND READ"));
    workspace.edit_json("week.json", [](nlohmann::ordered_json& week) {
        week["days_away"] = {{{"from", "2027-03-01"}, {"until", "2027-03-12"}}};
    });
    const Outcome outcome = sheet_in(workspace);
    CHECK(outcome.code == cli::kNeedsPerson);
    CHECK_THAT(outcome.out, Catch::Contains("STOP AND READ") && Catch::Contains("you are away on"));
}
