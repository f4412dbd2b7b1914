// The shape factor of a hollow box, and whole walls, against a three-dimensional solution.
#include "mildway/box/films.hpp"
#include "mildway/box/wall.hpp"

#include "box_fixtures.hpp"
#include "catch.hpp"
#include "conduction_3d.hpp"

#include <array>

using namespace mildway;
using namespace mildway::box;
using testing::conduction_3d_w_per_k;

namespace {

using Sides = std::array<double, 3>;

/// Shape factor by the solver: faces isothermal, conductivity 1.
double solved_m(const Sides& inner_m, double thickness_m) {
    return conduction_3d_w_per_k({inner_m, {{thickness_m, 1}}, {}, {}});
}

/// By how much the formula is above the solver, relative.
double excess(const Sides& inner_m, double thickness_m) {
    return shape_factor_m(inner_m, thickness_m) / solved_m(inner_m, thickness_m) - 1;
}

constexpr double kInside = 7.7;  // W/(m2 K)

/// The same for a recipe's whole wall: foam and board as layers, a film on either side.
double whole_excess(const Packing& packing, double air_speed) {
    const double outside = outside_film(air_speed).value();
    const double solved =
        conduction_3d_w_per_k({packing.inner_m,
                               {{packing.liner.thickness_m, packing.liner.material.conductivity_at(24)},
                                {packing.board.thickness_m, packing.board.material.conductivity_at(24)}},
                               kInside,
                               outside},
                              8);
    const Wall wall = wall_of(packing, WattsPerSquareMeterKelvin(kInside));
    return whole_conductance(wall, WattsPerSquareMeterKelvin(outside)).value() / solved - 1;
}

}  // namespace

// A square corner of a long wall conducts like 0.559 of a square (conformal mapping, as for the bend of a
// strip; from memory). Where the wall is thin, that is all a box has beside its faces.
TEST_CASE("the solver finds the exact corner of a thin wall") {
    const double thin_m = 0.002, faces_m = 6 * 0.04 / thin_m, edges_m = 12 * 0.2;
    CHECK((solved_m({0.2, 0.2, 0.2}, thin_m) - faces_m) / edges_m == Approx(0.559).epsilon(0.01));
}

// What one layer of film passes when nothing else resists.
TEST_CASE("the solver passes heat through films alone by their areas") {
    const double outer_m2 = 2 * (0.32 * 0.27 + 0.32 * 0.22 + 0.27 * 0.22);
    CHECK(conduction_3d_w_per_k({{0.3, 0.25, 0.2}, {{0.01, 1e6}}, {}, 8.0}, 8) ==
          Approx(8 * outer_m2).epsilon(1e-5));
    CHECK(conduction_3d_w_per_k({{0.3, 0.25, 0.2}, {{0.01, 1e6}}, 8.0, {}}, 8) ==
          Approx(8 * 0.37).epsilon(1e-5));
}

TEST_CASE("two layers of one material are one layer to the solver") {
    const Sides inner_m{0.3, 0.25, 0.2};
    CHECK(conduction_3d_w_per_k({inner_m, {{0.03, 0.036}, {0.01, 0.036}}, 7.7, 8.0}) ==
          Approx(conduction_3d_w_per_k({inner_m, {{0.04, 0.036}}, 7.7, 8.0})).epsilon(0.001));
}

// CHECK 5 to 7: another three-dimensional solution, uniform grids of 2 and 1 mm: 18.45, 7.565 and 13.743 m.
TEST_CASE("the solver agrees with an earlier one on a uniform grid") {
    CHECK(solved_m({0.5, 0.5, 0.5}, 0.10) == Approx(18.45).epsilon(0.01));
    CHECK(solved_m({0.25, 0.20, 0.15}, 0.038) == Approx(7.565).epsilon(0.01));
    CHECK(solved_m({0.25, 0.20, 0.15}, 0.019) == Approx(13.743).epsilon(0.01));
}

// CHECK 5: Holman, Heat Transfer, Example 3-2, by another method for the corners: 1 %.
TEST_CASE("the formula for a cubical furnace agrees with the solver") {
    CHECK(std::abs(excess({0.5, 0.5, 0.5}, 0.10)) < 0.01);
}

// CHECK 6 and 7.
TEST_CASE("the formula for foam boxes of the shipped sizes agrees with the solver") {
    CHECK(std::abs(excess({0.25, 0.20, 0.15}, 0.038)) < 0.005);
    CHECK(std::abs(excess({0.25, 0.20, 0.15}, 0.019)) < 0.005);
    CHECK(std::abs(excess({0.30, 0.25, 0.20}, 0.038)) < 0.005);
}

TEST_CASE("the formula holds for a thin a thick and a flat box") {
    CHECK(std::abs(excess({0.30, 0.25, 0.20}, 0.006)) < 0.002);
    CHECK(std::abs(excess({0.30, 0.25, 0.04}, 0.030)) < 0.005);
    CHECK(std::abs(excess({0.12, 0.10, 0.08}, 0.100)) < 0.02);  // the wall is thicker than the inside is high
}

// A recipe may have a liner of up to twice its shortest inner side.
TEST_CASE("at the thickest wall a recipe may have the formula is a tenth too large at worst") {
    const double cube = excess({0.05, 0.05, 0.05}, 0.10);
    CHECK(cube > 0.09);
    CHECK(cube < 0.105);
    CHECK(std::abs(excess({0.15, 0.15, 0.05}, 0.10)) < 0.02);
}

// Layers on whole areas one behind the other take every interface as equally warm all over: an upper bound,
// since edges carry less than their area's share.
TEST_CASE("a whole wall is reckoned two to four per cent too leaky") {
    const testing::ShippedBoxes boxes;
    for (const char* id : {"small-19", "small-38", "medium-38-2w"}) {
        const Packing& packing = boxes.packings.find(id);
        for (const double air_speed : {0.0, 2.0, 6.0}) {
            CAPTURE(id, air_speed);
            const double over = whole_excess(packing, air_speed);
            CHECK(over > 0.015);
            CHECK(over < 0.037);
        }
    }
}
