// Sun on the outside of a parcel.
#pragma once

#include "mildway/base/units.hpp"

namespace mildway::odds {

/// What the sun on a surface adds to the air temperature that the surface feels: absorptance x sun / film,
/// the sun's term of the sol-air temperature (ASHRAE Handbook of Fundamentals). `absorptance` 0 to 1, `film`
/// > 0, convection and radiation together. The handbook's other term, what a clear sky takes from a level
/// surface (4 K, from memory), is not in it.
[[nodiscard]] constexpr Kelvins sol_air_lift(double absorptance, double sun_w_per_m2,
                                             WattsPerSquareMeterKelvin film) {
    return Kelvins(absorptance * sun_w_per_m2 / film.value());
}

}  // namespace mildway::odds
