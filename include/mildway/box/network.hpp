// A parcel as a small network of lumped nodes with linear links.
#pragma once

#include "mildway/base/units.hpp"
#include "mildway/box/packing.hpp"

#include <array>
#include <string>
#include <vector>

namespace mildway::box {

/// Conduction shape factor of a hollow box, m: conduction = k * S. Inner faces over thickness, plus 0.54 m
/// for each metre of inner edge, plus 0.15 t for each corner (Holman, Heat Transfer, Example 3-2; Incropera,
/// Table 4.1). Outer area times k/t would be 58 % too much for 38 mm foam around 250 x 200 x 150 mm. Valid
/// for inner sides longer than about a fifth of the thickness; thickness > 0.
[[nodiscard]] double shape_factor_m(const std::array<double, 3>& inner_m, double thickness_m);

/// The layers of a wall, each as a conductance; from the cavity outward: film, liner, board. The outside film
/// follows on `outer_area_m2`.
struct Wall {
    WattsPerKelvin inside_film;
    WattsPerKelvin liner;
    WattsPerKelvin board;
    double outer_area_m2 = 0;
};
[[nodiscard]] Wall wall_of(const Packing& packing, WattsPerSquareMeterKelvin inside);

/// All layers of a wall and its outside film, one behind the other.
[[nodiscard]] WattsPerKelvin whole_conductance(const Wall& wall, WattsPerSquareMeterKelvin outside);

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

/// The parcel without its outside film, which depends on the setting. Nodes may be added freely: nothing else
/// in the program relies on which there are, only on `film_node`, `cavity` and `animals`.
struct Network {
    std::vector<Node> nodes;
    std::vector<Link> links;
    std::size_t film_node = 0;  ///< the node behind the outside film
    double film_area_m2 = 0;
    KelvinsPerWatt behind_film;  ///< between the outer face and film_node
    std::size_t cavity = 0;
    std::size_t animals = 0;
};

/// The most nodes a network may have.
inline constexpr std::size_t kMaxNodes = 8;

/// What differs from one parcel of the same recipe to the next.
struct BoxVariant {
    double wall_factor = 1;         ///< times the wall's conductance
    double animal_heat_factor = 1;  ///< times the animals' heat capacity
};

struct Contents {
    int count = 1;
    double mass_kg_each = 0.02;
};

/// Why the animals do not fit, as a sentence: fewer cups in the box than animals, or an animal (1 kg/L)
/// larger than its cup. Empty when they do.
[[nodiscard]] std::string why_no_room(const Packing& packing, const Contents& contents);

/// Specific heat of a small reptile or frog, J/(kg K); relative spread beside it. Between the 3073 and 3474
/// published for lizards (facts in docs/model.md).
inline constexpr double kAnimalSpecificHeat = 3350;
inline constexpr double kAnimalSpecificHeatSpread = 0.10;

/// Resting heat of a reptile, W: VO2 = 0.013 m^0.80 10^(0.038 T) mL/h, m in g (Andrews and Pough 1985), 20.1
/// J/mL.
[[nodiscard]] Watts metabolic_heat(double mass_kg, Celsius body);

/// Between one animal and the cavity: still air and contact inside the cup (by the animal's surface, which
/// grows with mass^(2/3)) behind the film on the cup's outside. W/K for one cup.
[[nodiscard]] WattsPerKelvin animal_coupling(const Cup& cup, double mass_kg);

/// Nodes: shell (board and outer half of the liner), cavity (air, inner half, fill, cups), animals, and
/// warmers if any. Throws InputError when a size makes no sense.
[[nodiscard]] Network build_network(const Packing& packing, const Warmers& warmers, const Contents& contents,
                                    const BoxVariant& variant);

/// Conductance from ambient to film_node: the film in series with what lies behind it.
[[nodiscard]] WattsPerKelvin outside_conductance(const Network& network, WattsPerSquareMeterKelvin film);

/// Steady conductance from the cavity to ambient through everything.
[[nodiscard]] WattsPerKelvin whole_conductance(const Network& network, WattsPerSquareMeterKelvin film);

}  // namespace mildway::box
