// init, config check, help and version.
#include "catch.hpp"
#include "command.hpp"

using namespace mildway;
using testing::Outcome;
using testing::run_bare;
using testing::TempFolder;
using testing::TempWorkspace;

namespace {

std::string new_workspace(const TempFolder& folder) {
    const std::string name = (folder.path() / "shop" / "mine").string();
    REQUIRE(run_bare({"init", name}).code == cli::kDone);
    return name;
}

}  // namespace

TEST_CASE("init writes the starter files byte for byte and says so") {
    TempFolder folder;
    const std::string name = (folder.path() / "shop").string();
    const Outcome outcome = run_bare({"init", name});
    CHECK(outcome.code == cli::kDone);
    CHECK(outcome.err.empty());
    CHECK_THAT(outcome.out, Catch::Contains("36 files written to " + name));
    int files = 0;
    const std::filesystem::path config(MILDWAY_SOURCE_DIR "/config");
    for (const auto& file : std::filesystem::recursive_directory_iterator(config)) {
        const auto inside = std::filesystem::relative(file.path(), config);
        if (file.is_directory() || *inside.begin() == "systemd") continue;
        CAPTURE(inside.string());
        CHECK(testing::slurp(std::filesystem::path(name) / inside) == testing::slurp(file.path()));
        ++files;
    }
    CHECK(files == 36);
}

TEST_CASE("init as JSON lists the files") {
    TempFolder folder;
    const std::string name = (folder.path() / "a \"quoted\" shop").string();
    const Outcome outcome = run_bare({"init", name, "--json"});
    CHECK(outcome.code == cli::kDone);
    CHECK(outcome.json().at("document") == "mildway init");
    CHECK(outcome.json().at("version") == 1);
    CHECK(outcome.json().at("folder") == name);
    CHECK(outcome.json().at("files").size() == 36);
}

TEST_CASE("what init writes lacks only the contact that live weather needs") {
    TempFolder folder;
    const Outcome outcome = run_bare({"--workspace", new_workspace(folder), "config", "check"});
    CHECK(outcome.code == cli::kWrongInput);
    CHECK_THAT(outcome.err,
               Catch::Contains("workspace.json: /weather/contact: is missing; expected an e-mail"));
}

TEST_CASE("the starter files with a contact pass config check") {
    TempWorkspace workspace;
    const Outcome outcome = testing::run_in(workspace, {"config", "check"});
    CHECK(outcome.code == cli::kDone);
    CHECK_THAT(
        outcome.out,
        Catch::Contains("Juniper Bench Herpetology: good (8 places, 5 services, 11 packings, 13 species"));
    CHECK(outcome.err.empty());
}

TEST_CASE("init refuses to write over a file and leaves all as it was") {
    TempFolder folder;
    testing::spill(folder.path() / "species.json", "mine");
    const Outcome outcome = run_bare({"init", folder.path().string()});
    CHECK(outcome.code == cli::kWrongUsage);
    CHECK_THAT(outcome.err, Catch::Contains("species.json is there already"));
    CHECK(testing::slurp(folder.path() / "species.json") == "mine");
    CHECK_FALSE(std::filesystem::exists(folder.path() / "workspace.json"));
}

TEST_CASE("init where no folder can be is a failure of the system") {
    TempFolder folder;
    testing::spill(folder.path() / "file", "");
    const Outcome outcome = run_bare({"init", (folder.path() / "file" / "shop").string()});
    CHECK(outcome.code == cli::kSystemFailure);
    CHECK_THAT(outcome.err, Catch::Contains("the folder cannot be made"));
}

TEST_CASE("config check as JSON counts what it read") {
    TempWorkspace workspace;
    const auto json = testing::run_in(workspace, {"config", "check", "--json"}).json();
    CHECK(json.at("document") == "mildway config check");
    CHECK(json.at("version") == 1);
    CHECK(json.at("places") == 8);
    CHECK(json.at("packings") == 11);
    CHECK(json.at("services") == 5);
    CHECK(json.at("species") == 13);
}

TEST_CASE("config check reads the gazetteers") {
    TempWorkspace workspace;
    workspace.edit("workspace.json", "\"sources\"", "\"gazetteers\": [\"towns.txt\"], \"sources\"");
    const Outcome outcome = testing::run_in(workspace, {"config", "check"});
    CHECK(outcome.code == cli::kWrongInput);
    CHECK_THAT(outcome.err, Catch::Contains("towns.txt"));
}

TEST_CASE("config check finds a fault in every file") {
    for (const char* file :
         {"advice.json", "climate_stations.json", "hazards.json", "materials.json", "packings.json",
          "rules.json", "services.json", "settings.json", "species.json", "workspace.json"}) {
        TempWorkspace workspace;
        workspace.edit_json(file, [](auto& json) { json["surprise"] = 1; });
        CAPTURE(file);
        const Outcome outcome = testing::run_in(workspace, {"config", "check"});
        CHECK(outcome.code == cli::kWrongInput);
        CHECK(outcome.out.empty());
        CHECK_THAT(outcome.err, Catch::Contains(file) && Catch::Contains("/surprise: "));
    }
}

TEST_CASE("config check notes what was learnt of a packing that is gone") {
    TempWorkspace workspace;
    testing::spill(workspace.path() / "learnt.json",
                   R"({"version": 1, "packings": [{"id": "sold-out", "recipe": "any", "wall_factor": 1.1,
                   "wall_factor_error": 0.1, "wall_factor_from_log": "a.csv", "readings": 500,
                   "fitted_range": ["2027-02-01T00:00:00Z", "2027-02-02T00:00:00Z"]}]})");
    const Outcome outcome = testing::run_in(workspace, {"config", "check"});
    CHECK(outcome.code == cli::kDone);
    CHECK_THAT(outcome.err, Catch::Contains("note: learnt.json speaks of a packing 'sold-out'"));
}

TEST_CASE("help goes to standard output for the program and every command") {
    const testing::Arguments commands{"", "plan", "trace", "fit", "weather", "init", "config"};
    for (const auto& command : commands) {
        CAPTURE(command);
        const Outcome outcome = command.empty() ? run_bare({"--help"}) : run_bare({command, "--help"});
        CHECK(outcome.code == cli::kDone);
        CHECK(outcome.err.empty());
        CHECK_THAT(outcome.out, Catch::Contains("Usage: mildway"));
    }
}

TEST_CASE("help names every command and promises nothing") {
    const std::string help = run_bare({"--help"}).out;
    for (const char* command : {"plan", "trace", "fit", "weather", "init", "config"})
        CHECK_THAT(help, Catch::Contains(std::string("\n  ") + command + " "));
    CHECK_THAT(help, Catch::Contains("No plan can promise that an animal lives."));
}

TEST_CASE("the example in the help works in the starter workspace") {
    TempWorkspace workspace;
    const std::string help = run_bare({"--help"}).out;
    REQUIRE_THAT(help, Catch::Contains("mildway plan --to \"Duluth MN\" --species \"corn snake\""));
    CHECK(testing::run_in(workspace, {"plan", "--to", "Duluth MN", "--species", "corn snake"}).code <=
          cli::kNeedsPerson);
}

TEST_CASE("the version is one line") {
    const Outcome outcome = run_bare({"--version"});
    CHECK(outcome.code == cli::kDone);
    CHECK(outcome.out == "mildway 0.1.0\n");
}
