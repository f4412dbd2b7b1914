// Parcels and networks for tests: the shipped recipes, and small ones made on the spot.
#pragma once

#include "mildway/box/modes.hpp"
#include "mildway/box/network.hpp"

#include <cmath>
#include <cstdint>
#include <random>
#include <string>
#include <vector>

namespace mildway::testing {

inline constexpr double kHour_s = 3600.0;

/// The starter workspace's supplies and packings.
struct ShippedBoxes {
    box::Supplies supplies =
        box::Supplies::read(ConfigNode::load(std::string(MILDWAY_SOURCE_DIR) + "/config/materials.json"));
    box::Packings packings = box::Packings::read(
        ConfigNode::load(std::string(MILDWAY_SOURCE_DIR) + "/config/packings.json"), supplies);

    [[nodiscard]] box::Network network(const std::string& id, const box::Contents& contents) const {
        return box::build_network(packings.find(id), supplies.warmers, contents, {});
    }
};

/// One lump behind one conductance: time constant C/G.
[[nodiscard]] inline box::Network one_node(double capacity_j_per_k, double to_ambient_w_per_k) {
    box::Network network;
    network.nodes.push_back(
        {"lump", JoulesPerKelvin(capacity_j_per_k), WattsPerKelvin(to_ambient_w_per_k), Watts(0), 1.0});
    return network;  // film area 0: nothing passes through the film
}

/// What a pack of `latent_j` that melts at `melts_at_c` is, solid and as cold as that.
[[nodiscard]] inline box::Coolant melting_pack(double to_cavity_w_per_k, double melts_at_c, double latent_j) {
    return {WattsPerKelvin(to_cavity_w_per_k),
            melts_at_c,
            latent_j,
            JoulesPerKelvin(500),
            JoulesPerKelvin(1000),
            melts_at_c};
}

/// Contents of next to no heat between ambient and a pack: in series the two conduct `through_w_per_k`.
[[nodiscard]] inline box::Network pack_behind(double through_w_per_k, double melts_at_c, double latent_j) {
    box::Network network = one_node(0.01, 2 * through_w_per_k);
    network.coolant = melting_pack(2 * through_w_per_k, melts_at_c, latent_j);
    return network;
}

/// Random numbers that are the same with every standard library, unlike std::uniform_real_distribution.
class Dice {
public:
    explicit Dice(std::uint64_t seed) : engine_(seed) {}
    [[nodiscard]] double between(double low, double high) {
        return low + (high - low) * static_cast<double>(engine_() >> 11) * 0x1p-53;
    }
    /// Evenly spread over orders of magnitude.
    [[nodiscard]] double scaled(double low, double high) {
        return std::exp(between(std::log(low), std::log(high)));
    }
    [[nodiscard]] std::size_t below(std::size_t count) { return static_cast<std::size_t>(engine_() % count); }

private:
    std::mt19937_64 engine_;
};

/// A connected network of 1 to kMaxNodes nodes, sources included.
[[nodiscard]] inline box::Network random_network(Dice& dice) {
    box::Network network;
    const std::size_t n = 1 + dice.below(box::kMaxNodes);
    for (std::size_t i = 0; i < n; ++i) {
        network.nodes.push_back({"node", JoulesPerKelvin(dice.scaled(20, 3000)),
                                 WattsPerKelvin(dice.scaled(1e-4, 0.05)), Watts(dice.between(0, 0.1)),
                                 dice.between(0, 1)});
        if (i > 0) network.links.push_back({dice.below(i), i, WattsPerKelvin(dice.scaled(0.01, 0.5))});
    }
    if (n > 2) network.links.push_back({0, n - 1, WattsPerKelvin(dice.scaled(0.01, 0.5))});
    network.film_node = dice.below(n);
    network.film_area_m2 = dice.between(0.1, 1.0);
    network.behind_film = KelvinsPerWatt(dice.between(0.01, 2.0));
    network.cavity = n / 2;
    network.animals = n - 1;
    return network;
}

/// The same temperature everywhere.
[[nodiscard]] inline box::NodeTemps all_at(double temp_c) {
    box::NodeTemps temps_c{};
    temps_c.fill(temp_c);
    return temps_c;
}

}  // namespace mildway::testing
