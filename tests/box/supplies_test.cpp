// materials.json: what is read, and what is refused.
#include "box_fixtures.hpp"
#include "catch.hpp"

#include <string>

using namespace mildway;
using namespace mildway::box;

namespace {

/// A supplies file with one record to a list, one field group to a line; `from` is replaced by `to`.
std::string supplies_file(const std::string& from = "", const std::string& to = "") {
    std::string text = R"({"materials": [
{"name": "foam", "conductivity_w_per_m_k": 0.036, "measured_at_c": 10, "conductivity_rise_per_k": 0.004,
 "density_kg_per_m3": 20, "specific_heat_j_per_kg_k": 1470, "usual_thickness_mm": 4, "source": "test"}],
"cups": [
{"name": "tub", "diameter_mm": 110, "height_mm": 60, "kg": 0.03, "specific_heat_j_per_kg_k": 1400, "source": "test"}],
"warmers": [
{"name": "pack", "label": "pack", "power": [
{"hours_since_opening": 0, "power_w": 0},
{"hours_since_opening": 1, "power_w": 2},
{"hours_since_opening": 3, "power_w": 2},
{"hours_since_opening": 5, "power_w": 1}],
"unit_spread": 0.2, "dud_chance": 0.01, "mass_kg": 0.075, "specific_heat_j_per_kg_k": 1000,
"surface_m2": 0.02, "thickness_mm": 8, "cost_usd": 1.1, "source": "test"}],
"coolants": [
{"name": "gel", "label": "gel", "mass_kg": 0.25, "melts_at_c": -0.5, "latent_kj_per_kg": 310,
"solid_specific_heat_j_per_kg_k": 2100, "liquid_specific_heat_j_per_kg_k": 4100,
"conductivity_w_per_m_k": 0.6, "surface_m2": 0.032, "thickness_mm": 18, "cost_usd": 1, "source": "test"}]
})";
    if (!from.empty()) {
        const auto at = text.find(from);
        REQUIRE(at != std::string::npos);
        text.replace(at, from.size(), to);
    }
    return text;
}

Supplies read(const std::string& text) {
    return Supplies::read(ConfigNode::parse("materials.json", text));
}

void check_refused(const std::string& from, const std::string& to, const std::string& field, int line,
                   const std::string& says) {
    CAPTURE(to);
    try {
        (void)read(supplies_file(from, to));
        FAIL("accepted: " << to);
    } catch (const InputError& error) {
        CHECK(error.file() == "materials.json");
        CHECK(error.field() == field);
        CHECK(error.line() == line);
        CHECK_THAT(error.what(), Catch::Contains(says));
    }
}

WarmerType pack() {
    return read(supplies_file()).warmers.at(0);
}

}  // namespace

TEST_CASE("a record is found by its name") {
    const Supplies supplies = read(supplies_file());
    CHECK(supplies.materials.index_of("foam") == std::size_t{0});
    CHECK(supplies.coolants.index_of("gel") == std::size_t{0});
    CHECK_FALSE(supplies.materials.index_of("wool"));
}

TEST_CASE("supplies are read into metres joules and kelvins") {
    const Supplies supplies = read(supplies_file());
    CHECK(supplies.materials.at(0).usual_thickness_m.value() == Approx(0.004));
    CHECK(supplies.cups.at(0).diameter_m == Approx(0.110));
    CHECK(supplies.warmers.at(0).thickness_m == Approx(0.008));
    CHECK(supplies.coolants.at(0).latent_j_per_kg == Approx(310e3));
    CHECK(supplies.coolants.at(0).thickness_m == Approx(0.018));
    CHECK(supplies.coolants.at(0).melts_at_c == -0.5);
}

TEST_CASE("a material conducts as measured where it was measured and more when warmer") {
    const Material foam = read(supplies_file()).materials.at(0);
    CHECK(foam.conductivity_at(10) == 0.036);
    CHECK(foam.conductivity_at(35) == Approx(0.036 * 1.1));
    CHECK(foam.conductivity_at(-15) == Approx(0.036 * 0.9));
}

TEST_CASE("a material that says nothing of temperature conducts the same at any") {
    const Material foam =
        read(supplies_file("\"measured_at_c\": 10, \"conductivity_rise_per_k\": 0.004,", "")).materials.at(0);
    CHECK(foam.conductivity_at(-20) == foam.conductivity_at(40));
}

TEST_CASE("the power of a warmer runs straight between the points of its table") {
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

TEST_CASE("the most of a warmer is the highest point of its table") {
    CHECK(pack().most_power_w() == 2.0);
}

TEST_CASE("the table of a warmer must go forward in time") {
    const std::string third = "{\"hours_since_opening\": 3,";
    const std::string field = "/warmers/0/power/2/hours_since_opening";
    check_refused(third, "{\"hours_since_opening\": 1,", field, 10,
                  "expected more than the 1 of the point before it");
    check_refused(third, "{\"hours_since_opening\": 0.5,", field, 10, "is 0.5; expected more than the 1");
}

TEST_CASE("the power of a warmer cannot be below nothing") {
    check_refused("\"power_w\": 1}", "\"power_w\": -1}", "/warmers/0/power/3/power_w", 11,
                  "is -1; expected a number from 0");
}

TEST_CASE("a latent heat of nothing or less is refused") {
    const std::string good = "\"latent_kj_per_kg\": 310";
    const std::string field = "/coolants/0/latent_kj_per_kg";
    check_refused(good, "\"latent_kj_per_kg\": 0", field, 15, "is 0; expected a number from 1 to 400");
    check_refused(good, "\"latent_kj_per_kg\": -310", field, 15, "is -310; expected a number from 1 to 400");
}

// 310 J/g, or 310000 J/kg, written without looking at the unit.
TEST_CASE("a latent heat in joules for each kilogram is refused") {
    check_refused("\"latent_kj_per_kg\": 310", "\"latent_kj_per_kg\": 310000", "/coolants/0/latent_kj_per_kg",
                  15, "expected a number from 1 to 400");
}

TEST_CASE("sizes and heats of nothing or less are refused") {
    check_refused("\"usual_thickness_mm\": 4", "\"usual_thickness_mm\": 0", "/materials/0/usual_thickness_mm",
                  3, "is 0");
    check_refused("\"diameter_mm\": 110", "\"diameter_mm\": -110", "/cups/0/diameter_mm", 5, "is -110");
    check_refused("\"thickness_mm\": 8", "\"thickness_mm\": 0", "/warmers/0/thickness_mm", 13, "is 0");
    check_refused("\"thickness_mm\": 18", "\"thickness_mm\": -18", "/coolants/0/thickness_mm", 17, "is -18");
    check_refused("\"solid_specific_heat_j_per_kg_k\": 2100", "\"solid_specific_heat_j_per_kg_k\": 0",
                  "/coolants/0/solid_specific_heat_j_per_kg_k", 16, "is 0");
}

TEST_CASE("a conductivity of nothing is refused") {
    check_refused("\"conductivity_w_per_m_k\": 0.036", "\"conductivity_w_per_m_k\": 0",
                  "/materials/0/conductivity_w_per_m_k", 2, "is 0; expected a number from 0.001 to 10");
}

TEST_CASE("a conductivity that changes faster with temperature than any foam does is refused") {
    const std::string good = "\"conductivity_rise_per_k\": 0.004";
    const std::string field = "/materials/0/conductivity_rise_per_k";
    check_refused(good, "\"conductivity_rise_per_k\": 0.01", field, 2,
                  "is 0.01; expected a number from -0.002 to 0.008");
    check_refused(good, "\"conductivity_rise_per_k\": -0.01", field, 2,
                  "is -0.01; expected a number from -0.002 to 0.008");
}

TEST_CASE("every material that is read conducts in the deepest frost and the hottest van") {
    for (const char* rise : {"-0.002", "0.008"}) {
        for (const char* measured : {"-40", "60"}) {
            CAPTURE(rise, measured);
            const std::string figures =
                std::string("\"measured_at_c\": ") + measured + ", \"conductivity_rise_per_k\": " + rise;
            const Material foam =
                read(supplies_file("\"measured_at_c\": 10, \"conductivity_rise_per_k\": 0.004", figures))
                    .materials.at(0);
            CHECK(foam.conductivity_at(-60) > 0);
            CHECK(foam.conductivity_at(80) > 0);
        }
    }
}

TEST_CASE("two records of a list cannot share a name") {
    const std::string foam = supplies_file().substr(16, supplies_file().find("],\n\"cups\"") - 16);
    check_refused("}],\n\"cups\"", "}," + foam + "],\n\"cups\"", "/materials/1/name", 3,
                  "is 'foam' a second time; expected a name of its own");
}

TEST_CASE("a record without a source is refused") {
    check_refused(R"("thickness_mm": 18, "cost_usd": 1, "source": "test")",
                  R"("thickness_mm": 18, "cost_usd": 1)", "/coolants/0/source", 15, "is missing");
}

TEST_CASE("a key that nobody knows is refused beside the four lists") {
    check_refused("\"materials\": [", "\"paint\": [], \"materials\": [", "/paint", 1, "not a key");
}

TEST_CASE("a misspelt key of a coolant is answered with the right one") {
    check_refused("\"latent_kj_per_kg\"", "\"latent_kj_pr_kg\"", "/coolants/0/latent_kj_pr_kg", 15,
                  "did you mean 'latent_kj_per_kg'");
}

TEST_CASE("every shipped supply names a source") {
    const testing::ShippedBoxes boxes;
    const auto check = [](const auto& table, std::size_t at_least) {
        CHECK(table.all().size() >= at_least);
        for (const auto& item : table.all()) {
            CAPTURE(item.name);
            CHECK(item.source.size() > 10);
        }
    };
    check(boxes.supplies.materials, 14);
    check(boxes.supplies.cups, 4);
    check(boxes.supplies.warmers, 2);
    check(boxes.supplies.coolants, 3);
}

// At one temperature: the standards behind them measure at 10 or at 24 degC.
TEST_CASE("denser shipped bead foam conducts less") {
    const testing::ShippedBoxes boxes;
    double before = 1;
    for (const char* name : {"eps-12", "eps-15", "eps-18", "eps-20", "eps-25", "eps-30"}) {
        CAPTURE(name);
        const double k =
            boxes.supplies.materials.at(boxes.supplies.materials.index_of(name).value()).conductivity_at(24);
        CHECK(k < before);
        before = k;
    }
}
