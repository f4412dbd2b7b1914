// Recipes that are wrong: each complaint names file, line, field and what was expected.
#include "catch.hpp"
#include "recipe.hpp"

#include <string>

using namespace mildway;
using testing::read_recipes;
using testing::recipe;

namespace {

/// The complaint about a recipe spoilt in one place.
InputError complaint(const std::string& from, const std::string& to) {
    try {
        (void)read_recipes(recipe(from, to));
    } catch (const InputError& error) {
        return error;
    }
    FAIL("accepted: " << to);
    return {"", "", 0, ""};
}

void check_place(const InputError& error, const std::string& field, int line, const std::string& says) {
    CHECK(error.file() == "packings.json");
    CHECK(error.field() == "/packings/0/" + field);
    CHECK(error.line() == line);
    CHECK_THAT(error.what(), Catch::Contains(says));
}

}  // namespace

TEST_CASE("a thickness of nothing or less is refused") {
    check_place(complaint("\"thickness_mm\": 38", "\"thickness_mm\": 0"), "liner/thickness_mm", 5,
                "is 0; expected a number from 1 to 450");
    check_place(complaint("\"thickness_mm\": 38", "\"thickness_mm\": -38"), "liner/thickness_mm", 5,
                "is -38; expected a number from 1 to 450");
    check_place(complaint("\"corrugated-c\"", "\"corrugated-c\", \"thickness_mm\": -4"), "board/thickness_mm",
                6, "is -4; expected a number from 0.2 to 30");
}

TEST_CASE("a liner that makes the parcel longer than a metre is refused") {
    check_place(complaint("\"thickness_mm\": 38", "\"thickness_mm\": 380"), "liner/thickness_mm", 5,
                "1018 mm long outside; expected at most 1000");
}

TEST_CASE("a liner too thick for the formula behind the model is refused") {
    check_place(complaint("[250, 200, 150],\n\"liner\": {\"material\": \"eps-20\", \"thickness_mm\": 38}",
                          "[250, 200, 60],\n\"liner\": {\"material\": \"eps-20\", \"thickness_mm\": 121}"),
                "liner/thickness_mm", 5, "is 121; expected at most 120, twice the shortest inner side");
}

TEST_CASE("a liner of a material without a usual thickness must give one") {
    check_place(complaint(", \"thickness_mm\": 38", ""), "liner/thickness_mm", 5,
                "is missing; expected a number");
}

TEST_CASE("an inside that is no box is refused") {
    check_place(complaint("[250, 200, 150]", "[250, 200]"), "inner_mm", 4, "expected three numbers");
    check_place(complaint("[250, 200, 150]", "[250, -200, 150]"), "inner_mm/1", 4,
                "is -200; expected 20 to 1000");
    check_place(complaint("[250, 200, 150]", "[0.25, 0.2, 0.15]"), "inner_mm/0", 4,
                "is 0.25; expected 20 to 1000");
}

TEST_CASE("a cup that does not go in is refused") {
    check_place(complaint("[250, 200, 150]", "[250, 105, 150]"), "cup", 8,
                "'deli-500' is 110 mm wide; expected at most 105");
    check_place(complaint("[250, 200, 150]", "[250, 200, 59]"), "cup", 8,
                "'deli-500' is 60 mm high; expected at most 59");
}

TEST_CASE("an unknown name is answered with the nearest") {
    check_place(complaint("\"eps-20\"", "\"esp-20\""), "liner/material", 5, "did you mean 'eps-20'?");
    check_place(complaint("\"deli-500\"", "\"dely-500\""), "cup", 8, "did you mean 'deli-500'?");
    check_place(complaint("\"slow-40h\"", "\"slow-40\""), "warmers/0/type", 9, "did you mean 'slow-40h'?");
    check_place(complaint("\"gel-250\"", "\"gell-250\""), "coolant/type", 10, "did you mean 'gel-250'?");
}

TEST_CASE("more warmers than a parcel may hold are refused over all kinds together") {
    check_place(complaint("\"count\": 1, \"opened", "\"count\": 7, \"opened"), "warmers/0/count", 9,
                "is 7; expected a number from 1 to 6");
    check_place(
        complaint("\"warmers\": [",
                  R"("warmers": [{"type": "slow-72h", "count": 6, "opened_before_packing_minutes": 0}, )"),
        "warmers/1/count", 9, "makes 7 warmers in the parcel; expected at most 6");
}

TEST_CASE("a use of no warmers or of half a warmer is refused") {
    check_place(complaint("\"count\": 1, \"opened", "\"count\": 0, \"opened"), "warmers/0/count", 9, "is 0");
    check_place(complaint("\"count\": 1, \"opened", "\"count\": 1.5, \"opened"), "warmers/0/count", 9,
                "is 1.5; expected a whole number");
}

TEST_CASE("a warmer opened after packing is refused") {
    check_place(complaint("_minutes\": 45", "_minutes\": -45"), "warmers/0/opened_before_packing_minutes", 9,
                "is -45; expected a number from 0 to 1440");
}

// Ten gel packs are 2.9 L; the box made smaller holds 2.7 L.
TEST_CASE("coolants that leave no room are refused") {
    const std::string small = "[220, 220, 65]";
    std::string text = recipe("[250, 200, 150]", small);
    const std::string one = "\"count\": 1, \"conditioned";
    text.replace(text.find(one), one.size(), "\"count\": 10, \"conditioned");
    try {
        (void)read_recipes(text);
        FAIL("accepted ten packs in three litres");
    } catch (const InputError& error) {
        check_place(error, "coolant/count", 10, "fills 2.9 L of the 3.1 L inside; expected at most half");
    }
}

// Crumpled paper of 25 kg/m3: 0.12 kg are 4.8 L.
TEST_CASE("fill that takes more than the inside is refused") {
    check_place(complaint("\"kg\": 0.12", "\"kg\": 50"), "fill/kg", 7, "is 50, which takes 2000.0 L");
}

// 7.5 L less a cup of 0.57 L, a warmer of 0.08 L and a gel pack of 0.29 L: 6.56 L, which 0.164 kg fill.
TEST_CASE("fill may take what cup warmers and coolants leave and no more") {
    CHECK_NOTHROW(read_recipes(recipe("\"kg\": 0.12", "\"kg\": 0.163")));
    check_place(complaint("\"kg\": 0.12", "\"kg\": 0.165"), "fill/kg", 7,
                "takes 6.6 L; expected at most the 6.6 L");
}

// Six warmers take 0.4 L more than one does.
TEST_CASE("warmers take room from the fill") {
    std::string text = recipe("\"kg\": 0.12", "\"kg\": 0.160");
    CHECK_NOTHROW(read_recipes(text));
    const std::string one = "\"count\": 1, \"opened";
    text.replace(text.find(one), one.size(), "\"count\": 6, \"opened");
    try {
        (void)read_recipes(text);
        FAIL("accepted six warmers where there is room for one");
    } catch (const InputError& error) {
        check_place(error, "fill/kg", 7, "expected at most the 6.2 L");
    }
}

// The inner faces are 2350 cm2.
TEST_CASE("holes of more than a tenth of the inner faces are refused") {
    check_place(complaint("\"count\": 4, \"diameter_mm\": 8", "\"count\": 200, \"diameter_mm\": 50"),
                "vents/count", 11, "makes 3927 cm2 of holes; expected at most 235, a tenth");
}

TEST_CASE("vents wider than half the shortest side are refused") {
    std::string text = recipe("[250, 200, 150]", "[500, 500, 62]");
    const std::string eight = "\"diameter_mm\": 8";
    text.replace(text.find(eight), eight.size(), "\"diameter_mm\": 32");
    try {
        (void)read_recipes(text);
        FAIL("accepted holes of 32 mm in a side of 62 mm");
    } catch (const InputError& error) {
        check_place(error, "vents/diameter_mm", 11,
                    "is 32; expected at most 31, half the shortest inner side");
    }
}

TEST_CASE("one vent alone is refused") {
    check_place(complaint("\"count\": 4", "\"count\": 1"), "vents/count", 11,
                "is 1; expected a number from 2 to 200");
}

TEST_CASE("a coolant conditioned to a temperature of no freezer or room is refused") {
    check_place(complaint("\"conditioned_to_c\": -10", "\"conditioned_to_c\": -78"),
                "coolant/conditioned_to_c", 10, "is -78; expected a number from -40 to 40");
}

TEST_CASE("a coolant must say what it was conditioned to") {
    check_place(complaint(", \"conditioned_to_c\": -10", ""), "coolant/conditioned_to_c", 10, "is missing");
}

TEST_CASE("vents without a diameter or a count are refused") {
    check_place(complaint(", \"diameter_mm\": 8", ""), "vents/diameter_mm", 11,
                "is missing; expected a number");
    check_place(complaint("\"diameter_mm\": 8", "\"diameter_mm\": 0"), "vents/diameter_mm", 11, "is 0");
    check_place(complaint("\"count\": 4", "\"count\": 0"), "vents/count", 11, "is 0");
}

TEST_CASE("air that leaks outward of bounds is refused") {
    check_place(complaint("\"seams_l_per_h\": 3", "\"seams_l_per_h\": -3"), "seams_l_per_h", 12, "is -3");
    check_place(complaint("\"air_spread\": 1.5", "\"air_spread\": 0.5"), "air_spread", 13,
                "is 0.5; expected a number from 1 to 5");
}

TEST_CASE("a key that no recipe has is refused") {
    check_place(complaint("\"cost_usd\"", "\"paint\": 1, \"cost_usd\""), "paint", 13, "not a key");
}

TEST_CASE("a label too long for its column is refused") {
    check_place(complaint("38 mm foam + 1 warmer", "a box of 38 mm with warmer"), "label", 3,
                "has 26 characters; expected at most 24");
}

TEST_CASE("a recipe without a source is refused") {
    check_place(complaint(", \"source\": \"test\"", ""), "source", 1, "is missing");
}

TEST_CASE("two recipes cannot share an id") {
    const std::string one = recipe();
    const std::string body = one.substr(one.find("[{") + 1, one.rfind("]}") - one.find("[{") - 1);
    try {
        (void)read_recipes("{\"packings\": [" + body + "," + body + "]}");
        FAIL("accepted twice the same id");
    } catch (const InputError& error) {
        CHECK(error.field() == "/packings/1/id");
    }
}

// Recipes of before vents, coolants and lists of warmers.
TEST_CASE("an old key is answered with the key that took its place") {
    check_place(
        complaint(
            "\"warmers\": [{\"type\": \"slow-40h\", \"count\": 1, \"opened_before_packing_minutes\": 45}]",
            "\"warmer\": {\"type\": \"slow-40h\", \"count\": 1, \"opened_before_packing_minutes\": 45}"),
        "warmer", 9, "did you mean 'warmers'?");
    check_place(complaint("\"seams_l_per_h\": 3", "\"air_exchange_l_per_h\": 12"), "air_exchange_l_per_h", 12,
                "from \"vents\" and \"seams_l_per_h\" now");
}
