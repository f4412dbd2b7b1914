#include "mildway/planning/workspace.hpp"

#include "catch.hpp"
#include "temp_workspace.hpp"

using namespace mildway;
using planning::Workspace;
using testing::TempWorkspace;

namespace {

/// What is said about workspace.json after one replacement.
InputError complaint(const std::string& from, const std::string& to) {
    TempWorkspace folder;
    folder.edit("workspace.json", from, to);
    try {
        (void)Workspace::load(folder.path());
    } catch (const InputError& error) {
        return error;
    }
    FAIL("accepted: " << to);
    return {"", "", 0, ""};
}

void check_place(const InputError& error, const std::string& field, int line) {
    CHECK_THAT(error.file(), Catch::EndsWith("workspace.json"));
    CHECK(error.field() == field);
    CHECK(error.line() == line);
}

}  // namespace

TEST_CASE("the starter workspace is read whole") {
    const Workspace workspace = Workspace::load(MILDWAY_SOURCE_DIR "/config");
    CHECK(workspace.breeder == "Juniper Bench Herpetology");
    CHECK(workspace.scale == planning::TemperatureScale::celsius);
    CHECK(workspace.origin.name == "Las Cruces NM");
    CHECK(workspace.counter.name == "El Paso TX");
    CHECK(workspace.find_place("St. Louis MO")->climate == Climate::elsewhere);
    CHECK(workspace.services.find("night-air").hubs.at(0).name == "St. Louis MO");
    CHECK(workspace.services.find("night-air").hubs[0].zone == "America/Chicago");
    CHECK(workspace.holidays.find("thanksgiving") != nullptr);
    CHECK(workspace.hand_over.parked == minutes(0));
    CHECK(workspace.origin.climate == Climate::western_plain);
    CHECK(workspace.hand_over.drive == minutes(50));
    CHECK(workspace.hand_over.packed_before_leaving == minutes(30));
    CHECK(workspace.weather.stale_after == hours(12));
    CHECK(workspace.verdicts.tight.chance_outside == 0.30);
    CHECK(workspace.verdicts.comfortable.chance_harm == 0.002);
    CHECK(workspace.places.size() == 8);
}

TEST_CASE("every climate of a place is read as what it is called") {
    const std::vector<std::pair<std::string, Climate>> climates{
        {"elsewhere", Climate::elsewhere},
        {"tropical", Climate::tropical},
        {"warm-coast-east", Climate::warm_coast_east},
        {"pacific-coast", Climate::pacific_coast},
        {"western-mountain", Climate::western_mountain},
        {"western-plain", Climate::western_plain},
        {"alaska", Climate::alaska}};
    for (const auto& [name, climate] : climates) {
        TempWorkspace folder;
        folder.edit("workspace.json", "warm-coast-east", name);
        CAPTURE(name);
        CHECK(Workspace::load(folder.path()).find_place("Tampa FL")->climate == climate);
    }
}

TEST_CASE("a place is found whatever the case") {
    const Workspace workspace = Workspace::load(MILDWAY_SOURCE_DIR "/config");
    REQUIRE(workspace.find_place("duluth mn") != nullptr);
    CHECK(workspace.find_place("DULUTH MN")->name == "Duluth MN");
    CHECK(workspace.find_place("Duluth") == nullptr);
}

TEST_CASE("a hub of a service that is no place is answered with the nearest") {
    TempWorkspace folder;
    folder.edit("services.json", R"(["St. Louis MO"])", R"(["St Louis MO"])");
    CHECK_THROWS_WITH(Workspace::load(folder.path()), Catch::Contains("services.json") &&
                                                          Catch::Contains("/services/0/hubs: ") &&
                                                          Catch::Contains("did you mean 'St. Louis MO'?"));
}

TEST_CASE("a hub of the whole workspace is none any more") {
    const InputError error =
        complaint("\"counter\": \"El Paso TX\",", "\"counter\": \"El Paso TX\", \"hub\": \"St. Louis MO\",");
    check_place(error, "/hub", 6);
}

TEST_CASE("minutes in the parked car are read and bounded") {
    TempWorkspace folder;
    folder.edit("workspace.json", "\"parked_minutes\": 0", "\"parked_minutes\": 25");
    CHECK(Workspace::load(folder.path()).hand_over.parked == minutes(25));
    CHECK(complaint("\"parked_minutes\": 0", "\"parked_minutes\": 241").field() == "/parked_minutes");
}

TEST_CASE("minutes in the parked car need the setting of a parked car") {
    TempWorkspace folder;
    folder.edit("workspace.json", "\"parked_minutes\": 0", "\"parked_minutes\": 25");
    folder.edit("settings.json", "\"name\": \"parked-vehicle\"", "\"name\": \"stored-vehicle\"");
    try {
        (void)Workspace::load(folder.path());
        FAIL("was read");
    } catch (const InputError& error) {
        CHECK(error.field() == "/parked_minutes");
        CHECK_THAT(error.what(), Catch::Contains("needs the setting 'parked-vehicle'"));
    }
}

TEST_CASE("origin and counter must be places too") {
    check_place(complaint("\"origin\": \"Las Cruces NM\"", "\"origin\": \"Mars\""), "/origin", 5);
    check_place(complaint("\"counter\": \"El Paso TX\"", "\"counter\": \"Mars\""), "/counter", 6);
}

TEST_CASE("a misspelt key of the workspace is named with its line and the nearest") {
    const InputError error = complaint("stale_after_hours", "stale_after_hour");
    check_place(error, "/weather/stale_after_hour", 13);
    const InputError extra =
        complaint("\"drive_minutes\": 50", "\"drive_minutes\": 50, \"drive_minute\": 50");
    check_place(extra, "/drive_minute", 7);
    CHECK_THAT(extra.what(), Catch::Contains("did you mean 'drive_minutes'?"));
}

TEST_CASE("a zone that does not exist is an error of its place") {
    const InputError error = complaint("-92.1005, \"region\": \"US-MN\", \"zone\": \"America/Chicago\"",
                                       "-92.1005, \"region\": \"US-MN\", \"zone\": \"America/Chicagoo\"");
    check_place(error, "/places/3/zone", 24);
    CHECK_THAT(error.what(), Catch::Contains("America/Chicagoo"));
}

TEST_CASE("two places cannot share a name in any case") {
    const InputError error = complaint("\"name\": \"Albany NY\"", "\"name\": \"tampa fl\"");
    check_place(error, "/places/7/name", 28);
    CHECK_THAT(error.what(), Catch::Contains("which another place has already"));
}

TEST_CASE("coordinates beyond the globe are refused") {
    check_place(complaint("46.7867", "96.7867"), "/places/3/latitude_deg", 24);
    check_place(complaint("-92.1005", "-192.1005"), "/places/3/longitude_deg", 24);
}

TEST_CASE("a climate nobody knows is answered with all that are known") {
    const InputError error = complaint("western-mountain", "mountain");
    check_place(error, "/places/5/climate", 26);
    CHECK_THAT(error.what(), Catch::Contains("pacific-coast"));
}

TEST_CASE("a region of a place is read and one that is left out is not known") {
    TempWorkspace folder;
    folder.edit("workspace.json", "\"region\": \"US-MT\", ", "");
    folder.edit("workspace.json", "\"US-CA\"", "\"CA\"");
    const Workspace workspace = Workspace::load(folder.path());
    CHECK(workspace.find_place("Duluth MN")->region == "US-MN");
    CHECK(workspace.find_place("Sacramento CA")->region == "CA");
    CHECK(workspace.find_place("Bozeman MT")->region.empty());
}

TEST_CASE("a region that has not the form of ISO 3166 is an error that shows the form") {
    for (const char* bad : {"Minnesota", "us-mn", "US MN", "MN-", ""}) {
        CAPTURE(bad);
        const InputError error = complaint("\"US-MN\"", "\"" + std::string(bad) + "\"");
        check_place(error, "/places/3/region", 24);
    }
    CHECK_THAT(complaint("\"US-MN\"", "\"Minnesota\"").what(),
               Catch::Contains("'Minnesota'") && Catch::Contains("\"US-MN\""));
}

TEST_CASE("the address of the breeder is a list of lines and may be left out") {
    CHECK(Workspace::load(MILDWAY_SOURCE_DIR "/config").address ==
          std::vector<std::string>{"1 Example Road", "Las Cruces NM"});
    TempWorkspace folder;
    folder.edit_json("workspace.json", [](auto& json) { json.erase("address"); });
    CHECK(Workspace::load(folder.path()).address.empty());
    check_place(complaint("[\"1 Example Road\", \"Las Cruces NM\"]", "\"1 Example Road\""), "/address", 3);
}

TEST_CASE("a temperature scale is celsius or fahrenheit") {
    check_place(complaint("\"celsius\"", "\"kelvin\""), "/temperature_scale", 4);
}

TEST_CASE("tight limits must be at least as wide as comfortable ones") {
    const InputError error = complaint("\"chance_outside\": 0.30", "\"chance_outside\": 0.04");
    check_place(error, "/verdicts/tight", 18);
    CHECK_THAT(error.what(), Catch::Contains("allows less than 'comfortable' does"));
}

TEST_CASE("verdict limits are the model's own unless the workspace sets them") {
    TempWorkspace folder;
    folder.edit_json("workspace.json", [](auto& json) { json.erase("verdicts"); });
    const Workspace workspace = Workspace::load(folder.path());
    CHECK(workspace.verdicts.comfortable.chance_outside == 0.05);
    CHECK(workspace.verdicts.tight.chance_harm == 0.02);
}

TEST_CASE("a missing file of the workspace is named") {
    for (const char* name :
         {"workspace.json", "settings.json", "holidays.json", "services.json", "materials.json",
          "packings.json", "species.json", "rules.json", "advice.json"}) {
        TempWorkspace folder;
        folder.remove(name);
        CAPTURE(name);
        CHECK_THROWS_AS(Workspace::load(folder.path()), InputError);
        CHECK_THROWS_WITH(Workspace::load(folder.path()), Catch::Contains(name));
    }
}
