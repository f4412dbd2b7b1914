// Conduction through thick-walled boxes against a textbook and a three-dimensional solution.
#include "mildway/box/modes.hpp"
#include "mildway/box/wall.hpp"

#include "box_fixtures.hpp"
#include "catch.hpp"

#include <array>

using namespace mildway;
using namespace mildway::box;

namespace {

constexpr std::array<double, 3> kSmallBox{0.25, 0.20, 0.15};

/// CHECK 8's box: foam k 0.036 around the small box, 4 mm board k 0.064.
Packing check_box(double liner_m) {
    Packing packing{};
    packing.inner_m = kSmallBox;
    packing.liner = {{"foam", 0.036, 24, 0, 20, 1470, {}, ""}, liner_m};
    packing.board = {{"board", 0.064, 24, 0, 140, 1380, {}, ""}, 0.004};
    return packing;
}

double whole_w_per_k(double liner_m) {
    const Wall wall = wall_of(check_box(liner_m), WattsPerSquareMeterKelvin(7.7));
    return whole_conductance(wall, WattsPerSquareMeterKelvin(8.0)).value();
}

}  // namespace

// CHECK 5: Holman, Heat Transfer, Example 3-2: cubical furnace 0.5 m inside, wall 0.10 m of k 1.04, 500 and
// 50 degC.
TEST_CASE("a cubical furnace loses what Holman works out") {
    const double shape_m = shape_factor_m({0.5, 0.5, 0.5}, 0.10);
    CHECK(shape_m == Approx(18.36).epsilon(0.001));
    CHECK(1.04 * shape_m * (500.0 - 50.0) == Approx(8592.0).epsilon(0.001));
}

// CHECK 6 and 7: three-dimensional finite differences, 1 mm grid (made for these checks; surfaces
// isothermal): S 7.565 and 13.743 m. Our own solution: box_conduction_3d_test.cpp.
TEST_CASE("a foam box conducts what a three-dimensional solution says") {
    CHECK(shape_factor_m(kSmallBox, 0.038) == Approx(7.565).epsilon(0.03));
    CHECK(shape_factor_m(kSmallBox, 0.019) == Approx(13.743).epsilon(0.03));
}

// CHECK 6: the shortcut through the outer area, 0.428 W/K for 38 mm, is 58 % too much; through the inner
// area, 0.223, too little.
TEST_CASE("a thick liner is not reckoned by its outer or inner area") {
    const double liner = wall_of(check_box(0.038), WattsPerSquareMeterKelvin(7.7)).liner.value();
    CHECK(liner < 0.9 * 0.428);
    CHECK(liner > 1.1 * 0.223);
}

// CHECK 8: series sum of films, shape factor and board: 4.658 K/W (38 mm) and 3.142 K/W (19 mm), outside film
// on the liner's outer faces; ours is on the board's, which are 6 % larger.
TEST_CASE("the whole wall resists like the sum of its layers") {
    CHECK(1.0 / whole_w_per_k(0.038) == Approx(4.658).epsilon(0.03));
    CHECK(1.0 / whole_w_per_k(0.019) == Approx(3.142).epsilon(0.03));
}

// CHECK 38: P/UA with 1.8 W and UA 0.20 to 0.30 W/K; that one warmer cannot hold 20 degC in hard frost is
// common practice.
TEST_CASE("one warmer in hard frost keeps a 38 mm box a little above freezing and no more") {
    const testing::ShippedBoxes boxes;
    const Network network = boxes.network("small-38-1w", {1, 0.015});
    const NodeTemps steady = steady_temps(decompose(network, WattsPerSquareMeterKelvin(8.23)), -5.0, 1.8);
    CHECK(steady[network.animals] > 1.0);
    CHECK(steady[network.animals] < 4.0);
}
