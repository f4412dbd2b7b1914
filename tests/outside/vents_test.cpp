// Air through vents against the laws it must follow where one of them rules alone. Air at 20 degC: 1.2 kg/m3,
// 1.82e-5 Pa s, oxygen diffuses by 2.0e-5 m2/s (handbooks, from memory).
#include "mildway/box/air_exchange.hpp"

#include "catch.hpp"

#include <cmath>
#include <numbers>

using namespace mildway;
using namespace mildway::box;

namespace {

constexpr double kDensity = 1.2, kViscosity = 1.82e-5, kDiffusion = 2.0e-5;
constexpr double kLitres_per_h = 3.6e6;  // in 1 m3/s

/// Driven flow alone, L/h.
double driven(const Vents& vents, double wall_m, double height_m, double difference_k) {
    return vent_exchange_l_per_h(vents, wall_m, height_m, Kelvins(difference_k)) -
           vent_exchange_l_per_h(vents, wall_m, height_m, Kelvins(0));
}

/// Pressure over one hole, Pa: half of a column of half the height.
double pressure_pa(double height_m, double difference_k) {
    return kDensity * 9.81 * height_m / 2 * difference_k / 293.15 / 2;
}

}  // namespace

// Hagen-Poiseuille: pi d^4 dp / (128 mu L) for each inlet.
TEST_CASE("air through narrow vents in a thick wall is laminar") {
    const double expected = std::numbers::pi * std::pow(0.0005, 4) * pressure_pa(0.15, 5) /
                            (128 * kViscosity * 0.1) * kLitres_per_h;
    CHECK(driven({2, 0.0005}, 0.1, 0.15, 5) == Approx(expected).epsilon(0.005));
}

TEST_CASE("laminar flow grows with the fourth power of the diameter and with the difference") {
    const double once = driven({2, 0.0005}, 0.1, 0.15, 2);
    CHECK(driven({2, 0.001}, 0.1, 0.15, 2) == Approx(16 * once).epsilon(0.005));
    CHECK(driven({2, 0.0005}, 0.1, 0.15, 4) == Approx(2 * once).epsilon(0.005));
}

// Sampson 1891: d^3 dp / (24 mu) through a hole in a plate of no thickness, creeping flow.
TEST_CASE("slow air through a small hole in a thin wall follows Sampson") {
    const double expected = std::pow(0.001, 3) * pressure_pa(0.02, 0.05) / (24 * kViscosity) * kLitres_per_h;
    CHECK(driven({2, 0.001}, 1e-7, 0.02, 0.05) == Approx(expected).epsilon(0.01));
}

// Bernoulli with 1.5 velocity heads lost: v = sqrt(2 dp / (1.5 rho)).
TEST_CASE("air through wide holes in a thin wall is that of an orifice") {
    const double expected = std::numbers::pi / 4 * 0.1 * 0.1 *
                            std::sqrt(2 * pressure_pa(0.6, 40) / (1.5 * kDensity)) * kLitres_per_h;
    CHECK(driven({2, 0.1}, 0.0002, 0.6, 40) == Approx(expected).epsilon(0.005));
}

TEST_CASE("orifice flow grows with the area and the root of the difference") {
    const double once = driven({2, 0.1}, 0.0002, 0.6, 40);
    CHECK(driven({2, 0.2}, 0.0002, 0.6, 40) == Approx(4 * once).epsilon(0.01));
    CHECK(driven({2, 0.1}, 0.0002, 0.6, 160) == Approx(2 * once).epsilon(0.01));
}

// Fick through a long narrow hole: D A / L.
TEST_CASE("without a difference oxygen comes through a thick wall by diffusion along it") {
    const double expected = 3 * kDiffusion * std::numbers::pi / 4 * 0.001 * 0.001 / 0.1 * kLitres_per_h;
    CHECK(vent_exchange_l_per_h({3, 0.001}, 0.1, 0.15, Kelvins(0)) == Approx(expected).epsilon(0.01));
}

// Between two half-spaces through a hole in a plate of no thickness: D d (Rayleigh 1878; a disc's
// capacitance).
TEST_CASE("without a difference a hole in a thin wall is no wider a way than its two mouths") {
    const double expected = 3 * kDiffusion * 0.05 * kLitres_per_h;
    CHECK(vent_exchange_l_per_h({3, 0.05}, 1e-5, 0.15, Kelvins(0)) == Approx(expected).epsilon(0.01));
}
