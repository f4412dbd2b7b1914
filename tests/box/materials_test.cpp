#include "box_fixtures.hpp"
#include "catch.hpp"

#include <algorithm>
#include <string>

using namespace mildway;
using namespace mildway::box;

namespace {

const std::string kFoam =
    R"({"name": "foam", "conductivity_w_per_m_k": 0.036, "density_kg_per_m3": 20,
        "specific_heat_j_per_kg_k": 1470, "source": "test"})";

/// A warmer of 2 W between 1 and 3 h, with a linear start and end.
std::string warmer(const std::string& third_hours) {
    return R"({"name": "pack", "label": "pack", "power": [
        {"hours_since_opening": 0, "power_w": 0},
        {"hours_since_opening": 1, "power_w": 2},
        {"hours_since_opening": )" +
           third_hours + R"(, "power_w": 2},
        {"hours_since_opening": 5, "power_w": 1}],
        "unit_spread": 0.2, "dud_chance": 0.01, "mass_kg": 0.075, "specific_heat_j_per_kg_k": 1000,
        "surface_m2": 0.02, "cost_usd": 1.1, "source": "test"})";
}

ConfigNode file(const std::string& materials, const std::string& warmers) {
    return ConfigNode::parse("materials.json",
                             R"({"materials": [)" + materials + R"(], "warmers": [)" + warmers + "]}");
}

WarmerType pack() {
    return Warmers::read(file("", warmer("3"))).at(0);
}

}  // namespace

TEST_CASE("a material is found by its name") {
    const Materials materials = Materials::read(file(kFoam, ""));
    REQUIRE(materials.find("foam") != nullptr);
    CHECK(materials.find("foam")->conductivity_w_per_m_k == 0.036);
    CHECK(materials.find("wool") == nullptr);
}

TEST_CASE("two materials cannot share a name") {
    REQUIRE_THROWS_AS(Materials::read(file(kFoam + "," + kFoam, "")), InputError);
    try {
        (void)Materials::read(file(kFoam + "," + kFoam, ""));
    } catch (const InputError& error) {
        CHECK(error.field() == "/materials/1/name");
    }
}

TEST_CASE("a key that nobody knows is refused beside the two lists") {
    const ConfigNode node =
        ConfigNode::parse("materials.json", R"({"materials": [], "warmers": [], "coolants": []})");
    CHECK_THROWS_AS(Materials::read(node), InputError);
    CHECK_THROWS_AS(Warmers::read(node), InputError);
}

TEST_CASE("a warmer's power runs straight between the points of its table") {
    CHECK(pack().power_at(0.25) == Approx(0.5));
    CHECK(pack().power_at(2.2) == Approx(2.0));
    CHECK(pack().power_at(4.0) == Approx(1.5));
}

TEST_CASE("a warmer gives exactly its table at the points") {
    CHECK(pack().power_at(1) == 2.0);
    CHECK(pack().power_at(5) == 1.0);
}

TEST_CASE("a warmer gives nothing before its first point and after its last") {
    CHECK(pack().power_at(-0.01) == 0.0);
    CHECK(pack().power_at(5.01) == 0.0);
}

TEST_CASE("a warmer's table must go forward in time") {
    try {
        (void)Warmers::read(file("", warmer("1")));
        FAIL("a table that stands still was accepted");
    } catch (const InputError& error) {
        CHECK(error.file() == "materials.json");
        CHECK(error.field() == "/warmers/0/power/2/hours_since_opening");
        CHECK(error.line() == 4);
        CHECK_THAT(error.what(), Catch::Contains("expected more than the 1 of the point before it"));
    }
}

TEST_CASE("every shipped material and warmer names a source") {
    const testing::ShippedBoxes boxes;
    CHECK(boxes.materials.all().size() >= 10);
    for (const Material& material : boxes.materials.all()) CHECK(material.source.size() > 10);
    for (const WarmerType& type : boxes.warmers.all()) CHECK(type.source.size() > 10);
}

TEST_CASE("denser shipped bead foam conducts less") {
    const testing::ShippedBoxes boxes;
    double before = 1;
    for (const char* name : {"eps-15", "eps-20", "eps-25", "eps-30"}) {
        REQUIRE(boxes.materials.find(name) != nullptr);
        CHECK(boxes.materials.find(name)->conductivity_w_per_m_k < before);
        before = boxes.materials.find(name)->conductivity_w_per_m_k;
    }
}
