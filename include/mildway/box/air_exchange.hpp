// Air that goes in and out of a parcel, and what its oxygen can do.
#pragma once

#include "mildway/base/units.hpp"

namespace mildway::box {

/// Oxygen in dry air, by volume.
inline constexpr double kOxygenShareOfAir = 0.2095;

/// Round holes through the wall, half of them low and half of them high.
struct Vents {
    int count = 0;
    double diameter_m = 0;
};

/// The difference between inside and outside at which vents are reckoned: what a warmer keeps up
/// (judgement). The flow grows about in proportion to it.
inline constexpr Kelvins kVentDifference{5.0};

/// Air through vents, L/h. Warm air rises: the pressure of a column of half the inner height drives air in
/// through the low holes and out through the high ones, against laminar friction in the holes
/// (Hagen-Poiseuille) and the loss of 1.5 velocity heads at their ends; molecular diffusion is added.
[[nodiscard]] double vent_exchange_l_per_h(const Vents& vents, double wall_thickness_m, double inner_height_m,
                                           Kelvins difference);

/// L of air whose oxygen iron needs to give one watt for an hour: 4 Fe + 3 O2 -> 2 Fe2O3, -1648.4 kJ; 24.47
/// L/mol at 25 degC; 20.95 % O2. About 0.77.
[[nodiscard]] double air_litres_per_watt_hour();

/// The most heat iron can give on this fresh air. An upper bound: it leaves no oxygen in the box.
[[nodiscard]] Watts oxygen_limit(double air_exchange_l_per_h);

}  // namespace mildway::box
