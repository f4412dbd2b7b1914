// What draws on the modes of a box, for kernel.cpp alone.
#pragma once

#include "kernel_steps.hpp"

namespace mildway::odds {

/// What a box has beyond walls and animals.
template <bool warm, bool cool>
struct Fittings {
    static constexpr bool kWarm = warm;  ///< warmers
    static constexpr bool kCool = cool;  ///< a coolant
};

/// What draws on the modes: ambient, the warmers' power, and the coolant's temperature above its melting
/// point.
template <class V>
struct Inputs {
    V ambient;
    V power;
    V above;
};

/// One number for each of the inputs.
template <class T>
struct Gains {
    T ambient;
    T power;
    T above;
};

template <class V, class F, class T>
MILDWAY_INLINE V combine(const Gains<T>& gains, const Inputs<V>& inputs) {
    V sum = inputs.ambient * gains.ambient;
    if constexpr (F::kWarm) sum += inputs.power * gains.power;
    if constexpr (F::kCool) sum += inputs.above * gains.above;
    return sum;
}

MILDWAY_INLINE Gains<float> gains_of(const ModeTable& modes, int m) {
    return {modes.ambient_gain[m], modes.power_gain[m], modes.coolant_gain[m]};
}

/// sum += weight * gains
template <class V, class F>
MILDWAY_INLINE void add_gains(Gains<V>& sum, V weight, const Gains<float>& gains) {
    sum.ambient += weight * gains.ambient;
    if constexpr (F::kWarm) sum.power += weight * gains.power;
    if constexpr (F::kCool) sum.above += weight * gains.above;
}

template <class V, class F>
MILDWAY_INLINE void scale_gains(Gains<V>& gains, V factor) {
    gains.ambient *= factor;
    if constexpr (F::kWarm) gains.power *= factor;
    if constexpr (F::kCool) gains.above *= factor;
}

}  // namespace mildway::odds
