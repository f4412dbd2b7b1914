// Animals in the network: their heat, their coupling, and whether they fit.
#include "mildway/box/films.hpp"
#include "mildway/box/modes.hpp"

#include "box_fixtures.hpp"
#include "catch.hpp"

using namespace mildway;
using namespace mildway::box;

namespace {

const testing::ShippedBoxes& boxes() {
    static const testing::ShippedBoxes shipped;
    return shipped;
}

constexpr double kLargeAnimal_kg = 0.5;

}  // namespace

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

TEST_CASE("the heat factor of the animals changes nothing but their heat") {
    const Packing& packing = boxes().packings.find("small-38");
    const Network plain = build_network(packing, boxes().supplies.warmers, {1, 0.015}, {});
    const Network heavy =
        build_network(packing, boxes().supplies.warmers, {1, 0.015}, {.animal_heat_factor = 1.2});
    CHECK(heavy.nodes[2].capacity.value() == Approx(1.2 * plain.nodes[2].capacity.value()));
    CHECK(heavy.nodes[1].capacity == plain.nodes[1].capacity);
}

TEST_CASE("a hatchling in a 10 cm cup is coupled by a few hundredths of a watt per kelvin") {
    const Cup cup{"", 0.10, 0.06, 0.03, 1400, ""};
    CHECK(animal_coupling(cup, 0.010).value() > 0.03);
    CHECK(animal_coupling(cup, 0.025).value() < 0.08);
}

TEST_CASE("an animal too large for its skin to matter is held back by the cup") {
    const Cup cup{"", 0.10, 0.06, 0.03, 1400, ""};
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

TEST_CASE("a small animal is one lump and a large one two of half its heat each") {
    const Network small = boxes().network("small-38", {1, 0.2});
    CHECK(small.nodes.size() == 3);
    const Network large = boxes().network("small-38", {1, kLargeAnimal_kg});
    REQUIRE(large.nodes.size() == 4);
    CHECK(large.nodes[large.animals].name == "animals");
    CHECK(large.nodes[large.animals + 1].name == "animals' core");
    for (const std::size_t node : {large.animals, large.animals + 1}) {
        CHECK(large.nodes[node].capacity.value() == Approx(0.5 * kLargeAnimal_kg * 3350));
        CHECK(large.nodes[node].constant_power.value() ==
              Approx(0.5 * metabolic_heat(kLargeAnimal_kg, Celsius(20)).value()));
    }
}

TEST_CASE("an animal becomes two lumps where its Biot number passes a tenth") {
    CHECK(animal_biot(0.2186) == Approx(0.1).epsilon(0.002));
    CHECK(boxes().network("small-38", {1, 0.218}).nodes.size() == 3);
    CHECK(boxes().network("small-38", {1, 0.220}).nodes.size() == 4);
}

TEST_CASE("the core hears of the box only through the outer half") {
    const Network network = boxes().network("small-38", {1, kLargeAnimal_kg});
    for (const Link& link : network.links) {
        if (link.a != network.animals + 1 && link.b != network.animals + 1) continue;
        CHECK(link.a + link.b == 2 * network.animals + 1);
    }
    const Modes modes = decompose(network, WattsPerSquareMeterKelvin(8));
    NodeTemps x = to_modes(modes, testing::all_at(24));
    step(modes, x, 600, 5, 5, 0, 0);
    const NodeTemps temps_c = to_temps(modes, x);
    CHECK(temps_c[network.animals] < temps_c[network.animals + 1]);
    CHECK(temps_c[network.cavity] < temps_c[network.animals]);
}

// One lump for all of it, as below the limit, next to two: no jump of the odds at 219 g.
TEST_CASE("one lump and two follow a box nearly alike where they meet") {
    const auto after_an_hour_c = [&](double mass_kg) {
        const Network network = boxes().network("small-38", {1, mass_kg});
        const Modes modes = decompose(network, WattsPerSquareMeterKelvin(8));
        NodeTemps x = to_modes(modes, testing::all_at(24));
        step(modes, x, testing::kHour_s, 4, 4, 0, 0);
        return to_temps(modes, x)[network.animals];
    };
    CHECK(after_an_hour_c(0.220) == Approx(after_an_hour_c(0.218)).margin(0.1));
}
