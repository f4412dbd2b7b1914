#include "mildway/box/animals.hpp"

#include "mildway/box/films.hpp"

#include "typical_inside.hpp"

#include <cmath>

#include <fmt/format.h>

namespace mildway::box {

namespace {

// m2/kg^(2/3): a 40 g iguana has 0.014 m2 (Porter et al. 1973).
constexpr double kAnimalSurface = 0.12;
constexpr double kAnimalKgPerM3 = 1000;       // animals float or nearly
constexpr double kFleshConductivity = 0.502;  // W/(m K), Porter et al. 1973
// W/(m2 K), still air, radiation and contact in a cup: judgement. Porter et al. give 8.4 + 4.8 in a draught
// of 0.45 m/s.
constexpr double kAnimalFilm = 10.0;
// J/s for each mL/h of oxygen: 20.1 J/mL.
constexpr double kWattsPerMillilitreHour = 20.1 / 3600.0;
// Where the film round a cup is taken: the difference is what the heat of an animal and its lag make.
constexpr Kelvins kAirToCup{1.0};

/// How an animal's surface, and its length V/A, follow from its mass.
struct Body {
    double surface_m2;
    double length_m;
};

Body body_of(double mass_kg) {
    const double surface_m2 = kAnimalSurface * std::cbrt(mass_kg * mass_kg);
    return {surface_m2, mass_kg / kAnimalKgPerM3 / surface_m2};
}

}  // namespace

std::string why_no_room(const Packing& packing, const Contents& contents) {
    const int room = packing.cups_that_fit();
    if (room < contents.count)
        return fmt::format("{}: room for {} cups, not {}", packing.label, room, contents.count);
    const double cup_m3 = packing.cup.volume_m3();
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
    return in_series(WattsPerKelvin(kAnimalFilm * body_of(mass_kg).surface_m2),
                     conductance(inside_film(kTypicalInside, kAirToCup), cup.surface_m2()));
}

double animal_biot(double mass_kg) {
    return kAnimalFilm * body_of(mass_kg).length_m / kFleshConductivity;
}

FleshConductance flesh_conductance(double mass_kg) {
    // A sphere that warms evenly is parabolic within, T = T_s - rate (R^2 - r^2) / (6 alpha), with R = 3 V/A.
    // In units of rate R^2 / alpha its outer half (by mass) is 0.02966 below the surface on average, the
    // inner half 0.07401 below the outer.
    constexpr double kRindBelowSurface = 0.02966, kCoreBelowRind = 0.07401;
    const Body body = body_of(mass_kg);
    const double unit_w_per_k = kFleshConductivity * body.surface_m2 / (9 * body.length_m);
    return {WattsPerKelvin(unit_w_per_k / (2 * kCoreBelowRind)),
            WattsPerKelvin(unit_w_per_k / kRindBelowSurface)};
}

}  // namespace mildway::box
