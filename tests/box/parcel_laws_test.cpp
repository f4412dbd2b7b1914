// What must hold for a whole parcel with a coolant and warmers, whatever it is made of.
#include "mildway/box/burning.hpp"
#include "mildway/box/films.hpp"
#include "mildway/box/parcel.hpp"

#include "box_fixtures.hpp"
#include "catch.hpp"

#include <algorithm>
#include <cmath>

using namespace mildway;
using namespace mildway::box;
using testing::Dice;

namespace {

constexpr WattsPerSquareMeterKelvin kFilm{10.0};

Coolant random_coolant(Dice& dice) {
    const double mass_kg = dice.scaled(0.1, 1.5);
    return {WattsPerKelvin(dice.scaled(0.05, 1.0)),
            dice.between(-5, 25),
            mass_kg * dice.between(100'000, 334'000),
            JoulesPerKelvin(mass_kg * 2000),
            JoulesPerKelvin(mass_kg * dice.between(2000, 4200)),
            dice.between(-18, 30)};
}

Network cooled_network(Dice& dice) {
    Network network = testing::random_network(dice);
    network.coolant = random_coolant(dice);
    return network;
}

double heat_in_nodes(const Network& network, const NodeTemps& temps_c) {
    double heat_j = 0;
    for (std::size_t i = 0; i < network.nodes.size(); ++i)
        heat_j += network.nodes[i].capacity.value() * temps_c[i];
    return heat_j;
}

/// Hours until a coolant in a steady room has wholly melted.
double melting_h(const Network& network, double room_c) {
    const Modes modes = decompose(network, kFilm);
    ParcelRun parcel(network, room_c);
    parcel.enter(modes);
    constexpr double kStep_s = 60;
    for (int i = 0; i < 60 * 2000; ++i) {
        if (parcel.coolant_melted_share() >= 1) return i * kStep_s / 3600;
        parcel.advance(kStep_s, room_c, room_c, 0, 0);
    }
    return 2000;
}

}  // namespace

TEST_CASE("the energy of a parcel with a coolant and warmers closes") {
    for (std::uint64_t seed = 1; seed <= 40; ++seed) {
        Dice dice(seed);
        Network network = cooled_network(dice);
        for (auto& node : network.nodes) node.warmer_share = 0;
        network.nodes.front().warmer_share = 1;
        const Modes modes = decompose(network, kFilm);
        const double room_c = dice.between(-10, 35), power_w = dice.between(0, 4);
        // the nodes rest at the room's temperature, so that what leaves is known: only the coolant and
        // sources drive
        ParcelRun parcel(network, room_c);
        parcel.enter(modes);
        const double before_j = heat_in_nodes(network, parcel.temps_c()) + parcel.coolant_heat_j();
        double metabolism_w = 0, left_j = 0;
        for (const auto& node : network.nodes) metabolism_w += node.constant_power.value();
        constexpr double kStep_s = 0.5;
        constexpr int kSteps = 20'000;
        const auto leak_w = [&] {
            double leak = 0;
            for (std::size_t i = 0; i < network.nodes.size(); ++i) {
                const double g = network.nodes[i].to_ambient.value() +
                                 (i == network.film_node ? outside_conductance(network, kFilm).value() : 0);
                leak += g * (parcel.temps_c()[i] - room_c);
            }
            return leak;
        };
        for (int i = 0; i < kSteps; ++i) {
            const double at_start_w = leak_w();
            parcel.advance(kStep_s, room_c, room_c, power_w, power_w);
            left_j += 0.5 * (at_start_w + leak_w()) * kStep_s;
        }
        const double after_j = heat_in_nodes(network, parcel.temps_c()) + parcel.coolant_heat_j();
        const double put_in_j = (power_w + metabolism_w) * kStep_s * kSteps;
        const double turned_over_j = std::abs(before_j) + std::abs(after_j) + put_in_j + std::abs(left_j);
        INFO("network " << seed);
        CHECK(std::abs(after_j - before_j - put_in_j + left_j) / turned_over_j < 1e-6);
    }
}

TEST_CASE("without a source nothing leaves the range of room start and coolant") {
    for (std::uint64_t seed = 101; seed <= 160; ++seed) {
        Dice dice(seed);
        Network network = cooled_network(dice);
        for (auto& node : network.nodes) node.constant_power = Watts(0);
        const Modes modes = decompose(network, kFilm);
        const double room_c = dice.between(-20, 40), start_c = dice.between(-20, 40);
        const double low_c = std::min({room_c, start_c, network.coolant->start_c}) - 1e-6;
        const double high_c = std::max({room_c, start_c, network.coolant->start_c}) + 1e-6;
        ParcelRun parcel(network, start_c);
        parcel.enter(modes);
        for (int i = 0; i < 2000; ++i) {
            parcel.advance(60, room_c, room_c, 0, 0);
            INFO("network " << seed << ", minute " << i);
            REQUIRE(parcel.coolant_c() >= low_c);
            REQUIRE(parcel.coolant_c() <= high_c);
            for (std::size_t n = 0; n < network.nodes.size(); ++n) {
                REQUIRE(parcel.temps_c()[n] >= low_c);
                REQUIRE(parcel.temps_c()[n] <= high_c);
            }
        }
    }
}

TEST_CASE("more of a coolant never lasts shorter") {
    for (std::uint64_t seed = 201; seed <= 230; ++seed) {
        Dice dice(seed);
        Network one = cooled_network(dice);
        one.coolant->start_c = one.coolant->melts_at_c;
        for (auto& node : one.nodes) node.constant_power = Watts(0);
        Network two = one;
        two.coolant->latent_j *= 2;
        two.coolant->solid = 2.0 * two.coolant->solid;
        two.coolant->liquid = 2.0 * two.coolant->liquid;
        const double room_c = one.coolant->melts_at_c + dice.between(3, 20);
        INFO("network " << seed);
        // the nodes, which start at the room's temperature, cool down but once: that heat shortens the first
        // alone
        CHECK(melting_h(two, room_c) >= 2 * melting_h(one, room_c) - 0.05);
        two.coolant->to_cavity = 2.0 * two.coolant->to_cavity;  // and its surface
        CHECK(melting_h(two, room_c) >= melting_h(one, room_c));
    }
}

TEST_CASE("halving the steps of a parcel with a coolant changes little") {
    for (std::uint64_t seed = 301; seed <= 330; ++seed) {
        Dice dice(seed);
        const Network network = cooled_network(dice);
        const Modes modes = decompose(network, kFilm);
        const auto after_a_day = [&](int steps) {
            ParcelRun parcel(network, 20);
            parcel.enter(modes);
            for (int i = 0; i < steps; ++i) {
                const auto room_c = [&](int at) { return 10 + 15.0 * at / steps; };
                parcel.advance(86'400.0 / steps, room_c(i), room_c(i + 1), 0.5, 0.5);
            }
            return parcel.temps_c();
        };
        const NodeTemps coarse = after_a_day(24 * 30), fine = after_a_day(24 * 60);
        INFO("network " << seed);
        for (std::size_t n = 0; n < network.nodes.size(); ++n)
            CHECK(coarse[n] == Approx(fine[n]).margin(0.02));
    }
}
