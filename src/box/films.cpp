#include "mildway/box/films.hpp"

#include <cmath>
#include <stdexcept>

#include <fmt/format.h>

namespace mildway::box {

namespace {

constexpr double kStefanBoltzmann = 5.670374419e-8;  // W/(m2 K4), exact in the 2019 SI
constexpr double kZeroCelsius = 273.15;              // K
constexpr double kFoilEmissivity =
    0.10;  // aluminium foil that has been handled, from memory: clean 0.03 to 0.05
constexpr double kPaperEmissivity = 0.90;  // paper, board and foam, long wave: 0.90-0.95, from memory

/// TARP's coefficient of the cube root of the temperature difference. For a level plate its |cos(tilt)| is 1.
double tarp_coefficient(Facing facing) {
    switch (facing) {
        case Facing::enhanced:
            return 9.482 / (7.283 - 1.0);
        case Facing::reduced:
            return 1.810 / (1.382 + 1.0);
        case Facing::vertical:
            break;
    }
    return 1.31;
}

}  // namespace

WattsPerSquareMeterKelvin natural_convection(Kelvins difference, Facing facing) {
    return WattsPerSquareMeterKelvin(tarp_coefficient(facing) * std::cbrt(std::abs(difference.value())));
}

WattsPerSquareMeterKelvin linearised_radiation(Celsius mean, double emissivity) {
    const double kelvin = mean.value() + kZeroCelsius;
    return WattsPerSquareMeterKelvin(emissivity * 4.0 * kStefanBoltzmann * kelvin * kelvin * kelvin);
}

WattsPerSquareMeterKelvin outside_film(double air_speed_m_per_s) {
    const double v = air_speed_m_per_s;
    if (!(v >= 0.0 && v <= 20.0)) {
        throw std::invalid_argument(fmt::format("outside_film: air speed {} m/s is not within 0 to 20", v));
    }
    return WattsPerSquareMeterKelvin(8.23 + 4.0 * v - 0.057 * v * v);
}

WattsPerSquareMeterKelvin inside_film(Celsius mean, Kelvins difference) {
    // One value for all faces: a level one differs from an upright one by -42 % to +15 % in the convective
    // third of the film, and a box has as much top as bottom.
    return natural_convection(difference, Facing::vertical) + linearised_radiation(mean, kPaperEmissivity);
}

WattsPerSquareMeterKelvin reflective_inside_film(Celsius mean, Kelvins difference) {
    return natural_convection(difference, Facing::vertical) + linearised_radiation(mean, kFoilEmissivity);
}

}  // namespace mildway::box
