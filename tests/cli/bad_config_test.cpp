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
    workspace.edit("packings.json", "\"seams_l_per_h\"", "\"leaks\"");
    check_wrong_input(testing::plan_in(workspace), "/packings/0/seams_l_per_h: is missing");
}

TEST_CASE("a key of an older recipe is answered with the keys that took its place") {
    TempWorkspace workspace;
    workspace.edit("packings.json", "\"seams_l_per_h\": 3", "\"air_exchange_l_per_h\": 12");
    const std::string line = line_of(workspace, "packings.json", "\"air_exchange_l_per_h\"");
    check_wrong_input(testing::plan_in(workspace),
                      "packings.json:" + line +
                          ": /packings/0/air_exchange_l_per_h: is reckoned from \"vents\" and " +
                          "\"seams_l_per_h\" now");
}

TEST_CASE("one warmer of an older recipe is answered with the list that took its place") {
    TempWorkspace workspace;
    workspace.edit(
        "packings.json",
        "\"warmers\": [{\"type\": \"slow-40h\", \"count\": 1, \"opened_before_packing_minutes\": 45}]",
        "\"warmer\": {\"type\": \"slow-40h\", \"count\": 1, \"opened_before_packing_minutes\": 45}");
    check_wrong_input(testing::plan_in(workspace),
                      "/packings/1/warmer: is not a key mildway knows here; did you mean 'warmers'?");
}

TEST_CASE("a supply out of range is named with its file its line and the range") {
    struct Slip {
        const char* good;
        const char* bad;
        const char* says;
    };
    for (const Slip& slip :
         {Slip{"\"latent_kj_per_kg\": 310", "\"latent_kj_per_kg\": 0",
               "/coolants/0/latent_kj_per_kg: is 0; expected a number from 1 to 400"},
          Slip{"\"conductivity_w_per_m_k\": 0.0404", "\"conductivity_w_per_m_k\": -0.0404",
               "/materials/0/conductivity_w_per_m_k: is -0.0404; expected a number from 0.001 to 10"},
          Slip{"\"hours_since_opening\": 1.5", "\"hours_since_opening\": 0.4",
               "/warmers/0/power/2/hours_since_opening: is 0.4; expected more than the 0.5"}}) {
        TempWorkspace workspace;
        workspace.edit("materials.json", slip.good, slip.bad);
        CAPTURE(slip.bad);
        check_wrong_input(
            testing::plan_in(workspace),
            "materials.json:" + line_of(workspace, "materials.json", slip.bad) + ": " + slip.says);
    }
}

TEST_CASE("a supply nobody knows is answered with the nearest") {
    for (const auto& [known, unknown] : {std::pair{"gel-250", "gell-250"}, std::pair{"deli-500", "dely-500"},
                                         std::pair{"slow-72h", "slow-72"}, std::pair{"eps-20", "esp-20"}}) {
        TempWorkspace workspace;
        const std::string quoted = "\"" + std::string(unknown) + "\"";
        workspace.edit("packings.json", "\"" + std::string(known) + "\"", quoted);
        CAPTURE(unknown);
        const Outcome outcome = testing::plan_in(workspace);
        check_wrong_input(outcome, "packings.json:" + line_of(workspace, "packings.json", quoted));
        CHECK_THAT(outcome.err, Catch::Contains("did you mean '" + std::string(known) + "'?"));
    }
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
