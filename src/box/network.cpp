#include "mildway/box/network.hpp"

#include "mildway/box/films.hpp"

#include "stiffness.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <stdexcept>

#include <Eigen/Cholesky>
#include <fmt/format.h>

namespace mildway::box {

namespace {

// J/(L K): 1.19 kg/m3 x 1006 J/(kg K), air at sea level and 20 degC.
constexpr double kAirHeatPerLitre = 1.20;
// m2/kg^(2/3): a 40 g iguana has 0.014 m2 (Porter et al. 1973).
constexpr double kAnimalSurface = 0.12;
// W/(m2 K), still air, radiation and contact in a cup: judgement. Porter et al. give 8.4 + 4.8 in a draught
// of 0.45 m/s.
constexpr double kAnimalFilm = 10.0;
// J/s for each mL/h of oxygen: 20.1 J/mL.
constexpr double kWattsPerMillilitreHour = 20.1 / 3600.0;

// Where films are taken. Each difference is what the heat of one warmer, about 2 W, takes to pass the
// surface.
constexpr Celsius kTypicalInside{20.0};
constexpr Kelvins kAirToWall{2.0};
constexpr Kelvins kAirToCup{1.0};
constexpr Celsius kTypicalWarmerFace{25.0};  // mean of its face and the cavity
constexpr Kelvins kWarmerToAir{10.0};

double face_area_m2(const std::array<double, 3>& sides_m) {
    const auto [a, b, c] = sides_m;
    return 2.0 * (a * b + a * c + b * c);
}

double volume_m3(const std::array<double, 3>& sides_m) {
    return sides_m[0] * sides_m[1] * sides_m[2];
}

std::array<double, 3> around_liner(const Packing& packing) {
    auto sides_m = packing.inner_m;
    for (double& side : sides_m) side += 2.0 * packing.liner.thickness_m;
    return sides_m;
}

double cup_volume_m3(const Cup& cup) {
    return std::numbers::pi / 4.0 * cup.diameter_m * cup.diameter_m * cup.height_m;
}

double cup_area_m2(const Cup& cup) {
    return std::numbers::pi * cup.diameter_m * (cup.height_m + cup.diameter_m / 2.0);
}

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
    if (contents.count * cup_volume_m3(packing.cup) > volume_m3(packing.inner_m)) {
        refuse(packing, "cup", fmt::format("{} cups are more than the inside can hold", contents.count));
    }
    if (!(variant.wall_factor > 0.0 && variant.animal_heat_factor > 0.0)) {
        throw std::invalid_argument("build_network: factors of a variant must be above 0");
    }
}

/// Heat capacities of the liner and the board, J/K.
struct WallHeat {
    double liner;
    double board;
};

WallHeat wall_heat(const Packing& packing) {
    const double within_board_m3 = volume_m3(around_liner(packing));
    const double liner_kg =
        packing.liner.material.density_kg_per_m3 * (within_board_m3 - volume_m3(packing.inner_m));
    const double board_kg =
        packing.board.material.density_kg_per_m3 * (packing.outer_volume_m3() - within_board_m3);
    return {heat_of(packing.liner.material, liner_kg), heat_of(packing.board.material, board_kg)};
}

void add_warmers(Network& network, const WarmerUse& use, const Warmers& warmers) {
    const WarmerType& type = warmers.at(use.type);
    network.nodes.push_back({"warmers",
                             JoulesPerKelvin(use.count * type.mass_kg * type.specific_heat_j_per_kg_k),
                             WattsPerKelvin(0), Watts(0), 1.0});
    network.links.push_back(
        {network.nodes.size() - 1, network.cavity,
         conductance(inside_film(kTypicalWarmerFace, kWarmerToAir), use.count * type.surface_m2)});
}

}  // namespace

double shape_factor_m(const std::array<double, 3>& inner_m, double thickness_m) {
    const double shortest = *std::min_element(inner_m.begin(), inner_m.end());
    if (!(thickness_m > 0.0 && shortest > 0.0)) {
        throw std::invalid_argument("shape_factor_m: sides and thickness must be above 0");
    }
    const double edges_m = 4.0 * (inner_m[0] + inner_m[1] + inner_m[2]);
    return face_area_m2(inner_m) / thickness_m + 0.54 * edges_m + 8 * 0.15 * thickness_m;
}

Wall wall_of(const Packing& packing, WattsPerSquareMeterKelvin inside) {
    const Layer& board = packing.board;
    return {.inside_film = conductance(inside, face_area_m2(packing.inner_m)),
            .liner = WattsPerKelvin(packing.liner.material.conductivity_w_per_m_k *
                                    shape_factor_m(packing.inner_m, packing.liner.thickness_m)),
            .board = WattsPerKelvin(board.material.conductivity_w_per_m_k *
                                    face_area_m2(around_liner(packing)) / board.thickness_m),
            .outer_area_m2 = face_area_m2(packing.outer_m())};
}

WattsPerKelvin whole_conductance(const Wall& wall, WattsPerSquareMeterKelvin outside) {
    return in_series(in_series(wall.inside_film, wall.liner),
                     in_series(wall.board, conductance(outside, wall.outer_area_m2)));
}

std::string why_no_room(const Packing& packing, const Contents& contents) {
    const int room = packing.cups_that_fit();
    if (room < contents.count)
        return fmt::format("{}: room for {} cups, not {}", packing.label, room, contents.count);
    constexpr double kPi = 3.14159265358979323846;
    constexpr double kAnimalKgPerM3 = 1000;
    const double cup_m3 = kPi / 4 * packing.cup.diameter_m * packing.cup.diameter_m * packing.cup.height_m;
    if (contents.mass_kg_each <= kAnimalKgPerM3 * cup_m3) return "";
    return fmt::format("{}: an animal of {:.6g} g does not fit a cup of {:.2g} L", packing.label,
                       1000 * contents.mass_kg_each, 1000 * cup_m3);
}

Watts metabolic_heat(double mass_kg, Celsius body) {
    const double oxygen_ml_per_h =
        0.013 * std::pow(mass_kg * 1000.0, 0.80) * std::pow(10.0, 0.038 * body.value());
    return Watts(oxygen_ml_per_h * kWattsPerMillilitreHour);
}

WattsPerKelvin animal_coupling(const Cup& cup, double mass_kg) {
    const double animal_m2 = kAnimalSurface * std::cbrt(mass_kg * mass_kg);
    return in_series(WattsPerKelvin(kAnimalFilm * animal_m2),
                     conductance(inside_film(kTypicalInside, kAirToCup), cup_area_m2(cup)));
}

Network build_network(const Packing& packing, const Warmers& warmers, const Contents& contents,
                      const BoxVariant& variant) {
    check_contents(packing, contents, variant);
    const Wall wall = wall_of(packing, inside_film(kTypicalInside, kAirToWall));
    const WattsPerKelvin half_board = 2.0 * wall.board;
    const WallHeat heat = wall_heat(packing);
    const double cavity_heat = 0.5 * heat.liner + 1000.0 * kAirHeatPerLitre * volume_m3(packing.inner_m) +
                               heat_of(packing.fill_material, packing.fill_kg) +
                               contents.count * packing.cup.mass_kg * packing.cup.specific_heat_j_per_kg_k;
    const double animal_heat =
        contents.count * contents.mass_kg_each * kAnimalSpecificHeat * variant.animal_heat_factor;
    const WattsPerKelvin vents(kAirHeatPerLitre * packing.air_exchange_l_per_h / 3600.0);

    Network network;
    network.nodes.push_back(
        {"shell", JoulesPerKelvin(heat.board + 0.5 * heat.liner), WattsPerKelvin(0), Watts(0), 0});
    network.nodes.push_back({"cavity", JoulesPerKelvin(cavity_heat), vents, Watts(0), 0});
    network.nodes.push_back(
        {"animals", JoulesPerKelvin(animal_heat), WattsPerKelvin(0),
         static_cast<double>(contents.count) * metabolic_heat(contents.mass_kg_each, kTypicalInside), 0});
    network.film_node = 0;
    network.cavity = 1;
    network.animals = 2;
    network.film_area_m2 = wall.outer_area_m2;
    network.behind_film = inverse(half_board);
    network.links.push_back(
        {0, 1, in_series(in_series(wall.inside_film, variant.wall_factor * wall.liner), half_board)});
    network.links.push_back(
        {1, 2, static_cast<double>(contents.count) * animal_coupling(packing.cup, contents.mass_kg_each)});
    if (packing.warmer) add_warmers(network, *packing.warmer, warmers);
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
