// The linear network taken apart into independent modes, stepped exactly.
#pragma once

#include "mildway/box/network.hpp"

#include <array>
#include <span>

namespace mildway::box {

/// T = to_nodes * x,  dx_m/dt = -rate_m (x_m - ambient_gain_m u - power_gain_m p - coolant_gain_m v -
/// offset_m) with u the ambient temperature (degC), p the warmers' total power (W) and v the coolant's
/// temperature above its melting point (K). n = nodes of the network, rates ascending.
struct Modes {
    std::size_t n = 0;
    std::array<double, kMaxNodes> rate_per_s{};
    std::array<double, kMaxNodes> ambient_gain{};
    std::array<double, kMaxNodes> power_gain{};
    std::array<double, kMaxNodes> coolant_gain{};  ///< all 0 without a coolant
    std::array<double, kMaxNodes> offset{};
    std::array<std::array<double, kMaxNodes>, kMaxNodes> to_nodes{};    ///< [node][mode]
    std::array<std::array<double, kMaxNodes>, kMaxNodes> from_nodes{};  ///< [mode][node]
};

/// Diagonalises C^-1/2 K C^-1/2 (symmetric). Every node must have a way, through links, to ambient.
[[nodiscard]] Modes decompose(const Network& network, WattsPerSquareMeterKelvin film);

/// exp(-z), (1 - exp(-z))/z and (1 - (1 - exp(-z))/z)/z for z >= 0, accurate at small z.
struct Decay {
    double left = 0;  ///< share of the old state that is left after a step
    double mean = 0;  ///< first phi function
    double ramp = 0;  ///< second phi function
};
[[nodiscard]] Decay decay(double z);

using NodeTemps = std::array<double, kMaxNodes>;

/// One exact step of `length_s` under input that runs linearly from (ambient0, power0) to (ambient1, power1).
/// `x` are modal amplitudes (from `to_modes`).
void step(const Modes& modes, NodeTemps& x, double length_s, double ambient0_c, double ambient1_c,
          double power0_w, double power1_w);

[[nodiscard]] NodeTemps to_modes(const Modes& modes, const NodeTemps& temps_c);
[[nodiscard]] NodeTemps to_temps(const Modes& modes, const NodeTemps& x);

/// Temperatures at which nothing changes any more.
[[nodiscard]] NodeTemps steady_temps(const Modes& modes, double ambient_c, double power_w);

}  // namespace mildway::box
