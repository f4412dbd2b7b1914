#include "mildway/box/packing.hpp"

#include <algorithm>
#include <cmath>

namespace mildway::box {

namespace {

constexpr double kKilojoulesForThreeMolOxygen =
    1648.4;                               // 4 Fe + 3 O2 -> 2 Fe2O3, 2 x -824.2 kJ/mol (textbook enthalpy)
constexpr double kLitresPerMol = 24.465;  // ideal gas at 25 degC, 101.325 kPa
constexpr double kOxygenInAir = 0.2095;   // by volume, dry air
constexpr double kKilojoulesPerWattHour = 3.6;

constexpr double kAirLitresPerWattHour =
    3.0 * kKilojoulesPerWattHour / kKilojoulesForThreeMolOxygen * kLitresPerMol / kOxygenInAir;

std::array<double, 3> wrapped(std::array<double, 3> sides_m, double thickness_m) {
    for (double& side : sides_m) side += 2.0 * thickness_m;
    return sides_m;
}

double volume_m3(const std::array<double, 3>& sides_m) {
    return sides_m[0] * sides_m[1] * sides_m[2];
}

}  // namespace

std::array<double, 3> Packing::outer_m() const {
    return wrapped(inner_m, liner.thickness_m + board.thickness_m);
}

double Packing::outer_volume_m3() const {
    return volume_m3(outer_m());
}

double Packing::empty_mass_kg(int animals, const Warmers& warmers) const {
    const double inside_m3 = volume_m3(inner_m);
    const double within_board_m3 = volume_m3(wrapped(inner_m, liner.thickness_m));
    double mass_kg = liner.material.density_kg_per_m3 * (within_board_m3 - inside_m3) +
                     board.material.density_kg_per_m3 * (outer_volume_m3() - within_board_m3) + fill_kg +
                     animals * cup.mass_kg;
    if (warmer) mass_kg += warmer->count * warmers.at(warmer->type).mass_kg;
    return mass_kg;
}

double Packing::materials_usd(const Warmers& warmers) const {
    return cost_usd + (warmer ? warmer->count * warmers.at(warmer->type).cost_usd : 0.0);
}

int Packing::cups_that_fit() const {
    constexpr double kSlack = 1e-9;  // 2 x 0.11 m must fit into 0.22 m whatever the rounding
    const auto along = [](double room_m, double cup_m) {
        return static_cast<int>(std::floor(room_m / cup_m + kSlack));
    };
    return along(inner_m[0], cup.diameter_m) * along(inner_m[1], cup.diameter_m) *
           along(inner_m[2], cup.height_m);
}

Watts oxygen_limit(double air_exchange_l_per_h) {
    return Watts(air_exchange_l_per_h / kAirLitresPerWattHour);
}

double warmer_power_w(const Packing& packing, const Warmers& warmers, double hours_since_opening) {
    if (!packing.warmer) return 0.0;
    const double wanted_w =
        packing.warmer->count * warmers.at(packing.warmer->type).power_at(hours_since_opening);
    return std::min(wanted_w, oxygen_limit(packing.air_exchange_l_per_h).value());
}

}  // namespace mildway::box
