// Packs that melt and freeze again beside the network.
#include "mildway/box/films.hpp"
#include "mildway/box/parcel.hpp"

#include "box_fixtures.hpp"
#include "catch.hpp"

#include <algorithm>
#include <cmath>
#include <stdexcept>
#include <utility>

using namespace mildway;
using namespace mildway::box;
using testing::kHour_s;
using testing::pack_behind;

namespace {

constexpr WattsPerSquareMeterKelvin kFilm{8.23};
constexpr double kMinute_s = 60;

/// A network under one ambient from its start, step by step.
class Chamber {
public:
    Chamber(Network network, double start_c)
        : network_(std::move(network)), modes_(decompose(network_, kFilm)), run_(network_, start_c) {
        run_.enter(modes_);
    }
    void pass(double hours, double ambient_c, double step_s = kMinute_s) {
        const auto steps = std::lround(hours * kHour_s / step_s);
        for (long i = 0; i < steps; ++i) run_.advance(step_s, ambient_c, ambient_c, 0, 0);
    }
    /// Hours until `share` of the pack has melted.
    double hours_to_melt(double share, double ambient_c, double step_s = kMinute_s) {
        double hours = 0;
        while (run_.coolant_melted_share() < share && hours < 1000) {
            run_.advance(step_s, ambient_c, ambient_c, 0, 0);
            hours += step_s / kHour_s;
        }
        return hours;
    }
    [[nodiscard]] const ParcelRun& run() const { return run_; }

private:
    Network network_;
    Modes modes_;
    ParcelRun run_;
};

}  // namespace

TEST_CASE("heat and temperature of a pack are one curve both ways") {
    const Coolant pack = testing::melting_pack(1, 5, 40e3);
    for (const double temp_c : {-30.0, -1.0, 4.9, 5.1, 12.0, 40.0}) {
        CAPTURE(temp_c);
        CHECK(5 + pack.above_melting_k(pack.heat_at(temp_c)) == Approx(temp_c));
    }
    CHECK(pack.heat_at(5) == 0.0);
    CHECK(pack.heat_at(4) == -500.0);
    CHECK(pack.heat_at(6) == 41e3);
    CHECK(pack.above_melting_k(20e3) == 0.0);
}

TEST_CASE("while a pack melts it stands at its melting point") {
    Chamber chamber(pack_behind(0.25, 22, 41750), 22);
    chamber.pass(2.0, 35);
    CHECK(chamber.run().coolant_c() == 22.0);
    CHECK(chamber.run().coolant_melted_share() == Approx(2.0 / 3.569).epsilon(0.001));
}

TEST_CASE("a melted pack warms on to its surroundings") {
    Chamber chamber(pack_behind(0.25, 22, 41750), 22);
    chamber.pass(60, 35);
    CHECK(chamber.run().coolant_melted_share() == 1.0);
    CHECK(chamber.run().coolant_c() == Approx(35).margin(0.01));
}

TEST_CASE("a frozen pack warms to its melting point before it melts") {
    Network network = pack_behind(0.25, 0, 80e3);
    network.coolant->start_c = -18;
    Chamber chamber(network, 20);
    // -18 to 0 against 20 degC with 500 J/K behind 0.25 W/K: tau ln(38/20)
    const double warming_h = 2000 / kHour_s * std::log(38.0 / 20.0);
    CHECK(chamber.hours_to_melt(1e-9, 20, 5) == Approx(warming_h).epsilon(0.01));
    CHECK(chamber.hours_to_melt(1.0, 20) == Approx(80e3 / 5 / kHour_s).epsilon(0.01));
}

TEST_CASE("a pack conditioned above its melting point holds nothing back") {
    Network network = pack_behind(0.25, 22, 41750);
    network.coolant->start_c = 24;
    const Chamber chamber(network, 24);
    CHECK(chamber.run().coolant_melted_share() == 1.0);
    CHECK(chamber.run().coolant_c() == Approx(24));
}

TEST_CASE("a melted pack freezes again in the cold and gives its heat back") {
    Network network = pack_behind(0.25, 22, 41750);
    network.coolant->start_c = 23;
    Chamber chamber(network, 23);
    chamber.pass(60, 10);
    CHECK(chamber.run().coolant_melted_share() == 0.0);
    CHECK(chamber.run().coolant_c() == Approx(10).margin(0.01));
}

TEST_CASE("a pack between melting and freezing keeps what has melted") {
    Chamber chamber(pack_behind(0.25, 22, 41750), 22);
    chamber.pass(1, 35);
    const double melted = chamber.run().coolant_melted_share();
    chamber.pass(1, 9);  // as far below as it was above
    CHECK(melted > 0.2);
    CHECK(chamber.run().coolant_melted_share() == Approx(0).margin(1e-3));
    chamber.pass(2, 35);
    CHECK(chamber.run().coolant_melted_share() == Approx(2 * melted).epsilon(1e-3));
}

// The straight line within a step is the only approximation; frozen gel beside a box at room temperature is
// the steepest start of all.
TEST_CASE("steps of a quarter of an hour stay near steps of five seconds") {
    const testing::ShippedBoxes boxes;
    for (const auto& [id, margin_k] : {std::pair{"small-38-1g", 0.03}, std::pair{"small-38-1p", 0.01}}) {
        const Network network = boxes.network(id, {1, 0.015});
        Chamber coarse(network, 23), fine(network, 23);
        for (int quarter = 1; quarter <= 96; ++quarter) {
            const double ambient_c = 25 + quarter / 4 % 7;
            coarse.pass(0.25, ambient_c, 900);
            fine.pass(0.25, ambient_c, 5);
            CAPTURE(id, quarter);
            CHECK(coarse.run().temps_c()[network.animals] ==
                  Approx(fine.run().temps_c()[network.animals]).margin(margin_k));
        }
        CHECK(coarse.run().coolant_melted_share() == Approx(fine.run().coolant_melted_share()).margin(0.002));
    }
}

TEST_CASE("a pack at one temperature with everything else moves nothing") {
    Network network = pack_behind(0.25, 22, 41750);
    Chamber chamber(network, 22);
    chamber.pass(50, 22);
    CHECK(chamber.run().coolant_heat_j() == Approx(0).margin(1e-6));
    CHECK(chamber.run().temps_c()[0] == Approx(22).margin(1e-9));
}

// CHECK 39: nothing is lost on the way into the pack, through it and out again.
TEST_CASE("heat that cannot leave is all found in the nodes and the pack") {
    testing::Dice dice(301);
    for (int run_number = 0; run_number < 200; ++run_number) {
        CAPTURE(run_number);
        Network network = testing::random_network(dice);
        network.film_area_m2 = 0;
        double given_w = 0, power_w = 0;
        for (Node& node : network.nodes) {
            node.to_ambient = WattsPerKelvin(0);
            node.constant_power = Watts(dice.between(-0.5, 0.5));
            given_w += node.constant_power.value() + 2 * node.warmer_share;
            power_w += std::abs(node.constant_power.value()) + 2 * node.warmer_share;
        }
        network.coolant =
            testing::melting_pack(dice.scaled(0.05, 1), dice.between(-5, 25), dice.scaled(1e3, 1e5));
        network.coolant->start_c = dice.between(-20, 30);
        const double start_c = dice.between(-20, 40);
        const Modes modes = decompose(network, kFilm);
        ParcelRun run(network, start_c);
        run.enter(modes);
        const auto heat_j = [&] {
            double sum = run.coolant_heat_j();
            for (std::size_t i = 0; i < network.nodes.size(); ++i)
                sum += network.nodes[i].capacity.value() * run.temps_c()[i];
            return sum;
        };
        const double before_j = heat_j();
        double hours = 0;
        for (int i = 0; i < 40; ++i) {
            const double length_s = dice.scaled(60, 3600);
            run.advance(length_s, 0, 0, 2, 2);
            hours += length_s / kHour_s;
        }
        CHECK(heat_j() - before_j ==
              Approx(given_w * hours * kHour_s).margin(1e-6 * power_w * hours * kHour_s + 0.1));
    }
}

// CHECK 40.
TEST_CASE("without a source a parcel with a pack stays between its surroundings its start and its pack") {
    const testing::ShippedBoxes boxes;
    testing::Dice dice(302);
    for (int run_number = 0; run_number < 150; ++run_number) {
        CAPTURE(run_number);
        Packing packing = boxes.packings.find(run_number % 2 == 0 ? "small-19" : "small-38");
        packing.coolant = {boxes.supplies.coolants.at(dice.below(3)), 1 + static_cast<int>(dice.below(4)),
                           dice.between(-20, 30)};
        Network network = build_network(packing, boxes.supplies.warmers, {1, dice.scaled(0.001, 0.5)}, {});
        for (Node& node : network.nodes) node.constant_power = Watts(0);
        const double start_c = dice.between(15, 28), ambient_c = dice.between(-10, 40);
        const double low = std::min({start_c, ambient_c, packing.coolant->conditioned_to_c}) - 1e-9;
        const double high = std::max({start_c, ambient_c, packing.coolant->conditioned_to_c}) + 1e-9;
        Chamber chamber(network, start_c);
        for (int quarter = 0; quarter < 48; ++quarter) {
            chamber.pass(0.25, ambient_c, 900);
            const NodeTemps& temps_c = chamber.run().temps_c();
            CHECK(*std::min_element(temps_c.begin(), temps_c.begin() + 3) >= low);
            CHECK(*std::max_element(temps_c.begin(), temps_c.begin() + 3) <= high);
            CHECK(chamber.run().coolant_c() >= low);
            CHECK(chamber.run().coolant_c() <= high);
        }
    }
}

TEST_CASE("a coolant of a recipe holds the heat of its packs") {
    const testing::ShippedBoxes boxes;
    Packing packing = boxes.packings.find("small-38-1g");
    packing.coolant->count = 3;
    const Network network = build_network(packing, boxes.supplies.warmers, {1, 0.015}, {});
    REQUIRE(network.coolant);
    CHECK(network.coolant->latent_j == Approx(0.75 * 310e3));
    CHECK(network.coolant->solid.value() == Approx(0.75 * 2100));
    CHECK(network.coolant->liquid.value() == Approx(0.75 * 4100));
    CHECK(network.coolant->start_c == -10);
    const double one = boxes.network("small-38-1g", {1, 0.015}).coolant->to_cavity.value();
    CHECK(network.coolant->to_cavity.value() == Approx(3 * one));
}

TEST_CASE("heat leaves a pack through its film and a quarter of its thickness") {
    const testing::ShippedBoxes boxes;
    const Packing& packing = boxes.packings.find("small-38-1p");
    const Network network = build_network(packing, boxes.supplies.warmers, {1, 0.015}, {});
    const double film = inside_film(Celsius(12), Kelvins(8)).value();
    const double resistance = 1 / (film * 0.038) + 0.0045 / (0.2 * 0.038);
    CHECK(network.coolant->to_cavity.value() ==
          Approx(1 / resistance).epsilon(0.05));  // film taken near there
}

TEST_CASE("a parcel without a coolant follows the plain steps") {
    const testing::ShippedBoxes boxes;
    const Network network = boxes.network("small-38-1w", {1, 0.015});
    const Modes modes = decompose(network, kFilm);
    ParcelRun run(network, 23);
    run.enter(modes);
    NodeTemps x = to_modes(modes, testing::all_at(23));
    for (int quarter = 0; quarter < 40; ++quarter) {
        run.advance(900, 10 + quarter, 11 + quarter, 2, 1.5);
        step(modes, x, 900, 10 + quarter, 11 + quarter, 2, 1.5);
    }
    for (std::size_t i = 0; i < modes.n; ++i) CHECK(run.temps_c()[i] == to_temps(modes, x)[i]);
}

TEST_CASE("a run that was put nowhere is refused") {
    const Network network = testing::one_node(100, 0.1);
    ParcelRun run(network, 20);
    CHECK_THROWS_AS(run.advance(60, 20, 20, 0, 0), std::logic_error);
}
