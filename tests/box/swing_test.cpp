// What better walls and calmer air do to an animal's daily swing, on seeded random parcels.
#include "mildway/box/films.hpp"

#include "box_fixtures.hpp"
#include "catch.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

using namespace mildway;
using namespace mildway::box;
using testing::Dice;

namespace {

constexpr WattsPerSquareMeterKelvin kFilm{8.23};

const testing::ShippedBoxes& boxes() {
    static const testing::ShippedBoxes shipped;
    return shipped;
}

Packing random_packing(Dice& dice, const Packing& like) {
    Packing packing = like;
    packing.inner_m = {dice.between(0.15, 0.4), dice.between(0.15, 0.4), dice.between(0.1, 0.3)};
    packing.liner.thickness_m = dice.between(0.01, 0.06);
    return packing;
}

/// Half the range of the animals' temperature in a daily wave of +-10 K, once it repeats.
double swing_k(const Packing& packing, const Contents& contents, WattsPerSquareMeterKelvin film) {
    const Network network = build_network(packing, boxes().supplies.warmers, contents, {});
    const Modes modes = decompose(network, film);
    const auto ambient_c = [](int q) { return 10 * std::sin(2 * std::numbers::pi * q / 96.0); };
    NodeTemps x = to_modes(modes, testing::all_at(0));
    double low = 1e9, high = -1e9;
    for (int q = 0; q < 96 * 6; ++q) {
        step(modes, x, 900, ambient_c(q), ambient_c(q + 1), 0, 0);
        if (q < 96 * 5) continue;
        const double animal_c = to_temps(modes, x)[network.animals];
        low = std::min(low, animal_c);
        high = std::max(high, animal_c);
    }
    return 0.5 * (high - low);
}

/// Sixty random parcels without a source; `better` must not widen the swing of any.
template <class Better>
void check_calmer(std::uint64_t seed, Better better) {
    Dice dice(seed);
    for (int run_number = 0; run_number < 60; ++run_number) {
        CAPTURE(run_number);
        Packing packing = random_packing(dice, boxes().packings.find("small-38"));
        const Contents contents{1, dice.scaled(0.001, 2.0)};
        const double before = swing_k(packing, contents, kFilm);
        better(packing, dice);
        CHECK(swing_k(packing, contents, kFilm) <= before);
    }
}

}  // namespace

TEST_CASE("a thicker liner never widens the daily swing of an animal") {
    check_calmer(105,
                 [](Packing& packing, Dice& dice) { packing.liner.thickness_m *= dice.between(1.05, 1.6); });
}

TEST_CASE("a less conducting liner never widens the daily swing of an animal") {
    check_calmer(106, [](Packing& packing, Dice& dice) {
        packing.liner.material.conductivity_w_per_m_k *= dice.between(0.5, 0.95);
    });
}

TEST_CASE("a liner with foil inside never widens the daily swing of an animal") {
    check_calmer(108, [](Packing& packing, Dice&) { packing.reflective_liner = true; });
}

TEST_CASE("thicker board never widens the daily swing of an animal") {
    check_calmer(109,
                 [](Packing& packing, Dice& dice) { packing.board.thickness_m *= dice.between(1.2, 3); });
}

TEST_CASE("fewer vents never widen the daily swing of an animal") {
    check_calmer(110, [](Packing& packing, Dice& dice) {
        packing.vents.count -= 1 + static_cast<int>(dice.below(3));
    });
}

TEST_CASE("a heavier fill never widens the daily swing of an animal") {
    check_calmer(111, [](Packing& packing, Dice& dice) { packing.fill_kg *= dice.between(1.1, 4); });
}

TEST_CASE("a lighter wind never widens the daily swing of an animal") {
    Dice dice(107);
    for (int run_number = 0; run_number < 60; ++run_number) {
        CAPTURE(run_number);
        const Packing packing = random_packing(dice, boxes().packings.find("small-38"));
        const Contents contents{1, dice.scaled(0.001, 0.5)};
        const double wind = dice.between(0.1, 15);
        CHECK(swing_k(packing, contents, outside_film(0.5 * wind)) <=
              swing_k(packing, contents, outside_film(wind)));
    }
}
