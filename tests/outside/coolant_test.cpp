// Melting against published problems, heats of fusion and m L / (G dT).
#include "mildway/box/parcel.hpp"

#include "box_fixtures.hpp"
#include "catch.hpp"

#include <string>

using namespace mildway;
using namespace mildway::box;
using testing::kHour_s;
using testing::pack_behind;

namespace {

constexpr double kNeverMelts_h = 5000;

/// Hours until all of the network's pack has melted under one ambient; straight between two steps.
double hours_to_melt(const Network& network, WattsPerSquareMeterKelvin film, double start_c, double ambient_c,
                     double step_s) {
    const Modes modes = decompose(network, film);
    ParcelRun run(network, start_c);
    run.enter(modes);
    double hours = 0, before = 0;
    while (hours < kNeverMelts_h) {
        run.advance(step_s, ambient_c, ambient_c, 0, 0);
        const double heat = run.coolant_heat_j(), latent = network.coolant->latent_j;
        if (heat >= latent) return hours + step_s / kHour_s * (latent - before) / (heat - before);
        before = heat;
        hours += step_s / kHour_s;
    }
    FAIL("the pack has not melted");
    return hours;
}

/// Grams of a substance that melts behind 0.25 W/K in other air, contents held at its melting point.
double plateau_h(double mass_kg, double melts_at_c, double latent_kj_per_kg, double ambient_c) {
    return hours_to_melt(pack_behind(0.25, melts_at_c, 1000 * mass_kg * latent_kj_per_kg),
                         WattsPerSquareMeterKelvin(8), melts_at_c, ambient_c, 60);
}

/// CHECK 26: foam 30 x 40 x 50 cm outside, 3 cm of k 0.033, on five sides 0.5708 m2 inside and 0.74 m2
/// outside, film 18 W/(m2 K), ice at 0 degC.
Network ice_chest(double ice_kg) {
    Network chest = testing::one_node(1, 0);  // its outer face
    chest.film_area_m2 = 0.74;
    chest.coolant = testing::melting_pack(0.033 * 0.5708 / 0.03, 0, ice_kg * 333.7e3);
    return chest;
}

double ice_chest_h(double ice_kg) {
    return hours_to_melt(ice_chest(ice_kg), WattsPerSquareMeterKelvin(18), 28, 28, 600);
}

const CoolantType& shipped(const testing::ShippedBoxes& boxes, const char* name) {
    return boxes.supplies.coolants.at(boxes.supplies.coolants.index_of(name).value());
}

}  // namespace

// CHECK 26: Cengel, Heat Transfer, a chest of ice at 28 degC: 16.79 W, 50 kg in 9.937e5 s.
TEST_CASE("a chest of ice melts when Cengel says") {
    CHECK(ice_chest_h(50) == Approx(276.0).epsilon(0.003));
    CHECK(ice_chest_h(45) == Approx(248.4).epsilon(0.003));
}

TEST_CASE("a chest of ice takes in what Cengel says") {
    const Network chest = ice_chest(50);
    const Modes modes = decompose(chest, WattsPerSquareMeterKelvin(18));
    const double face_c = steady_temps(modes, 28, 0)[0];
    CHECK(chest.coolant->to_cavity.value() * face_c == Approx(16.79).epsilon(0.003));
}

// CHECK 28: R = A dT / (L m') of 6.5 ft2, 40 degF and 0.45 lb/h of ice at 144 Btu/lb is 0.7066 m2 K/W; a
// model with that resistance must melt 0.45 lb/h. Units by NIST SP 811.
TEST_CASE("a box of known resistance melts ice at the rate that gave the resistance") {
    constexpr double kSquareMetres = 6.5 * 0.09290304, kPound_kg = 0.45359237, kBtu_per_lb = 2326;
    constexpr double kResistance = 0.7066;
    const double latent = 144 * kBtu_per_lb, ice_kg = 1;
    const double melts_at_c = from_fahrenheit(32).value(), room_c = from_fahrenheit(72).value();
    const Network box = pack_behind(kSquareMetres / kResistance, melts_at_c, ice_kg * latent);
    const double hours = hours_to_melt(box, WattsPerSquareMeterKelvin(8), melts_at_c, room_c, 60);
    CHECK(ice_kg / kPound_kg / hours == Approx(0.45).epsilon(0.002));
}

// CHECK 29: m L / (G dT), heats of fusion of the CRC Handbook.
TEST_CASE("packs hold their plateau as long as their heat lasts") {
    CHECK(plateau_h(0.250, 18.16, 235.6, 35) == Approx(3.886).epsilon(0.005));  // hexadecane
    CHECK(plateau_h(0.250, 0, 333.43, 30) == Approx(3.087).epsilon(0.005));     // ice
    CHECK(plateau_h(0.150, 22, 167.0, 35) == Approx(2.141).epsilon(0.005));     // heptadecane
}

// CHECK 43.
TEST_CASE("twice the pack holds its plateau twice as long") {
    const double once = plateau_h(0.150, 22, 167.0, 35);
    CHECK(plateau_h(0.300, 22, 167.0, 35) == Approx(2 * once).epsilon(1e-3));
}

// CHECK 30: molar heats of fusion of the CRC Handbook over molar masses.
TEST_CASE("shipped packs of pure alkanes melt with the heat of the handbook") {
    const testing::ShippedBoxes boxes;
    CHECK(shipped(boxes, "pcm18-250").latent_j_per_kg ==
          Approx(53360 / 0.22644).epsilon(0.001));  // hexadecane
    CHECK(shipped(boxes, "pcm22-250").latent_j_per_kg ==
          Approx(40160 / 0.24047).epsilon(0.001));  // heptadecane
}

TEST_CASE("shipped packs of pure alkanes melt where the handbook says") {
    const testing::ShippedBoxes boxes;
    CHECK(shipped(boxes, "pcm18-250").melts_at_c == Approx(18.16).margin(0.1));
    CHECK(shipped(boxes, "pcm22-250").melts_at_c == Approx(22.0).margin(0.1));
}

// CHECK 30: water, 6010 J/mol. A gel is water with a few per cent of polymer, which does not melt.
TEST_CASE("the shipped gel holds less heat than the ice in it and not much less") {
    const testing::ShippedBoxes boxes;
    const double ice = 6010 / 0.018015;
    CHECK(shipped(boxes, "gel-250").latent_j_per_kg < ice);
    CHECK(shipped(boxes, "gel-250").latent_j_per_kg > 0.85 * ice);
}
