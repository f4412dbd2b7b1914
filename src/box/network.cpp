#include "mildway/box/network.hpp"

#include "mildway/box/films.hpp"

#include "stiffness.hpp"
#include "typical_inside.hpp"

#include <algorithm>
#include <cmath>
#include <stdexcept>

#include <Eigen/Cholesky>
#include <fmt/format.h>

namespace mildway::box {

namespace {

// J/(L K): 1.19 kg/m3 x 1006 J/(kg K), air at sea level and 20 degC.
constexpr double kAirHeatPerLitre = 1.20;
// W/(m2 K), where films are taken: mean temperatures of a face and the cavity, and what lies between them
// (judgement).
constexpr Celsius kTypicalWarmerFace{25.0};
constexpr Kelvins kWarmerToAir{10.0};
constexpr Celsius kTypicalCoolantFace{12.0};
constexpr Kelvins kCoolantToAir{8.0};

double heat_of(const Material& material, double mass_kg) {
    return material.specific_heat_j_per_kg_k * mass_kg;
}

[[noreturn]] void refuse(const Packing& packing, const std::string& field, const std::string& why) {
    throw InputError(fmt::format("packing {}", packing.id), field, 0, why);
}

void check_contents(const Packing& packing, const Contents& contents, const BoxVariant& variant) {
    if (contents.count < 1)
        refuse(packing, "animals", fmt::format("are {}; expected at least 1", contents.count));
    if (!(contents.mass_kg_each > 0.0 && contents.mass_kg_each <= 50.0)) {
        refuse(packing, "animals",
               fmt::format("weigh {:g} kg each; expected more than 0 and at most 50", contents.mass_kg_each));
    }
    if (contents.count * packing.cup.volume_m3() > packing.inner_volume_m3()) {
        refuse(packing, "cup", fmt::format("{} cups are more than the inside can hold", contents.count));
    }
    if (!(variant.wall_factor > 0.0 && variant.animal_heat_factor > 0.0 && variant.air_factor > 0.0)) {
        throw std::invalid_argument("build_network: factors of a variant must be above 0");
    }
}

/// All warmers as one lump: they give their power together, and lie side by side on lid or wall.
void add_warmers(Network& network, double heat_j_per_k, const std::vector<WarmerUse>& uses,
                 const Warmers& types) {
    double surface_m2 = 0;
    for (const WarmerUse& use : uses) surface_m2 += use.count * types.at(use.type).surface_m2;
    network.nodes.push_back({"warmers", JoulesPerKelvin(heat_j_per_k), WattsPerKelvin(0), Watts(0), 1.0});
    network.links.push_back({network.nodes.size() - 1, network.cavity,
                             conductance(inside_film(kTypicalWarmerFace, kWarmerToAir), surface_m2)});
}

/// Heat leaves a pack through half of half its thickness on average, and the film on its faces.
Coolant coolant_of(const CoolantUse& use) {
    const CoolantType& type = use.type;
    const double mass_kg = use.count * type.mass_kg;
    const WattsPerKelvin face =
        conductance(inside_film(kTypicalCoolantFace, kCoolantToAir), use.count * type.surface_m2);
    const WattsPerKelvin within(type.conductivity_w_per_m_k * use.count * type.surface_m2 /
                                (type.thickness_m / 4));
    return {in_series(face, within),
            type.melts_at_c,
            mass_kg * type.latent_j_per_kg,
            JoulesPerKelvin(mass_kg * type.solid_specific_heat_j_per_kg_k),
            JoulesPerKelvin(mass_kg * type.liquid_specific_heat_j_per_kg_k),
            use.conditioned_to_c};
}

/// One lump, or two where the flesh itself holds heat back: a core within a rind of equal mass.
void add_animals(Network& network, double heat_j_per_k, const Packing& packing, const Contents& contents) {
    const double number = contents.count;
    const Watts metabolism = number * metabolic_heat(contents.mass_kg_each, kTypicalInside);
    const WattsPerKelvin to_surface = number * animal_coupling(packing.cup, contents.mass_kg_each);
    network.animals = network.nodes.size();
    if (animal_biot(contents.mass_kg_each) <= kLargestLumpBiot) {
        network.nodes.push_back({"animals", JoulesPerKelvin(heat_j_per_k), WattsPerKelvin(0), metabolism, 0});
        network.links.push_back({network.cavity, network.animals, to_surface});
        return;
    }
    const FleshConductance flesh = flesh_conductance(contents.mass_kg_each);
    for (const char* half : {"animals", "animals' core"}) {
        network.nodes.push_back(
            {half, JoulesPerKelvin(0.5 * heat_j_per_k), WattsPerKelvin(0), 0.5 * metabolism, 0});
    }
    network.links.push_back(
        {network.cavity, network.animals, in_series(to_surface, number * flesh.rind_to_surface)});
    network.links.push_back({network.animals, network.animals + 1, number * flesh.core_to_rind});
}

}  // namespace

HeldHeat held_heat(const Packing& packing, const Warmers& warmers, const Contents& contents) {
    HeldHeat heat;
    heat.board = heat_of(packing.board.material, packing.board_kg());
    heat.liner = heat_of(packing.liner.material, packing.liner_kg());
    heat.air = 1000.0 * kAirHeatPerLitre * packing.inner_volume_m3();
    heat.fill = heat_of(packing.fill_material, packing.fill_kg);
    heat.cups = contents.count * packing.cup.mass_kg * packing.cup.specific_heat_j_per_kg_k;
    heat.animals = contents.count * contents.mass_kg_each * kAnimalSpecificHeat;
    for (const WarmerUse& use : packing.warmers) {
        const WarmerType& type = warmers.at(use.type);
        heat.warmers += use.count * type.mass_kg * type.specific_heat_j_per_kg_k;
    }
    return heat;
}

Network build_network(const Packing& packing, const Warmers& warmers, const Contents& contents,
                      const BoxVariant& variant) {
    check_contents(packing, contents, variant);
    const Wall wall = wall_of(packing, film_inside(packing), variant.liner_c);
    const WattsPerKelvin half_board = 2.0 * wall.board;
    const HeldHeat heat = held_heat(packing, warmers, contents);
    const double air_l_per_h = variant.air_factor * packing.air_exchange_l_per_h();
    const double wall_factor = variant.wall_factor * packing.learnt.wall_factor.value_or(1);

    Network network;
    network.nodes.push_back(
        {"shell", JoulesPerKelvin(heat.board + 0.5 * heat.liner), WattsPerKelvin(0), Watts(0), 0});
    network.nodes.push_back({"cavity", JoulesPerKelvin(0.5 * heat.liner + heat.air + heat.fill + heat.cups),
                             WattsPerKelvin(kAirHeatPerLitre * air_l_per_h / 3600.0), Watts(0), 0});
    network.film_node = 0;
    network.cavity = 1;
    network.film_area_m2 = wall.outer_area_m2;
    network.behind_film = inverse(half_board);
    network.links.push_back(
        {0, 1, in_series(in_series(wall.inside_film, wall_factor * wall.liner), half_board)});
    add_animals(network, variant.animal_heat_factor * heat.animals, packing, contents);
    if (!packing.warmers.empty()) add_warmers(network, heat.warmers, packing.warmers, warmers);
    if (packing.coolant) network.coolant = coolant_of(*packing.coolant);
    return network;
}

WattsPerKelvin outside_conductance(const Network& network, WattsPerSquareMeterKelvin film) {
    return inverse(inverse(conductance(film, network.film_area_m2)) + network.behind_film);
}

Stiffness assemble(const Network& network, WattsPerSquareMeterKelvin film) {
    const std::size_t n = network.nodes.size();
    if (n == 0 || n > kMaxNodes)
        throw std::invalid_argument(fmt::format("network: {} nodes, 1 to {} can be used", n, kMaxNodes));
    if (network.film_node >= n)
        throw std::invalid_argument("network: the outside film is on a node that is not there");
    const auto size = static_cast<Eigen::Index>(n);
    Stiffness stiffness{NodeMatrix::Zero(size, size), NodeVector::Zero(size)};
    for (std::size_t i = 0; i < n; ++i) {
        stiffness.to_ambient(static_cast<Eigen::Index>(i)) = network.nodes[i].to_ambient.value();
    }
    stiffness.to_ambient(static_cast<Eigen::Index>(network.film_node)) +=
        outside_conductance(network, film).value();
    stiffness.conductance.diagonal() = stiffness.to_ambient;
    for (const Link& link : network.links) {
        if (link.a >= n || link.b >= n)
            throw std::invalid_argument("network: a link leads to a node that is not there");
        const auto a = static_cast<Eigen::Index>(link.a);
        const auto b = static_cast<Eigen::Index>(link.b);
        const double g = link.conductance.value();
        stiffness.conductance(a, a) += g;
        stiffness.conductance(b, b) += g;
        stiffness.conductance(a, b) -= g;
        stiffness.conductance(b, a) -= g;
    }
    return stiffness;
}

WattsPerKelvin whole_conductance(const Network& network, WattsPerSquareMeterKelvin film) {
    const Stiffness stiffness = assemble(network, film);
    const auto cavity = static_cast<Eigen::Index>(network.cavity);
    const NodeVector one_watt = NodeVector::Unit(stiffness.to_ambient.size(), cavity);
    const NodeVector lift = stiffness.conductance.ldlt().solve(one_watt);
    return WattsPerKelvin(1.0 / lift(cavity));
}

}  // namespace mildway::box
