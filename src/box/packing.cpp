#include "mildway/box/packing.hpp"

#include <algorithm>
#include <cmath>

namespace mildway::box {

namespace {

std::array<double, 3> wrapped(std::array<double, 3> sides_m, double thickness_m) {
    for (double& side : sides_m) side += 2.0 * thickness_m;
    return sides_m;
}

double volume_m3(const std::array<double, 3>& sides_m) {
    return sides_m[0] * sides_m[1] * sides_m[2];
}

int rows_that_fit(double room_m, double cup_m) {
    constexpr double kSlack = 1e-9;  // 2 x 0.11 m must fit into 0.22 m whatever the rounding
    return static_cast<int>(std::floor(room_m / cup_m + kSlack));
}

}  // namespace

std::array<double, 3> Packing::outer_m() const {
    return wrapped(inner_m, wall_m());
}

double Packing::outer_volume_m3() const {
    return volume_m3(outer_m());
}

std::array<double, 3> Packing::around_liner_m() const {
    return wrapped(inner_m, liner.thickness_m);
}

double Packing::liner_kg() const {
    return liner.material.density_kg_per_m3 * (volume_m3(around_liner_m()) - inner_volume_m3());
}

double Packing::board_kg() const {
    return board.material.density_kg_per_m3 * (outer_volume_m3() - volume_m3(around_liner_m()));
}

double Packing::inner_volume_m3() const {
    return volume_m3(inner_m);
}

double Packing::air_exchange_l_per_h() const {
    if (learnt.air_exchange_l_per_h) return *learnt.air_exchange_l_per_h;
    return seams_l_per_h + vent_exchange_l_per_h(vents, wall_m(), inner_m[2], kVentDifference);
}

int Packing::warmer_count() const {
    int count = 0;
    for (const WarmerUse& use : warmers) count += use.count;
    return count;
}

double Packing::empty_mass_kg(int animals, const Warmers& types) const {
    double mass_kg = liner_kg() + board_kg() + fill_kg + animals * cup.mass_kg;
    for (const WarmerUse& use : warmers) mass_kg += use.count * types.at(use.type).mass_kg;
    if (coolant) mass_kg += coolant->count * coolant->type.mass_kg;
    return mass_kg;
}

double Packing::materials_usd(const Warmers& types) const {
    double usd = cost_usd;
    for (const WarmerUse& use : warmers) usd += use.count * types.at(use.type).cost_usd;
    if (coolant) usd += coolant->count * coolant->type.cost_usd;
    return usd;
}

int Packing::cups_in_a_layer() const {
    return rows_that_fit(inner_m[0], cup.diameter_m) * rows_that_fit(inner_m[1], cup.diameter_m);
}

double Packing::clearance_m(int cups) const {
    const int layers = (cups - 1) / std::max(1, cups_in_a_layer()) + 1;
    double widest_m = inner_m[2] - layers * cup.height_m;
    if (layers > 1) return widest_m;
    for (std::size_t side = 0; side < 2; ++side) {
        const int across = std::max(1, rows_that_fit(inner_m[1 - side], cup.diameter_m));
        const int rows = (cups - 1) / across + 1;
        widest_m = std::max(widest_m, inner_m[side] - rows * cup.diameter_m);
    }
    return widest_m;
}

int Packing::cups_that_fit() const {
    return cups_in_a_layer() * rows_that_fit(inner_m[2], cup.height_m);
}

}  // namespace mildway::box
