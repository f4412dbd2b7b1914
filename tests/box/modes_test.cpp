#include "mildway/box/modes.hpp"

#include "mildway/box/films.hpp"

#include "box_fixtures.hpp"
#include "catch.hpp"

#include <cmath>
#include <stdexcept>

using namespace mildway;
using namespace mildway::box;
using testing::one_node;

namespace {

constexpr WattsPerSquareMeterKelvin kFilm{8.0};

/// The decay functions in long double, by their definition where that is exact and by a long series where it
/// is not.
struct Exact {
    long double left, mean, ramp;
};
Exact exact_decay(long double z) {
    if (z > 2) {
        const long double mean = -std::expm1(-z) / z;
        return {std::exp(-z), mean, (1 - mean) / z};
    }
    long double mean = 0, ramp = 0, term = 1;  // term = (-z)^k / (k + 1)!
    for (int k = 0; k < 60; ++k) {
        mean += term;
        ramp += term / (k + 2);
        term *= -z / (k + 2);
    }
    return {std::exp(-z), mean, ramp};
}

}  // namespace

TEST_CASE("decay functions are accurate from tiny to huge arguments") {
    for (double z = 1e-18; z < 1e4; z *= 1.37) {
        CAPTURE(z);
        const Decay got = decay(z);
        const Exact want = exact_decay(z);
        CHECK(got.left == Approx(static_cast<double>(want.left)).epsilon(1e-14).margin(1e-300));
        CHECK(got.mean == Approx(static_cast<double>(want.mean)).epsilon(1e-14));
        CHECK(got.ramp == Approx(static_cast<double>(want.ramp)).epsilon(1e-14));
    }
}

TEST_CASE("decay functions at zero are their limits") {
    CHECK(decay(0).left == 1.0);
    CHECK(decay(0).mean == 1.0);
    CHECK(decay(0).ramp == 0.5);
}

TEST_CASE("modes come slowest first") {
    testing::Dice dice(11);
    for (int run = 0; run < 100; ++run) {
        const Modes modes = decompose(testing::random_network(dice), kFilm);
        for (std::size_t m = 1; m < modes.n; ++m) CHECK(modes.rate_per_s[m] >= modes.rate_per_s[m - 1]);
        CHECK(modes.rate_per_s[0] > 0);
    }
}

TEST_CASE("temperatures survive the way to modes and back") {
    testing::Dice dice(12);
    for (int run = 0; run < 100; ++run) {
        const Modes modes = decompose(testing::random_network(dice), kFilm);
        NodeTemps temps_c{};
        for (double& t : temps_c) t = dice.between(-30, 50);
        const NodeTemps back = to_temps(modes, to_modes(modes, temps_c));
        for (std::size_t i = 0; i < modes.n; ++i) CHECK(back[i] == Approx(temps_c[i]).margin(1e-10));
    }
}

TEST_CASE("at steady temperatures every node is in balance") {
    testing::Dice dice(13);
    for (int run = 0; run < 200; ++run) {
        const Network network = testing::random_network(dice);
        const NodeTemps t = steady_temps(decompose(network, kFilm), -7.0, 1.8);
        std::array<double, kMaxNodes> net_w{};
        for (std::size_t i = 0; i < network.nodes.size(); ++i) {
            const Node& node = network.nodes[i];
            const double film = i == network.film_node ? outside_conductance(network, kFilm).value() : 0.0;
            net_w[i] += node.constant_power.value() + 1.8 * node.warmer_share -
                        (node.to_ambient.value() + film) * (t[i] + 7.0);
        }
        for (const Link& link : network.links) {
            const double flow_w = link.conductance.value() * (t[link.a] - t[link.b]);
            net_w[link.a] -= flow_w;
            net_w[link.b] += flow_w;
        }
        for (std::size_t i = 0; i < network.nodes.size(); ++i) CHECK(net_w[i] == Approx(0).margin(1e-9));
    }
}

TEST_CASE("steady temperatures do not move") {
    testing::Dice dice(14);
    const Modes modes = decompose(testing::random_network(dice), kFilm);
    const NodeTemps steady = steady_temps(modes, 12.0, 1.0);
    NodeTemps x = to_modes(modes, steady);
    step(modes, x, 86400, 12.0, 12.0, 1.0, 1.0);
    const NodeTemps later = to_temps(modes, x);
    for (std::size_t i = 0; i < modes.n; ++i) CHECK(later[i] == Approx(steady[i]).margin(1e-10));
}

TEST_CASE("a node without a way to ambient is refused") {
    Network network = one_node(100, 0.1);
    network.nodes.push_back({"island", JoulesPerKelvin(50), WattsPerKelvin(0), Watts(0), 0});
    CHECK_THROWS_WITH(decompose(network, kFilm), Catch::Contains("no way to ambient"));
}

TEST_CASE("networks that make no sense are refused") {
    CHECK_THROWS_AS(decompose(Network{}, kFilm), std::invalid_argument);
    CHECK_THROWS_AS(decompose(one_node(0, 0.1), kFilm), std::invalid_argument);
    CHECK_THROWS_AS(decompose(one_node(std::nan(""), 0.1), kFilm), std::invalid_argument);
    CHECK_THROWS_AS(decompose(one_node(100, std::nan("")), kFilm), std::invalid_argument);

    Network crowd = one_node(100, 0.1);
    while (crowd.nodes.size() <= kMaxNodes) crowd.nodes.push_back(crowd.nodes.front());
    CHECK_THROWS_AS(decompose(crowd, kFilm), std::invalid_argument);

    Network astray = one_node(100, 0.1);
    astray.links.push_back({0, 1, WattsPerKelvin(0.1)});
    CHECK_THROWS_AS(decompose(astray, kFilm), std::invalid_argument);
}
