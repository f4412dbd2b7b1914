#include "mildway/box/box_figures.hpp"

#include "mildway/box/burning.hpp"
#include "mildway/box/modes.hpp"

#include <algorithm>

namespace mildway::box {

namespace {

constexpr double kSecondsPerHour = 3600;

/// The wall's conductance shared out as the foam's is.
std::vector<HeatPath> wall_paths(const Packing& packing, WattsPerKelvin wall) {
    const ShapeFactor shape = shape_factor(packing.inner_m, packing.liner.thickness_m);
    const auto share = [&](double part_m) { return part_m / shape.whole_m() * wall; };
    return {{"walls", share(shape.faces_m)},
            {"edges", share(shape.edges_m)},
            {"corners", share(shape.corners_m)}};
}

/// The part of the air exchange that goes through vents rather than seams.
double vents_share(const Packing& packing) {
    const double vents_l_per_h =
        vent_exchange_l_per_h(packing.vents, packing.wall_m(), packing.inner_m[2], kVentDifference);
    const double both_l_per_h = vents_l_per_h + packing.seams_l_per_h;
    return both_l_per_h > 0 ? vents_l_per_h / both_l_per_h : 0;
}

std::vector<HeatStore> stores_of(const HeldHeat& heat) {
    std::vector<HeatStore> stores{
        {"board", JoulesPerKelvin(heat.board)}, {"liner", JoulesPerKelvin(heat.liner)},
        {"air", JoulesPerKelvin(heat.air)},     {"fill", JoulesPerKelvin(heat.fill)},
        {"cups", JoulesPerKelvin(heat.cups)},   {"animals", JoulesPerKelvin(heat.animals)}};
    if (heat.warmers > 0) stores.push_back({"warmers", JoulesPerKelvin(heat.warmers)});
    return stores;
}

/// Where the warmers' output can bend, h since packing, in order and once each; the first is packing itself.
std::vector<double> bends(const Packing& packing, const Warmers& types) {
    std::vector<double> bends_h{0};
    for (const WarmerUse& use : packing.warmers) {
        for (const auto& point : types.at(use.type).power)
            bends_h.push_back(std::max(0.0, point.hours_since_opening - use.opened_before_packing_h));
    }
    std::sort(bends_h.begin(), bends_h.end());
    bends_h.erase(std::unique(bends_h.begin(), bends_h.end()), bends_h.end());
    return bends_h;
}

double half_power_until_h(const Packing& packing, const Warmers& types, double most_w) {
    if (!(most_w > 0)) return 0;
    const std::vector<double> bends_h = bends(packing, types);
    for (std::size_t i = bends_h.size() - 1; i > 0; --i) {
        const double from_h = bends_h[i - 1];
        const double long_h = bends_h[i] - from_h;
        // a table may jump where it begins and ends: the piece's ends follow from two moments inside it
        const double third_w = free_air_power_w(packing, types, from_h + long_h / 3);
        const double two_thirds_w = free_air_power_w(packing, types, from_h + 2 * long_h / 3);
        const double first_w = 2 * third_w - two_thirds_w;
        const double last_w = 2 * two_thirds_w - third_w;
        if (std::max(last_w, free_air_power_w(packing, types, bends_h[i])) >= most_w / 2) return bends_h[i];
        if (first_w >= most_w / 2) return from_h + long_h * (first_w - most_w / 2) / (first_w - last_w);
    }
    return 0;
}

WarmerFigures warmer_figures(const Packing& packing, const Warmers& types, const Network& network,
                             WattsPerSquareMeterKelvin film) {
    WarmerFigures figures;
    figures.free_air_w = most_free_air_power_w(packing, types);
    figures.oxygen_share = settled_oxygen_share(figures.free_air_w, packing.air_exchange_l_per_h());
    figures.power_w = figures.oxygen_share * figures.free_air_w;
    figures.air_needed_l_per_h = air_litres_per_watt_hour() * figures.free_air_w;
    figures.half_power_until_h = half_power_until_h(packing, types, figures.free_air_w);
    const Modes modes = decompose(network, film);
    figures.animals_lift_k =
        steady_temps(modes, 0, figures.power_w)[network.animals] - steady_temps(modes, 0, 0)[network.animals];
    return figures;
}

CoolantFigures coolant_figures(const Coolant& coolant, WattsPerKelvin whole) {
    constexpr Kelvins kWarmer{10.0};
    const Watts taken = in_series(coolant.to_cavity, whole) * kWarmer;
    return {coolant.latent_j, coolant.to_cavity.value(), coolant.melts_at_c,
            coolant.latent_j / taken.value() / kSecondsPerHour};
}

}  // namespace

BoxFigures figures_of(const Packing& packing, const Warmers& types, const Contents& contents,
                      WattsPerSquareMeterKelvin film, double liner_c) {
    Network network = build_network(packing, types, contents, {.liner_c = liner_c});
    BoxFigures figures;
    figures.whole = whole_conductance(network, film);
    const WattsPerKelvin air = network.nodes[network.cavity].to_ambient;
    figures.paths = wall_paths(packing, figures.whole - air);
    figures.paths.push_back({"vents", vents_share(packing) * air});
    figures.paths.push_back({"seams", (1 - vents_share(packing)) * air});
    figures.air_exchange_l_per_h = packing.air_exchange_l_per_h();
    figures.animal_biot = animal_biot(contents.mass_kg_each);
    figures.stores = stores_of(held_heat(packing, types, contents));
    if (network.coolant) figures.coolant = coolant_figures(*network.coolant, figures.whole);
    network.coolant.reset();  // what follows is the box without it
    const Modes modes = decompose(network, film);
    for (std::size_t m = 0; m < modes.n; ++m)
        figures.time_constants_h.push_back(1 / modes.rate_per_s[m] / kSecondsPerHour);
    if (!packing.warmers.empty()) figures.warmers = warmer_figures(packing, types, network, film);
    return figures;
}

}  // namespace mildway::box
