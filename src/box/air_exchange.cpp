#include "mildway/box/air_exchange.hpp"

#include <cmath>
#include <numbers>

namespace mildway::box {

namespace {

constexpr double kKilojoulesForThreeMolOxygen =
    1648.4;                               // 4 Fe + 3 O2 -> 2 Fe2O3, 2 x -824.2 kJ/mol (textbook enthalpy)
constexpr double kLitresPerMol = 24.465;  // ideal gas at 25 degC, 101.325 kPa
constexpr double kKilojoulesPerWattHour = 3.6;

// Air at 20 degC and sea level, from memory of handbook tables.
constexpr double kDensity_kg_per_m3 = 1.2;
constexpr double kViscosity_pa_s = 1.82e-5;
constexpr double kOxygenDiffusion_m2_per_s = 2.0e-5;
constexpr double kKelvin = 293.15;
constexpr double kGravity = 9.81;  // m/s2
constexpr double kEndLoss = 1.5;   // velocity heads: entrance 0.5, exit 1.0
constexpr double kLitresPerM3 = 1000;
constexpr double kSecondsPerHour = 3600;

/// Speed in a hole, m/s, under a pressure: friction * v + loss * v^2 = pressure. Its mouths add the friction
/// of 3 pi / 16 diameters of length (Sampson 1891; Dagan, Weinbaum and Pfeffer 1982).
double hole_speed(double pressure_pa, double length_m, double diameter_m) {
    const double felt_m = length_m + 3 * std::numbers::pi / 16 * diameter_m;
    const double friction = 32 * kViscosity_pa_s * felt_m / (diameter_m * diameter_m);
    const double loss = kEndLoss * kDensity_kg_per_m3 / 2;
    return 2 * pressure_pa / (friction + std::sqrt(friction * friction + 4 * loss * pressure_pa));
}

}  // namespace

double vent_exchange_l_per_h(const Vents& vents, double wall_thickness_m, double inner_height_m,
                             Kelvins difference) {
    if (vents.count == 0) return 0;
    const double hole_m2 = std::numbers::pi / 4 * vents.diameter_m * vents.diameter_m;
    const double column_pa =
        kDensity_kg_per_m3 * kGravity * (inner_height_m / 2) * std::abs(difference.value()) / kKelvin;
    const double speed = hole_speed(column_pa / 2, wall_thickness_m, vents.diameter_m);
    const double through_m3_per_s = vents.count / 2.0 * hole_m2 * speed;
    // a hole resists by its length and by the air before its two mouths (Rayleigh: D d between half-spaces)
    const double path_m = wall_thickness_m + std::numbers::pi / 4 * vents.diameter_m;
    const double diffused_m3_per_s = vents.count * hole_m2 * kOxygenDiffusion_m2_per_s / path_m;
    return (through_m3_per_s + diffused_m3_per_s) * kLitresPerM3 * kSecondsPerHour;
}

double air_litres_per_watt_hour() {
    return 3.0 * kKilojoulesPerWattHour / kKilojoulesForThreeMolOxygen * kLitresPerMol / kOxygenShareOfAir;
}

Watts oxygen_limit(double air_exchange_l_per_h) {
    return Watts(air_exchange_l_per_h / air_litres_per_watt_hour());
}

}  // namespace mildway::box
