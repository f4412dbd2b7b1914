// Animals' heat against measurements: Andrews and Pough 1985, Hughes et al. 1971, Porter et al. 1973.
#include "mildway/box/animals.hpp"
#include "mildway/box/modes.hpp"

#include "box_fixtures.hpp"
#include "catch.hpp"

using namespace mildway;
using namespace mildway::box;

namespace {

/// Porter et al. 1973: a 40 g lizard of 3474 J/(kg K) behind what convection and radiation, side by side,
/// leave of resistance, K/W.
double lizard_minutes(double convection, double radiation) {
    const double to_air = 1 / convection + 1 / radiation;
    const Modes modes = decompose(testing::one_node(0.040 * 3474, to_air), WattsPerSquareMeterKelvin(8));
    return 1 / (60 * modes.rate_per_s[0]);
}

}  // namespace

// CHECK 24: 8.53 and 14.87 K/W in a draught of 0.45 m/s, 2.84 and 14.07 in 2.1 m/s.
TEST_CASE("a small lizard in moving air follows within minutes") {
    CHECK(lizard_minutes(8.53, 14.87) == Approx(12.6).epsilon(0.02));
    CHECK(lizard_minutes(2.84, 14.07) == Approx(5.5).epsilon(0.02));
}

// CHECK 24: one node is enough for it.
TEST_CASE("a small lizard is one lump") {
    CHECK(animal_biot(0.040) < kLargestLumpBiot);
}

// The same lizard in a cup in still air, behind the cup's own film, must be slower than in that draught, but
// not by much.
TEST_CASE("an animal in its cup is slower than one in a draught") {
    const Cup cup{"", 0.10, 0.06, 0.03, 1400, ""};
    const double minutes = 0.040 * 3474 / animal_coupling(cup, 0.040).value() / 60;
    CHECK(minutes > 12.6);
    CHECK(minutes < 4 * 12.6);
}

// CHECK 33: Andrews and Pough 1985, Eq. 2: 30 g at 20, 25 and 30 degC with 20.1 J/mL.
TEST_CASE("resting heat of 30 g agrees with Andrews and Pough") {
    CHECK(metabolic_heat(0.030, Celsius(20)).value() == Approx(6.35e-3).epsilon(0.02));
    CHECK(metabolic_heat(0.030, Celsius(25)).value() == Approx(9.83e-3).epsilon(0.02));
    CHECK(metabolic_heat(0.030, Celsius(30)).value() == Approx(15.2e-3).epsilon(0.02));
}

// CHECK 33: Hughes et al. 1971 (J. Exp. Biol. 55:651): tortoises at 25.5 degC, 45.47 W^0.82 mL/h, 14.3 mW for
// 30 g: another group of animals, so only the size can agree.
TEST_CASE("resting heat is of the size measured on tortoises") {
    const double ratio = metabolic_heat(0.030, Celsius(25.5)).value() / 14.3e-3;
    CHECK(ratio > 0.5);
    CHECK(ratio < 2.0);
}

// CHECK 33: 15.2 mW over 0.25 W/K.
TEST_CASE("the heat of an animal lifts a parcel by less than a tenth of a degree") {
    const testing::ShippedBoxes boxes;
    const Network network = boxes.network("small-38", {1, 0.030});
    const NodeTemps steady = steady_temps(decompose(network, WattsPerSquareMeterKelvin(8.23)), 20.0, 0.0);
    CHECK(steady[network.cavity] > 20.0);
    CHECK(steady[network.cavity] <= 20.06);
}
