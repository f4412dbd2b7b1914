#include "mildway/care/species.hpp"

#include "catch.hpp"

#include <nlohmann/json.hpp>

using namespace mildway;
using namespace mildway::care;
using nlohmann::ordered_json;

namespace {

ordered_json newt() {
    return {{"id", "red-newt"},
            {"common", "Red newt"},
            {"scientific", "Testus ruber"},
            {"group", "salamander"},
            {"comfort_c", {12, 18}},
            {"safe_c", {8, 21}},
            {"harm_c", {2, 25}},
            {"without_water_h", 30},
            {"without_food_h", 60},
            {"mass_g", 4},
            {"bands_source", "made up"},
            {"mass_source", "made up"},
            {"fasting_source", "made up"},
            {"limits_note", "made up"}};
}

SpeciesTable read(const ordered_json& rows) {
    ordered_json file;
    file["species"] = rows;
    return SpeciesTable::read(ConfigNode::parse("species.json", file.dump()));
}

std::string complaint(const char* key, const ordered_json& value) {
    ordered_json row = newt();
    row[key] = value;
    try {
        (void)read(ordered_json::array({row}));
    } catch (const InputError& error) {
        return error.what();
    }
    return "";
}

const SpeciesTable& starter() {
    static const auto table = SpeciesTable::read(ConfigNode::load(MILDWAY_SOURCE_DIR "/config/species.json"));
    return table;
}

}  // namespace

TEST_CASE("A species is read as it is written") {
    const SpeciesTable table = read(ordered_json::array({newt()}));
    const Species& species = table.find("red-newt");
    CHECK(species.scientific == "Testus ruber");
    CHECK(species.group == "salamander");
    CHECK(species.comfort.low_c == 12);
    CHECK(species.comfort.high_c == 18);
    CHECK(species.safe.low_c == 8);
    CHECK(species.safe.high_c == 21);
    CHECK(species.harm.low_c == 2);
    CHECK(species.harm.high_c == 25);
    CHECK(species.mass_g == 4);
    CHECK(species.without_water_h == 30);
    CHECK(species.without_food_h == 60);
}

TEST_CASE("A species is venomous only where the table says so with true or false") {
    CHECK_FALSE(read(ordered_json::array({newt()})).find("red-newt").venomous);
    ordered_json row = newt();
    row["venomous"] = true;
    CHECK(read(ordered_json::array({row})).find("red-newt").venomous);
    CHECK_THAT(complaint("venomous", "yes"), Catch::Contains("venomous") && Catch::Contains("true or false"));
}

TEST_CASE("A species goes by its id and both of its names in any case") {
    const SpeciesTable table = read(ordered_json::array({newt()}));
    for (const char* name : {"red-newt", "RED NEWT", "testus ruber"})
        CHECK(table.find(name).id == "red-newt");
}

TEST_CASE("An unknown species is answered with the nearest name or else with all") {
    CHECK_THROWS_AS(starter().find("corn snak"), UsageError);
    CHECK_THROWS_WITH(starter().find("corn snak"),
                      "no species is called 'corn snak'; did you mean 'corn snake'?");
    CHECK_THROWS_WITH(starter().find("axolotl"), Catch::Contains("(known: leopard-tortoise, "));
}

TEST_CASE("Bands must lie one inside the other on both sides") {
    CHECK_THAT(complaint("comfort_c", {7, 18}), Catch::Contains("/comfort_c: reaches beyond safe_c"));
    CHECK_THAT(complaint("comfort_c", {12, 22}), Catch::Contains("/comfort_c: reaches beyond safe_c"));
    CHECK_THAT(complaint("safe_c", {2, 21}), Catch::Contains("/safe_c: reaches harm_c"));
    CHECK_THAT(complaint("safe_c", {8, 25}), Catch::Contains("/safe_c: reaches harm_c"));
    CHECK(complaint("comfort_c", {8, 21}).empty());
}

TEST_CASE("A band is a low and a high in degrees Celsius") {
    CHECK_THAT(complaint("harm_c", {25, 2}), Catch::Contains("/harm_c: expected [low, high]"));
    CHECK_THAT(complaint("harm_c", ordered_json::array({25})),
               Catch::Contains("/harm_c: expected [low, high]"));
    CHECK_THAT(complaint("harm_c", {36, 77}), Catch::Contains("in degrees Celsius"));
}

TEST_CASE("A species needs a known group and its sources") {
    CHECK_THAT(complaint("group", "newt"),
               Catch::Contains("/group: is 'newt'; expected one of: tortoise, turtle"));
    for (const char* key : {"bands_source", "mass_source", "fasting_source", "limits_note"}) {
        CHECK_THAT(complaint(key, ""), Catch::Contains("is empty; expected some text"));
    }
}

TEST_CASE("A misspelt key of a species is an error") {
    CHECK_THAT(complaint("confort_c", {12, 18}), Catch::Contains("did you mean 'comfort_c'?"));
}

TEST_CASE("Two species may not share a name") {
    ordered_json other = newt();
    other["id"] = "other";
    other["common"] = "other";
    CHECK_THROWS_WITH(read(ordered_json::array({newt(), other})),
                      Catch::Contains("'other' shares a name with 'red-newt'"));
}

TEST_CASE("The starter table holds thirteen species") {
    CHECK(starter().all().size() == 13);
}

TEST_CASE("The starter table calls its bands judgement") {
    for (const Species& species : starter().all())
        CHECK_THAT(species.bands_source, Catch::Contains("judgement"));
}

TEST_CASE("A species is found by its id with blanks for the dashes") {
    CHECK(starter().find("Dart frog").id == "dart-frog");
    CHECK(starter().find("hermanns tortoise").id == "hermanns-tortoise");
}

TEST_CASE("An id written with blanks may not be the name of another species") {
    ordered_json other = newt();
    other["id"] = "fire-newt";
    other["common"] = "red newt, large";
    other["scientific"] = "Testus igneus";
    ordered_json first = newt();
    first["common"] = "Fire newt";
    CHECK_THROWS_AS(read(ordered_json::array({first, other})), InputError);
}
