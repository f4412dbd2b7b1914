// Recipes as they are read, and what follows from their sizes.
#include "mildway/box/packing.hpp"

#include "box_fixtures.hpp"
#include "catch.hpp"
#include "recipe.hpp"

#include <numbers>
#include <string>

using namespace mildway;
using namespace mildway::box;
using testing::read_recipes;
using testing::recipe;

TEST_CASE("a recipe is read into metres kilograms and hours") {
    const Packing packing = read_recipes(recipe()).find("small-38");
    CHECK(packing.inner_m == std::array<double, 3>{0.25, 0.20, 0.15});
    CHECK(packing.liner.thickness_m == Approx(0.038));
    CHECK(packing.liner.material.name == "eps-20");
    CHECK(packing.fill_kg == 0.12);
    CHECK(packing.cup.name == "deli-500");
    REQUIRE(packing.warmers.size() == 1);
    CHECK(packing.warmers[0].opened_before_packing_h == Approx(0.75));
    REQUIRE(packing.coolant);
    CHECK(packing.coolant->type.name == "gel-250");
    CHECK(packing.coolant->conditioned_to_c == -10);
    CHECK(packing.vents.count == 4);
    CHECK(packing.vents.diameter_m == Approx(0.008));
    CHECK(packing.seams_l_per_h == 3);
}

TEST_CASE("a packing goes in a box of its own unless it names one that others share") {
    CHECK(read_recipes(recipe()).find("small-38").box == "small-38");
    const std::string shared = recipe("\"id\": \"small-38\",", "\"id\": \"small-38\", \"box\": \"foam\",");
    CHECK(read_recipes(shared).find("small-38").box == "foam");
}

TEST_CASE("warmers coolants and vents may be left out") {
    std::string plain = recipe(
        "\"warmers\": [{\"type\": \"slow-40h\", \"count\": 1, \"opened_before_packing_minutes\": 45}],\n",
        "");
    for (const char* line :
         {"\"coolant\": {\"type\": \"gel-250\", \"count\": 1, \"conditioned_to_c\": -10},\n",
          "\"vents\": {\"count\": 4, \"diameter_mm\": 8},\n"})
        plain.erase(plain.find(line), std::string(line).size());
    const Packing packing = read_recipes(plain).find("small-38");
    CHECK(packing.warmer_count() == 0);
    CHECK_FALSE(packing.coolant);
    CHECK(packing.air_exchange_l_per_h() == 3);  // its seams
}

TEST_CASE("board is as thick as its flute unless the recipe says otherwise") {
    CHECK(read_recipes(recipe()).find("small-38").board.thickness_m == Approx(0.004));
    CHECK(read_recipes(recipe("\"corrugated-c\"", "\"corrugated-bc\"")).find("small-38").board.thickness_m ==
          Approx(0.0068));
    CHECK(read_recipes(recipe("\"corrugated-c\"", "\"corrugated-c\", \"thickness_mm\": 5"))
              .find("small-38")
              .board.thickness_m == Approx(0.005));
}

TEST_CASE("a foil that faces the inside is read") {
    CHECK_FALSE(read_recipes(recipe()).find("small-38").reflective_liner);
    CHECK(read_recipes(recipe("\"thickness_mm\": 38", "\"thickness_mm\": 38, \"reflective\": true"))
              .find("small-38")
              .reflective_liner);
}

TEST_CASE("outside a parcel measures its inside and two walls") {
    const Packing packing = read_recipes(recipe()).find("small-38");
    CHECK(packing.outer_m()[0] == Approx(0.334));
    CHECK(packing.outer_volume_m3() == Approx(0.334 * 0.284 * 0.234));
}

TEST_CASE("air comes in through vents and seams together") {
    const Packing packing = read_recipes(recipe()).find("small-38");
    const double vents = vent_exchange_l_per_h(packing.vents, 0.042, 0.15, kVentDifference);
    CHECK(vents > 0);
    CHECK(packing.air_exchange_l_per_h() == Approx(3 + vents));
}

TEST_CASE("what a logger has told of the air stands in place of vents and seams") {
    Packing packing = read_recipes(recipe()).find("small-38");
    packing.learnt.air_exchange_l_per_h = 31;
    CHECK(packing.air_exchange_l_per_h() == 31);
}

TEST_CASE("an empty parcel weighs its foam board fill cups warmers and coolants") {
    const testing::ShippedBoxes boxes;
    const double foam_kg = 20 * (0.326 * 0.276 * 0.226 - 0.25 * 0.20 * 0.15);
    const double board_kg = 140 * (0.334 * 0.284 * 0.234 - 0.326 * 0.276 * 0.226);
    CHECK(read_recipes(recipe()).find("small-38").empty_mass_kg(2, boxes.supplies.warmers) ==
          Approx(foam_kg + board_kg + 0.12 + 2 * 0.03 + 0.075 + 0.25));
}

TEST_CASE("warmers and coolants are paid for on top of the box") {
    const testing::ShippedBoxes boxes;
    CHECK(boxes.packings.find("small-38-2w").materials_usd(boxes.supplies.warmers) == Approx(7.0 + 2 * 1.1));
    CHECK(boxes.packings.find("small-38-1p").materials_usd(boxes.supplies.warmers) == Approx(7.0 + 4.5));
    CHECK(boxes.packings.find("small-38").materials_usd(boxes.supplies.warmers) == Approx(7.0));
}

TEST_CASE("warmers of two kinds are counted together") {
    const std::string two =
        R"("warmers": [{"type": "slow-72h", "count": 2, "opened_before_packing_minutes": 0}, )";
    const Packing packing = read_recipes(recipe("\"warmers\": [", two)).find("small-38");
    CHECK(packing.warmer_count() == 3);
    const testing::ShippedBoxes boxes;
    CHECK(packing.materials_usd(boxes.supplies.warmers) == Approx(7 + 1.0 + 2 * 1.6 + 1.1));
}

TEST_CASE("cups stand in rows and layers") {
    CHECK(read_recipes(recipe()).find("small-38").cups_that_fit() == 2 * 1 * 2);
    CHECK(read_recipes(recipe("[250, 200, 150]", "[220, 220, 150]")).find("small-38").cups_that_fit() ==
          2 * 2 * 2);
}

TEST_CASE("a cup is a cylinder") {
    const Cup cup{"", 0.10, 0.06, 0.03, 1400, ""};
    CHECK(cup.volume_m3() == Approx(std::numbers::pi * 0.0025 * 0.06));
    CHECK(cup.surface_m2() == Approx(std::numbers::pi * 0.1 * 0.06 + 2 * std::numbers::pi * 0.0025));
}

TEST_CASE("the letters of a label are counted not its bytes") {
    CHECK(read_recipes(
              recipe("38 mm foam + 1 warmer",
                     "\u00e9\u00e9\u00e9\u00e9\u00e9\u00e9\u00e9\u00e9\u00e9\u00e9\u00e9\u00e9 38 mm foam"))
              .all()
              .size() == 1);
}

TEST_CASE("a packing nobody knows is answered with the nearest") {
    const testing::ShippedBoxes boxes;
    CHECK_THROWS_WITH(boxes.packings.find("smal-38"), Catch::Contains("did you mean 'small-38'?"));
}

TEST_CASE("the shipped recipes are eleven each a foam with and without warmers and coolants") {
    const testing::ShippedBoxes boxes;
    std::string ids;
    for (const Packing& packing : boxes.packings.all()) ids += packing.id + " ";
    CHECK(ids ==
          "small-19 small-19-1w small-19-1s small-38 small-38-1w small-38-1s small-38-2w small-38-2s "
          "small-38-1p small-38-1g medium-38-2w ");
}

TEST_CASE("the id of a recipe tells its foam its warmers and its coolants") {
    const testing::ShippedBoxes boxes;
    for (const Packing& packing : boxes.packings.all()) {
        CAPTURE(packing.id);
        const bool thin = packing.id.find("-19") != std::string::npos;
        CHECK(packing.liner.thickness_m == Approx(thin ? 0.019 : 0.038));
        const bool plain = packing.id == "small-19" || packing.id == "small-38";
        const char kind = plain ? '-' : packing.id.back();
        CHECK((packing.warmers.size() == 1) == (kind == 'w' || kind == 's'));
        CHECK(packing.coolant.has_value() == (kind == 'p' || kind == 'g'));
        if (plain) continue;
        const int count = packing.id[packing.id.size() - 2] - '0';
        CHECK((packing.coolant ? packing.coolant->count : packing.warmer_count()) == count);
        if (packing.coolant) CHECK(packing.coolant->type.name == (kind == 'p' ? "pcm22-250" : "gel-250"));
        for (const WarmerUse& use : packing.warmers)
            CHECK(boxes.supplies.warmers.at(use.type).name == (kind == 's' ? "slow-72h" : "slow-40h"));
    }
}
