// Weights of exact steps, for kernel.cpp alone.
#pragma once

#include "kernel_lanes.hpp"

namespace mildway::odds {

/// One exact step of a mode, x1 = left * x0 + early * g0 + late * g1, for rate times step length z, with the
/// phi functions behind it (box::decay): early = z (mean - ramp), late = z ramp.
template <class V>
struct StepWeights {
    V left;
    V early;
    V late;
    V mean;
    V ramp;
};

/// phi2(z) = (1 - (1 - e^-z)/z)/z by its series; error below 3e-8 for 0 <= z <= 1.
template <class V>
MILDWAY_INLINE V phi2_series(V z) {
    V sum = z * (1.0f / 3628800.0f) - (1.0f / 362880.0f);
    sum = sum * z + (1.0f / 40320.0f);
    sum = sum * z - (1.0f / 5040.0f);
    sum = sum * z + (1.0f / 720.0f);
    sum = sum * z - (1.0f / 120.0f);
    sum = sum * z + (1.0f / 24.0f);
    sum = sum * z - (1.0f / 6.0f);
    return sum * z + 0.5f;
}

template <class V>
MILDWAY_INLINE StepWeights<V> short_step(V z) {
    const V phi2 = phi2_series(z);
    const V phi1 = 1.0f - z * phi2;
    return {1.0f - z * phi1, z * (phi1 - phi2), z * phi2, phi1, phi2};
}

/// e^-z as the sixteenth power of e^-(z/16). Beyond z = 40 nothing is left to single precision. Below z = 1/4
/// the differences lose too many digits.
template <class V>
MILDWAY_INLINE StepWeights<V> long_step(V z, V one_over_z) {
    const V sixteenth = smaller(z, all<V>(40.0f)) * 0.0625f;
    V left = 1.0f - sixteenth * (1.0f - sixteenth * phi2_series(sixteenth));
    for (int i = 0; i < 4; ++i) left *= left;
    const V phi1 = (1.0f - left) * one_over_z;
    return {left, phi1 - left, 1.0f - phi1, phi1, (1.0f - phi1) * one_over_z};
}

/// The lengths of a leg's steps, each lane its own.
template <class V>
struct StepLength {
    V s;
    V per_s;  ///< 1/s
    float shortest_s;
    float longest_s;
};

template <class V>
MILDWAY_INLINE StepLength<V> half_of(const StepLength<V>& step) {
    return {0.5f * step.s, 2.0f * step.per_s, 0.5f * step.shortest_s, 0.5f * step.longest_s};
}

template <class V>
MILDWAY_INLINE StepWeights<V> step_weights(float rate, float time_constant, const StepLength<V>& step) {
    const V z = step.s * rate;
    if (rate * step.longest_s <= 1.0f) return short_step(z);
    const V one_over_z = step.per_s * time_constant;
    if (rate * step.shortest_s >= 0.25f) return long_step(z, one_over_z);
    const StepWeights<V> a = short_step(z);
    const StepWeights<V> b = long_step(z, one_over_z);
    const auto is_short = z <= 1.0f;
    return {is_short ? a.left : b.left, is_short ? a.early : b.early, is_short ? a.late : b.late,
            is_short ? a.mean : b.mean, is_short ? a.ramp : b.ramp};
}

}  // namespace mildway::odds
