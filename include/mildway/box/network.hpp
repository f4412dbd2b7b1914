// A parcel as a small network of lumped nodes with linear links.
#pragma once

#include "mildway/base/units.hpp"
#include "mildway/box/animals.hpp"
#include "mildway/box/packing.hpp"
#include "mildway/box/wall.hpp"

#include <optional>
#include <string>
#include <vector>

namespace mildway::box {

struct Node {
    std::string name;
    JoulesPerKelvin capacity;
    WattsPerKelvin to_ambient;  ///< apart from the outside film (air exchange)
    Watts constant_power;       ///< metabolism
    double warmer_share = 0;    ///< of the warmers' power that goes into this node
};

struct Link {
    std::size_t a = 0;
    std::size_t b = 0;
    WattsPerKelvin conductance;
};

/// Packs that melt, as one lump beside the network: it exchanges heat with the cavity alone.
struct Coolant {
    WattsPerKelvin to_cavity;
    double melts_at_c = 0;
    double latent_j = 0;
    JoulesPerKelvin solid;
    JoulesPerKelvin liquid;
    double start_c = 0;

    /// Heat above solid at the melting point, J, of a pack at `temp_c` (at the melting point itself: solid).
    [[nodiscard]] double heat_at(double temp_c) const;
    /// The temperature above the melting point at this heat, K.
    [[nodiscard]] double above_melting_k(double heat_j) const;
};

/// The parcel without its outside film, which depends on the setting. Nodes may be added freely: nothing else
/// in the program relies on which there are, only on `film_node`, `cavity` and `animals`.
struct Network {
    std::vector<Node> nodes;
    std::vector<Link> links;
    std::size_t film_node = 0;  ///< the node behind the outside film
    double film_area_m2 = 0;
    KelvinsPerWatt behind_film;  ///< between the outer face and film_node
    std::size_t cavity = 0;
    std::size_t animals = 0;         ///< what is counted: where they are two nodes, the outer half
    std::optional<Coolant> coolant;  ///< not among the nodes
};

/// What holds heat in a parcel, J/K.
struct HeldHeat {
    double board = 0;
    double liner = 0;
    double air = 0;
    double fill = 0;
    double cups = 0;
    double animals = 0;
    double warmers = 0;
};
[[nodiscard]] HeldHeat held_heat(const Packing& packing, const Warmers& warmers, const Contents& contents);

/// The most nodes a network may have.
inline constexpr std::size_t kMaxNodes = 8;

/// What differs from one parcel of the same recipe to the next.
struct BoxVariant {
    double wall_factor = 1;         ///< times the liner's conductance
    double animal_heat_factor = 1;  ///< times the animals' heat capacity
    double air_factor = 1;          ///< times the air exchange
    double liner_c = 24;            ///< mean temperature of the liner, degC; foams conduct more when warm
};

/// Nodes: shell (board and outer half of the liner), cavity (air, inner half, fill, cups), animals (their
/// outer half alone where the Biot number is above 0.1, and a core), and warmers if any. Throws InputError
/// when a size makes no sense.
[[nodiscard]] Network build_network(const Packing& packing, const Warmers& warmers, const Contents& contents,
                                    const BoxVariant& variant);

/// Conductance from ambient to film_node: the film in series with what lies behind it.
[[nodiscard]] WattsPerKelvin outside_conductance(const Network& network, WattsPerSquareMeterKelvin film);

/// Steady conductance from the cavity to ambient through everything.
[[nodiscard]] WattsPerKelvin whole_conductance(const Network& network, WattsPerSquareMeterKelvin film);

}  // namespace mildway::box
