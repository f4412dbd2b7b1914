// Exit code 4: a config file is wrong. The message names file, line, field and what was expected.
#include "catch.hpp"
#include "command.hpp"

using namespace mildway;
using testing::Outcome;
using testing::TempWorkspace;

namespace {

void check_wrong_input(const Outcome& outcome, const std::string& says) {
    CHECK(outcome.code == cli::kWrongInput);
    CHECK(outcome.out.empty());
    CHECK_THAT(outcome.err, Catch::StartsWith("mildway: ") && Catch::Contains(says));
}

/// The line on which `text` first stands in a file of the workspace.
std::string line_of(const TempWorkspace& workspace, const std::string& file, const std::string& text) {
    const std::string all = testing::slurp(workspace.path() / file);
    const auto end = all.begin() + static_cast<std::ptrdiff_t>(all.find(text));
    return std::to_string(1 + std::count(all.begin(), end, '\n'));
}

}  // namespace

TEST_CASE("a misspelt key is named with its file its line and the key that was meant") {
    struct Slip {
        const char* file;
        const char* key;
        const char* misspelt;
    };
    for (const Slip& slip : {Slip{"services.json", "\"spread_minutes\"", "\"spread_minute\""},
                             Slip{"settings.json", "\"sun_lift_k\"", "\"sun_lift_c\""},
                             Slip{"workspace.json", "\"climate\"", "\"climat\""}}) {
        TempWorkspace workspace;
        workspace.edit(slip.file, slip.key, slip.misspelt);
        CAPTURE(slip.file);
        const Outcome outcome = testing::plan_in(workspace);
        check_wrong_input(
            outcome, std::string(slip.file) + ":" + line_of(workspace, slip.file, slip.misspelt) + ": /");
        const std::string meant = std::string(slip.key).substr(1, std::string(slip.key).size() - 2);
        CHECK_THAT(outcome.err, Catch::Contains("did you mean '" + meant + "'?"));
    }
}

TEST_CASE("a key that is needed and misspelt is reported as missing") {
    TempWorkspace workspace;
    workspace.edit("packings.json", "\"air_exchange_l_per_h\"", "\"air_exchange\"");
    check_wrong_input(testing::plan_in(workspace), "/packings/0/air_exchange_l_per_h: is missing");
}

TEST_CASE("a value out of range is named with the range") {
    TempWorkspace workspace;
    workspace.edit("settings.json", "\"follow\": 0.9", "\"follow\": 90");
    check_wrong_input(testing::plan_in(workspace), "/follow: is 90; expected a number from 0 to 1");
}

TEST_CASE("a number in quotes is no number") {
    TempWorkspace workspace;
    workspace.edit("settings.json", "\"hold_c\": 21", "\"hold_c\": \"21\"");
    check_wrong_input(testing::plan_in(workspace), "/settings/0/hold_c: is \"21\"; expected a number");
}

TEST_CASE("broken JSON is named with its line") {
    TempWorkspace workspace;
    workspace.edit("species.json", "\"id\": \"corn-snake\",", "\"id\": \"corn-snake\"");
    check_wrong_input(testing::plan_in(workspace), "species.json:");
}

TEST_CASE("a missing config file is named") {
    TempWorkspace workspace;
    workspace.remove("species.json");
    check_wrong_input(testing::plan_in(workspace), "species.json");
}

TEST_CASE("a folder without a workspace is wrong input on every command that needs one") {
    testing::TempFolder empty;
    const std::string folder = empty.path().string();
    check_wrong_input(testing::run_bare({"--workspace", folder, "config", "check"}), "workspace.json");
    check_wrong_input(
        testing::run_bare({"--workspace", folder, "plan", "--to", "Duluth MN", "--species", "corn snake"}),
        "workspace.json");
    check_wrong_input(testing::run_bare({"--workspace", folder, "trace", "--to", "Duluth MN", "--species",
                                         "corn snake", "--service", "night-air", "--packing", "small-38"}),
                      "workspace.json");
}

TEST_CASE("a place in no zone is wrong input") {
    TempWorkspace workspace;
    workspace.edit("workspace.json", "America/New_York", "America/Old_York");
    check_wrong_input(testing::plan_in(workspace), "America/Old_York");
}

TEST_CASE("a leg in a setting nobody knows is answered with the nearest") {
    TempWorkspace workspace;
    workspace.edit("services.json", "\"setting\": \"warehouse\"", "\"setting\": \"warehous\"");
    check_wrong_input(testing::plan_in(workspace), "did you mean 'warehouse'?");
}

TEST_CASE("bands of a species that do not nest are wrong input") {
    TempWorkspace workspace;
    workspace.edit("species.json", "\"safe_c\": [18, 31]", "\"safe_c\": [22, 31]");
    check_wrong_input(testing::plan_in(workspace), "species.json");
}
