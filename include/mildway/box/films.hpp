// Heat passing between a surface and the air and walls around it.
#pragma once

#include "mildway/base/units.hpp"

namespace mildway::box {

/// Which way heat tends to rise off a plate in natural convection.
enum class Facing { vertical, enhanced, reduced };

/// Natural convection by the TARP correlations (EnergyPlus Engineering Reference, Walton 1983), `difference`
/// between surface and air, either sign. Level plate for enhanced (heat rises off it) and reduced.
[[nodiscard]] WattsPerSquareMeterKelvin natural_convection(Kelvins difference, Facing facing);

/// Linearised radiation between a surface and its surroundings: emissivity * 4 sigma T^3 at the mean
/// temperature.
[[nodiscard]] WattsPerSquareMeterKelvin linearised_radiation(Celsius mean, double emissivity);

/// Outside film of a parcel, convection and radiation together, by air speed: 8.23 + 4.0 v - 0.057 v^2
/// (EnergyPlus SimpleCombined, medium smooth surface; ASHRAE 1989). 0 <= v <= 20 m/s.
[[nodiscard]] WattsPerSquareMeterKelvin outside_film(double air_speed_m_per_s);

/// Inside film used for the liner's inner face and for cups: natural convection at `difference` plus
/// radiation.
[[nodiscard]] WattsPerSquareMeterKelvin inside_film(Celsius mean, Kelvins difference);

/// The same where clean metal foil faces the cavity: its emissivity in place of paper's.
[[nodiscard]] WattsPerSquareMeterKelvin reflective_inside_film(Celsius mean, Kelvins difference);

}  // namespace mildway::box
