#include "mildway/box/packing.hpp"

#include "box_fixtures.hpp"
#include "catch.hpp"

#include <string>

using namespace mildway;
using namespace mildway::box;

namespace {

/// A packings file of one recipe, one field to a line; `from` is replaced by `to` to spoil it.
std::string recipe(const std::string& from = "", const std::string& to = "") {
    std::string text = R"({"packings": [{
"id": "small-38",
"label": "38 mm foam + 1 warmer",
"inner_mm": [250, 200, 150],
"liner": {"material": "eps-20", "thickness_mm": 38},
"board": {"material": "corrugated-c", "thickness_mm": 4},
"fill": {"material": "crumpled-paper", "kg": 0.12},
"cup": {"diameter_mm": 110, "height_mm": 60, "kg": 0.03, "specific_heat_j_per_kg_k": 1400},
"warmer": {"type": "slow-40h", "count": 1, "opened_before_packing_minutes": 45},
"air_exchange_l_per_h": 12, "liner_spread": 0.1, "cost_usd": 7, "source": "test"}]})";
    if (!from.empty()) {
        const auto at = text.find(from);
        REQUIRE(at != std::string::npos);
        text.replace(at, from.size(), to);
    }
    return text;
}

Packings read(const std::string& text) {
    const testing::ShippedBoxes boxes;
    return Packings::read(ConfigNode::parse("packings.json", text), boxes.materials, boxes.warmers);
}

/// The complaint about a recipe spoilt in one place.
InputError complaint(const std::string& from, const std::string& to) {
    try {
        (void)read(recipe(from, to));
    } catch (const InputError& error) {
        return error;
    }
    FAIL("accepted: " << to);
    return {"", "", 0, ""};
}

void check_place(const InputError& error, const std::string& field, int line) {
    CHECK(error.file() == "packings.json");
    CHECK(error.field() == "/packings/0/" + field);
    CHECK(error.line() == line);
}

}  // namespace

TEST_CASE("a recipe is read into metres kilograms and hours") {
    const Packing packing = read(recipe()).find("small-38");
    CHECK(packing.inner_m == std::array<double, 3>{0.25, 0.20, 0.15});
    CHECK(packing.liner.thickness_m == Approx(0.038));
    CHECK(packing.liner.material.name == "eps-20");
    CHECK(packing.fill_kg == 0.12);
    REQUIRE(packing.warmer);
    CHECK(packing.warmer->opened_before_packing_h == Approx(0.75));
}

TEST_CASE("outside a parcel measures its inside and two walls") {
    const Packing packing = read(recipe()).find("small-38");
    CHECK(packing.outer_m()[0] == Approx(0.334));
    CHECK(packing.outer_volume_m3() == Approx(0.334 * 0.284 * 0.234));
}

TEST_CASE("an empty parcel weighs its foam board fill cups and warmers") {
    const testing::ShippedBoxes boxes;
    const Packing& packing = boxes.packings.find("small-38-1w");
    const double foam_kg = 20 * (0.326 * 0.276 * 0.226 - 0.25 * 0.20 * 0.15);
    const double board_kg = 140 * (0.334 * 0.284 * 0.234 - 0.326 * 0.276 * 0.226);
    CHECK(packing.empty_mass_kg(2, boxes.warmers) == Approx(foam_kg + board_kg + 0.12 + 2 * 0.03 + 0.075));
}

TEST_CASE("warmers are paid for on top of the box") {
    const testing::ShippedBoxes boxes;
    CHECK(boxes.packings.find("small-38-2w").materials_usd(boxes.warmers) == Approx(7.0 + 2 * 1.1));
    CHECK(boxes.packings.find("small-38").materials_usd(boxes.warmers) == Approx(7.0));
}

TEST_CASE("cups stand in rows and layers") {
    CHECK(read(recipe()).find("small-38").cups_that_fit() == 2 * 1 * 2);
    CHECK(read(recipe("[250, 200, 150]", "[220, 220, 150]")).find("small-38").cups_that_fit() == 2 * 2 * 2);
}

TEST_CASE("warmers never give more than the air brings oxygen for") {
    const testing::ShippedBoxes boxes;
    Packing packing = boxes.packings.find("small-38-2w");
    CHECK(warmer_power_w(packing, boxes.warmers, 10) ==
          Approx(2 * boxes.warmers.at(packing.warmer->type).power_at(10)));
    packing.air_exchange_l_per_h = 1.53;  // enough for 2 W
    CHECK(warmer_power_w(packing, boxes.warmers, 10) == Approx(2.0).epsilon(0.01));
}

TEST_CASE("a sealed parcel stops its warmers") {
    const testing::ShippedBoxes boxes;
    Packing packing = boxes.packings.find("small-38-2w");
    packing.air_exchange_l_per_h = 0;
    CHECK(warmer_power_w(packing, boxes.warmers, 10) == 0.0);
}

TEST_CASE("a parcel without warmers has no power") {
    const testing::ShippedBoxes boxes;
    CHECK(warmer_power_w(boxes.packings.find("small-38"), boxes.warmers, 10) == 0.0);
}

TEST_CASE("a thickness of nothing or less is refused") {
    check_place(complaint("\"thickness_mm\": 38", "\"thickness_mm\": 0"), "liner/thickness_mm", 5);
    check_place(complaint("\"thickness_mm\": 4}", "\"thickness_mm\": -4}"), "board/thickness_mm", 6);
}

TEST_CASE("a liner that makes the parcel longer than a metre is refused") {
    const InputError error = complaint("\"thickness_mm\": 38", "\"thickness_mm\": 380");
    check_place(error, "liner/thickness_mm", 5);
    CHECK_THAT(error.what(), Catch::Contains("1018 mm long outside; expected at most 1000"));
}

TEST_CASE("a liner too thick for the formula behind the model is refused") {
    const InputError error =
        complaint("[250, 200, 150],\n\"liner\": {\"material\": \"eps-20\", \"thickness_mm\": 38}",
                  "[250, 200, 60],\n\"liner\": {\"material\": \"eps-20\", \"thickness_mm\": 301}");
    check_place(error, "liner/thickness_mm", 5);
    CHECK_THAT(error.what(), Catch::Contains("five times the shortest inner side"));
}

TEST_CASE("a cup that does not go in is refused") {
    check_place(complaint("\"diameter_mm\": 110", "\"diameter_mm\": 210"), "cup/diameter_mm", 8);
    check_place(complaint("\"height_mm\": 60", "\"height_mm\": 151"), "cup/height_mm", 8);
}

TEST_CASE("an unknown material is answered with the nearest") {
    const InputError error = complaint("\"eps-20\"", "\"esp-20\"");
    check_place(error, "liner/material", 5);
    CHECK_THAT(error.what(), Catch::Contains("did you mean 'eps-20'?"));
}

TEST_CASE("an unknown warmer is answered with the nearest") {
    const InputError error = complaint("\"slow-40h\"", "\"slow-40\"");
    check_place(error, "warmer/type", 9);
    CHECK_THAT(error.what(), Catch::Contains("did you mean 'slow-40h'?"));
}

TEST_CASE("a key that no recipe has is refused") {
    const InputError error = complaint("\"cost_usd\"", "\"coolant\": 1, \"cost_usd\"");
    check_place(error, "coolant", 10);
    CHECK_THAT(error.what(), Catch::Contains("not a key"));
}

TEST_CASE("a label too long for its column is refused and letters are counted not bytes") {
    check_place(complaint("38 mm foam + 1 warmer", "a box of 38 mm with warmer"), "label", 3);
    CHECK(read(recipe("38 mm foam + 1 warmer",
                      "\u00e9\u00e9\u00e9\u00e9\u00e9\u00e9\u00e9\u00e9\u00e9\u00e9\u00e9\u00e9 38 mm foam"))
              .all()
              .size() == 1);
}

TEST_CASE("a recipe without a source is refused") {
    check_place(complaint(", \"source\": \"test\"", ""), "source", 1);
}

TEST_CASE("two recipes cannot share an id") {
    const std::string one = recipe();
    const std::string body = one.substr(one.find("[{") + 1, one.rfind("]}") - one.find("[{") - 1);
    try {
        (void)read("{\"packings\": [" + body + "," + body + "]}");
        FAIL("accepted twice the same id");
    } catch (const InputError& error) {
        CHECK(error.field() == "/packings/1/id");
    }
}

TEST_CASE("a packing nobody knows is answered with the nearest") {
    const testing::ShippedBoxes boxes;
    CHECK_THROWS_WITH(boxes.packings.find("smal-38"), Catch::Contains("did you mean 'small-38'?"));
}

TEST_CASE("the shipped recipes are nine each a foam with and without warmers") {
    const testing::ShippedBoxes boxes;
    std::string ids;
    for (const Packing& packing : boxes.packings.all()) ids += packing.id + " ";
    CHECK(ids ==
          "small-19 small-19-1w small-19-1s small-38 small-38-1w small-38-1s small-38-2w small-38-2s "
          "medium-38-2w ");
}

TEST_CASE("a recipe's id tells its foam and its warmers") {
    const testing::ShippedBoxes boxes;
    for (const Packing& packing : boxes.packings.all()) {
        CAPTURE(packing.id);
        const bool thin = packing.id.find("-19") != std::string::npos;
        CHECK(packing.liner.thickness_m == Approx(thin ? 0.019 : 0.038));
        const bool plain = packing.id == "small-19" || packing.id == "small-38";
        REQUIRE(packing.warmer.has_value() == !plain);
        if (plain) continue;
        const std::string tail = packing.id.substr(packing.id.size() - 2);
        CHECK(packing.warmer->count == tail[0] - '0');
        CHECK(boxes.warmers.at(packing.warmer->type).name == (tail[1] == 's' ? "slow-72h" : "slow-40h"));
    }
}
