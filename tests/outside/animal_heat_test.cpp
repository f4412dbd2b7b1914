// Animals as one or two lumps against the exact series for a sphere in other air (Incropera, section 5.6).
#include "mildway/box/animals.hpp"
#include "mildway/box/modes.hpp"

#include "box_fixtures.hpp"
#include "catch.hpp"
#include "sphere_series.hpp"

#include <algorithm>
#include <cmath>

using namespace mildway;
using namespace mildway::box;
using testing::SphereSeries;

namespace {

constexpr double kFlesh = 0.502;           // W/(m K), Porter et al. 1973
constexpr double kFilm = 10;               // W/(m2 K), the model's round an animal
constexpr double kHeatPerM3 = 3350 * 1e3;  // J/(m3 K)
constexpr double kMass_kg = 1.0;           // of the two lumps; any would do

/// A sphere with the V/A that the model gives an animal of this mass.
struct Sphere {
    double length_m;    ///< V/A
    double surface_m2;  ///< of the animal
    double radius_m;

    explicit Sphere(double mass_kg)
        : length_m(animal_biot(mass_kg) * kFlesh / kFilm),
          surface_m2(mass_kg / 1000 / length_m),
          radius_m(3 * length_m) {}
    [[nodiscard]] double seconds(double fourier) const {
        return fourier * radius_m * radius_m * kHeatPerM3 / kFlesh;
    }
};

/// The model's two lumps in air behind a film that makes this Biot number, h (V/A)/k.
Network two_lumps(double biot) {
    const Sphere sphere(kMass_kg);
    const FleshConductance flesh = flesh_conductance(kMass_kg);
    const WattsPerKelvin film(biot * kFlesh / sphere.length_m * sphere.surface_m2);
    const double half_j_per_k = 0.5 * kMass_kg * kAnimalSpecificHeat;
    Network network = testing::one_node(half_j_per_k, in_series(film, flesh.rind_to_surface).value());
    network.nodes.push_back({"core", JoulesPerKelvin(half_j_per_k), WattsPerKelvin(0), Watts(0), 0});
    network.links.push_back({0, 1, flesh.core_to_rind});
    return network;
}

/// The largest distances from the series while everything cools, as shares of the step of the air.
struct Distance {
    double mean = 0;
    double outer_half = 0;
};
Distance distance(const Network& network, double biot, double mass_kg) {
    const Modes modes = decompose(network, WattsPerSquareMeterKelvin(8));
    const SphereSeries exact(3 * biot);
    NodeTemps x = to_modes(modes, testing::all_at(1));
    Distance worst;
    const double fourier_step = 0.004;
    for (int i = 1; i <= 2000; ++i) {
        step(modes, x, Sphere(mass_kg).seconds(fourier_step), 0, 0, 0, 0);
        const NodeTemps temps = to_temps(modes, x);
        const double mean = modes.n == 1 ? temps[0] : 0.5 * (temps[0] + temps[1]);
        worst.mean = std::max(worst.mean, std::abs(mean - exact.mean(i * fourier_step)));
        worst.outer_half =
            std::max(worst.outer_half, std::abs(temps[0] - exact.outer_mean(i * fourier_step)));
    }
    return worst;
}

/// One lump behind its film alone, as small animals are taken.
Network one_lump(double mass_kg) {
    return testing::one_node(mass_kg * kAnimalSpecificHeat, kFilm * Sphere(mass_kg).surface_m2);
}

}  // namespace

// Incropera, Table 5.1: for a sphere of Bi = h R/k = 1.0, zeta 1.5708 and C 1.2732; for 0.1, 0.5423
// and 1.0298. Beyond Fo = 0.2 one term is enough.
TEST_CASE("the series of a sphere has the roots of the table in the textbook") {
    const auto one_term = [](double zeta, double c, double fourier) {
        return 3 * c * std::exp(-zeta * zeta * fourier) * (std::sin(zeta) - zeta * std::cos(zeta)) /
               (zeta * zeta * zeta);
    };
    CHECK(SphereSeries(1.0).mean(0.6) == Approx(one_term(1.5708, 1.2732, 0.6)).epsilon(0.001));
    CHECK(SphereSeries(0.1).mean(0.6) == Approx(one_term(0.5423, 1.0298, 0.6)).epsilon(0.001));
}

TEST_CASE("before anything has happened the series is warm all through") {
    CHECK(SphereSeries(1.0).mean(0) == Approx(1).epsilon(1e-4));
    CHECK(SphereSeries(1.0).outer_mean(1e-5) == Approx(1).epsilon(0.01));
}

TEST_CASE("two lumps cool like a sphere on average") {
    for (const double biot : {0.1, 0.2, 0.3, 0.6, 1.0}) {
        CAPTURE(biot);
        CHECK(distance(two_lumps(biot), biot, kMass_kg).mean < 0.008);
    }
}

TEST_CASE("the outer of two lumps cools like the outer half of a sphere") {
    for (const double biot : {0.1, 0.2, 0.3, 0.6, 1.0}) {
        CAPTURE(biot);
        CHECK(distance(two_lumps(biot), biot, kMass_kg).outer_half < 0.015);
    }
}

// Slow weather: under a steady ramp a sphere's mean lags by V/A rho c (1/h + 3 (V/A)/(5 k)): the radius
// squared over 15 diffusivities, and the film.
TEST_CASE("two lumps lag a slow ramp exactly as a sphere does") {
    for (const double biot : {0.1, 0.3, 1.0}) {
        CAPTURE(biot);
        const Sphere sphere(kMass_kg);
        const Modes modes = decompose(two_lumps(biot), WattsPerSquareMeterKelvin(8));
        const double k_per_s = 1e-4, end_s = 1e6;
        NodeTemps x = to_modes(modes, testing::all_at(0));
        step(modes, x, end_s, 0, k_per_s * end_s, 0, 0);
        const NodeTemps temps = to_temps(modes, x);
        const double film_w = biot * kFlesh / sphere.length_m;
        const double lag_s = sphere.length_m * kHeatPerM3 * (1 / film_w + 3 * sphere.length_m / (5 * kFlesh));
        CHECK(k_per_s * end_s - 0.5 * (temps[0] + temps[1]) == Approx(k_per_s * lag_s).epsilon(0.001));
    }
}

// Below a Biot number of 0.1 the model takes one lump: what that costs.
TEST_CASE("one lump for a small animal is a few hundredths of the step off") {
    for (const double mass_kg : {0.005, 0.050, 0.218}) {
        CAPTURE(mass_kg, animal_biot(mass_kg));
        REQUIRE(animal_biot(mass_kg) <= kLargestLumpBiot);
        const Distance off = distance(one_lump(mass_kg), animal_biot(mass_kg), mass_kg);
        CHECK(off.mean < 0.025);
        CHECK(off.outer_half < 0.025);
    }
}

// And what it would cost above.
TEST_CASE("one lump for a large animal would be further off than two") {
    for (const double mass_kg : {1.0, 5.0, 20.0}) {
        CAPTURE(mass_kg);
        const double biot = animal_biot(mass_kg);
        const Distance one = distance(one_lump(mass_kg), biot, mass_kg);
        const Distance two = distance(two_lumps(biot), biot, kMass_kg);
        CHECK(two.mean < one.mean);
        CHECK(two.outer_half < one.outer_half);
    }
}
