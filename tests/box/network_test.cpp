#include "mildway/box/network.hpp"

#include "mildway/box/films.hpp"

#include "box_fixtures.hpp"
#include "catch.hpp"

#include <stdexcept>

using namespace mildway;
using namespace mildway::box;

namespace {

const testing::ShippedBoxes& boxes() {
    static const testing::ShippedBoxes shipped;
    return shipped;
}

constexpr WattsPerSquareMeterKelvin kStillAir{8.23};

}  // namespace

TEST_CASE("a parcel without warmers has three nodes and one with warmers four") {
    CHECK(boxes().network("small-38", {1, 0.015}).nodes.size() == 3);
    const Network network = boxes().network("small-38-2w", {1, 0.015});
    REQUIRE(network.nodes.size() == 4);
    CHECK(network.nodes[3].name == "warmers");
    CHECK(network.nodes[3].warmer_share == 1.0);
    CHECK(network.nodes[3].capacity.value() == Approx(2 * 0.075 * 1000));
}

TEST_CASE("animals weigh in with their flesh") {
    const Network network = boxes().network("small-38", {3, 0.020});
    CHECK(network.nodes[network.animals].capacity.value() == Approx(3 * 0.020 * 3350));
}

TEST_CASE("three animals are coupled and warm like three of one") {
    const Network one = boxes().network("small-38", {1, 0.020});
    const Network three = boxes().network("small-38", {3, 0.020});
    CHECK(three.links[1].conductance.value() == Approx(3 * one.links[1].conductance.value()));
    CHECK(one.links[1].conductance == animal_coupling(boxes().packings.find("small-38").cup, 0.020));
    CHECK(three.nodes[three.animals].constant_power.value() ==
          Approx(3 * metabolic_heat(0.020, Celsius(20)).value()));
}

TEST_CASE("each warmer brings its own surface") {
    const Network one = boxes().network("small-38-1w", {1, 0.020});
    const Network two = boxes().network("small-38-2w", {1, 0.020});
    CHECK(two.links.back().conductance.value() == Approx(2 * one.links.back().conductance.value()));
    // 0.02 m2 at 8 to 10 W/(m2 K), the film of a face some ten degrees warmer than its air
    CHECK(one.links.back().conductance.value() > 0.02 * 8);
    CHECK(one.links.back().conductance.value() < 0.02 * 10);
}

TEST_CASE("half of the liner sits with the shell and half with the cavity") {
    const Packing& packing = boxes().packings.find("small-38");
    const Network network = boxes().network("small-38", {1, 0.015});
    const double foam = 1470 * 20 * (0.326 * 0.276 * 0.226 - 0.0075);
    const double board = 1380 * 140 * (packing.outer_volume_m3() - 0.326 * 0.276 * 0.226);
    const double air = 1.2 * 7.5, fill = 0.12 * 1380, cup = 0.03 * 1400;
    CHECK(network.nodes[network.film_node].capacity.value() == Approx(0.5 * foam + board));
    CHECK(network.nodes[network.cavity].capacity.value() == Approx(0.5 * foam + air + fill + cup));
}

TEST_CASE("from the cavity a parcel leaks through its wall and its vents") {
    const Packing& packing = boxes().packings.find("small-38");
    const Wall wall = wall_of(packing, inside_film(Celsius(20), Kelvins(2)));
    const double vents = 1.2 * 12 / 3600;
    const double whole = whole_conductance(boxes().network("small-38", {1, 0.015}), kStillAir).value();
    CHECK(whole == Approx(whole_conductance(wall, kStillAir).value() + vents).epsilon(1e-9));
}

TEST_CASE("what is inside does not change how a parcel leaks") {
    const double plain = whole_conductance(boxes().network("small-38", {1, 0.015}), kStillAir).value();
    const double full = whole_conductance(boxes().network("small-38-2w", {4, 0.200}), kStillAir).value();
    CHECK(full == Approx(plain).epsilon(1e-12));
}

TEST_CASE("a worse liner leaks more but never by more than its factor") {
    const Packing& packing = boxes().packings.find("small-38");
    const auto leak = [&](double factor) {
        return whole_conductance(build_network(packing, boxes().warmers, {1, 0.015}, {.wall_factor = factor}),
                                 kStillAir)
            .value();
    };
    CHECK(leak(1.1) > leak(1.0));
    CHECK(leak(1.1) < 1.1 * leak(1.0));
}

TEST_CASE("the animals' heat factor changes nothing but the animals' heat") {
    const Packing& packing = boxes().packings.find("small-38");
    const Network plain = build_network(packing, boxes().warmers, {1, 0.015}, {});
    const Network heavy = build_network(packing, boxes().warmers, {1, 0.015}, {.animal_heat_factor = 1.2});
    CHECK(heavy.nodes[2].capacity.value() == Approx(1.2 * plain.nodes[2].capacity.value()));
    CHECK(heavy.nodes[1].capacity == plain.nodes[1].capacity);
}

TEST_CASE("wind makes the outside conductance larger but not past what lies behind the film") {
    const Network network = boxes().network("small-38", {1, 0.015});
    CHECK(outside_conductance(network, outside_film(5)) > outside_conductance(network, outside_film(0)));
    CHECK(outside_conductance(network, WattsPerSquareMeterKelvin(1e9)).value() ==
          Approx(1 / network.behind_film.value()).epsilon(1e-6));
}

TEST_CASE("a hatchling in a 10 cm cup is coupled by a few hundredths of a watt per kelvin") {
    const Cup cup{0.10, 0.06, 0.03, 1400};
    CHECK(animal_coupling(cup, 0.010).value() > 0.03);
    CHECK(animal_coupling(cup, 0.025).value() < 0.08);
}

TEST_CASE("an animal too large for its skin to matter is held back by the cup") {
    const Cup cup{0.10, 0.06, 0.03, 1400};
    const double cup_only = inside_film(Celsius(20), Kelvins(1)).value() * 0.034558;  // pi d (h + d/2)
    CHECK(animal_coupling(cup, 1e6).value() == Approx(cup_only).epsilon(1e-3));
}

TEST_CASE("contents that cannot be are refused") {
    CHECK_THROWS_AS(boxes().network("small-38", {0, 0.015}), InputError);
    CHECK_THROWS_AS(boxes().network("small-38", {1, 0.0}), InputError);
    CHECK_THROWS_WITH(boxes().network("small-38", {14, 0.001}),
                      Catch::Contains("14 cups are more than the inside can hold"));
}

TEST_CASE("animals fit when there is a cup for each and each fits its cup") {
    const Packing& packing = boxes().packings.find("small-38");  // four cups of 0.57 L
    CHECK(why_no_room(packing, {4, 0.05}).empty());
    CHECK(why_no_room(packing, {5, 0.05}) == "38 mm foam: room for 4 cups, not 5");
    CHECK(why_no_room(packing, {1, 0.5}).empty());
    CHECK(why_no_room(packing, {1, 5}) == "38 mm foam: an animal of 5000 g does not fit a cup of 0.57 L");
}

TEST_CASE("a box with no thickness has no shape factor") {
    CHECK_THROWS_AS(shape_factor_m({0.2, 0.2, 0.2}, 0.0), std::invalid_argument);
    CHECK_THROWS_AS(shape_factor_m({0.2, 0.2, 0.0}, 0.03), std::invalid_argument);
}
