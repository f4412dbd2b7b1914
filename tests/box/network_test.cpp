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
    const double vents = 1.2 * packing.air_exchange_l_per_h() / 3600;
    const double whole = whole_conductance(boxes().network("small-38", {1, 0.015}), kStillAir).value();
    CHECK(whole == Approx(whole_conductance(wall, kStillAir).value() + vents).epsilon(1e-9));
}

TEST_CASE("what is inside does not change how a parcel leaks") {
    const double plain = whole_conductance(boxes().network("small-38", {1, 0.015}), kStillAir).value();
    Packing packing = boxes().packings.find("small-38");
    packing.warmers = {{0, 2, 0.75}, {1, 1, 0.75}};
    packing.coolant = {{boxes().supplies.coolants.at(0), 2, -10}};
    const Network full = build_network(packing, boxes().supplies.warmers, {4, 0.300}, {});
    CHECK(whole_conductance(full, kStillAir).value() == Approx(plain).epsilon(1e-12));
}

TEST_CASE("a worse liner leaks more but never by more than its factor") {
    const Packing& packing = boxes().packings.find("small-38");
    const auto leak = [&](double factor) {
        return whole_conductance(
                   build_network(packing, boxes().supplies.warmers, {1, 0.015}, {.wall_factor = factor}),
                   kStillAir)
            .value();
    };
    CHECK(leak(1.1) > leak(1.0));
    CHECK(leak(1.1) < 1.1 * leak(1.0));
}

TEST_CASE("wind makes the outside conductance larger but not past what lies behind the film") {
    const Network network = boxes().network("small-38", {1, 0.015});
    CHECK(outside_conductance(network, outside_film(5)) > outside_conductance(network, outside_film(0)));
    CHECK(outside_conductance(network, WattsPerSquareMeterKelvin(1e9)).value() ==
          Approx(1 / network.behind_film.value()).epsilon(1e-6));
}

TEST_CASE("a box with no thickness has no shape factor") {
    CHECK_THROWS_AS(shape_factor_m({0.2, 0.2, 0.2}, 0.0), std::invalid_argument);
    CHECK_THROWS_AS(shape_factor_m({0.2, 0.2, 0.0}, 0.03), std::invalid_argument);
}

TEST_CASE("warmers of two kinds are one node with the heat of both") {
    Packing packing = boxes().packings.find("small-38");
    packing.warmers = {{0, 2, 0.75}, {1, 1, 0.75}};  // 75 g and 110 g of 1000 J/(kg K)
    const Network network = build_network(packing, boxes().supplies.warmers, {1, 0.015}, {});
    REQUIRE(network.nodes.size() == 4);
    CHECK(network.nodes[3].capacity.value() == Approx(2 * 75 + 110));
}

TEST_CASE("a coolant stands beside the nodes") {
    const Network network = boxes().network("small-38-1g", {1, 0.015});
    CHECK(network.nodes.size() == 3);
    CHECK(network.coolant.has_value());
    CHECK_FALSE(boxes().network("small-38", {1, 0.015}).coolant.has_value());
}

TEST_CASE("a warm liner leaks more than a cold one by what its foam says") {
    const Packing& packing = boxes().packings.find("small-38");
    const Wall warm = wall_of(packing, film_inside(packing), 34),
               cold = wall_of(packing, film_inside(packing), 14);
    CHECK(warm.liner.value() / cold.liner.value() == Approx(1.04 / 0.96));
    CHECK(warm.board == cold.board);  // corrugated board says nothing of temperature
    const auto leak = [&](double liner_c) {
        const Network network =
            build_network(packing, boxes().supplies.warmers, {1, 0.015}, {.liner_c = liner_c});
        return whole_conductance(network, kStillAir).value();
    };
    CHECK(leak(34) > leak(24));
    CHECK(leak(24) > leak(14));
    CHECK(leak(34) < 1.08 * leak(14));
}

TEST_CASE("a liner with foil inside leaks less") {
    Packing packing = boxes().packings.find("small-38");
    const double paper =
        whole_conductance(build_network(packing, boxes().supplies.warmers, {1, 0.015}, {}), kStillAir)
            .value();
    packing.reflective_liner = true;
    const double foil =
        whole_conductance(build_network(packing, boxes().supplies.warmers, {1, 0.015}, {}), kStillAir)
            .value();
    CHECK(foil < 0.9 * paper);
    CHECK(foil > 0.5 * paper);
}

TEST_CASE("what a logger has told of the wall multiplies the liner as a variant does") {
    Packing packing = boxes().packings.find("small-38");
    const Network variant =
        build_network(packing, boxes().supplies.warmers, {1, 0.015}, {.wall_factor = 1.3 * 1.1});
    packing.learnt.wall_factor = 1.3;
    const Network learnt = build_network(packing, boxes().supplies.warmers, {1, 0.015}, {.wall_factor = 1.1});
    CHECK(learnt.links[0].conductance.value() == Approx(variant.links[0].conductance.value()));
}

TEST_CASE("more air carries more heat out of the cavity and nowhere else") {
    const Packing& packing = boxes().packings.find("small-38");
    const Network plain = build_network(packing, boxes().supplies.warmers, {1, 0.015}, {});
    const Network airy = build_network(packing, boxes().supplies.warmers, {1, 0.015}, {.air_factor = 1.5});
    CHECK(airy.nodes[airy.cavity].to_ambient.value() ==
          Approx(1.5 * plain.nodes[plain.cavity].to_ambient.value()));
    CHECK(airy.links[0].conductance == plain.links[0].conductance);
}

TEST_CASE("factors of nothing are refused") {
    const Packing& packing = boxes().packings.find("small-38");
    CHECK_THROWS_AS(build_network(packing, boxes().supplies.warmers, {1, 0.015}, {.wall_factor = 0}),
                    std::invalid_argument);
    CHECK_THROWS_AS(build_network(packing, boxes().supplies.warmers, {1, 0.015}, {.air_factor = -1}),
                    std::invalid_argument);
}
