// The animals in a parcel as lumps of heat.
#pragma once

#include "mildway/base/units.hpp"
#include "mildway/box/packing.hpp"

#include <string>

namespace mildway::box {

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

/// Biot number of an animal: film on its surface, V/A, and the conductivity of flesh, 0.502 W/(m K) (Porter
/// et al. 1973). Below 0.1 an animal is one lump (Incropera, section 5.1).
[[nodiscard]] double animal_biot(double mass_kg);

/// Above this Biot number an animal is two lumps (Incropera, section 5.1).
inline constexpr double kLargestLumpBiot = 0.1;

/// Between the mean temperatures of the inner and the outer half (by mass) of an animal, and between the
/// outer half and its surface, for a sphere of the same V/A that warms evenly. W/K.
struct FleshConductance {
    WattsPerKelvin core_to_rind;
    WattsPerKelvin rind_to_surface;
};
[[nodiscard]] FleshConductance flesh_conductance(double mass_kg);

}  // namespace mildway::box
