// One leg of a trip, for kernel.cpp alone: exact steps of all modes, and the animals' temperature on the way.
#pragma once

#include "kernel_lanes.hpp"

namespace mildway::odds {

/// One exact step of a mode, x1 = left * x0 + early * g0 + late * g1, for rate times step length z
/// (box::decay).
template <class V>
struct StepWeights {
    V left;
    V early;
    V late;
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
    return {1.0f - z * phi1, z * (phi1 - phi2), z * phi2};
}

/// e^-z as the sixteenth power of e^-(z/16). Beyond z = 40 nothing is left to single precision. Below z = 1/4
/// the differences lose too many digits.
template <class V>
MILDWAY_INLINE StepWeights<V> long_step(V z, V one_over_z) {
    const V sixteenth = smaller(z, all<V>(40.0f)) * 0.0625f;
    V left = 1.0f - sixteenth * (1.0f - sixteenth * phi2_series(sixteenth));
    for (int i = 0; i < 4; ++i) left *= left;
    const V phi1 = (1.0f - left) * one_over_z;
    return {left, phi1 - left, 1.0f - phi1};
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
MILDWAY_INLINE StepWeights<V> step_weights(float rate, float time_constant, const StepLength<V>& step) {
    const V z = step.s * rate;
    if (rate * step.longest_s <= 1.0f) return short_step(z);
    const V one_over_z = step.per_s * time_constant;
    if (rate * step.shortest_s >= 0.25f) return long_step(z, one_over_z);
    const StepWeights<V> a = short_step(z);
    const StepWeights<V> b = long_step(z, one_over_z);
    const auto is_short = z <= 1.0f;
    return {is_short ? a.left : b.left, is_short ? a.early : b.early, is_short ? a.late : b.late};
}

/// The recursion of one leg. Modal amplitudes are taken from their rest under metabolism alone, x_m -
/// offset_m. With y_m = x_m - late_m g_m the step is y_m <- left_m y_m + (left_m late_m + early_m) g_m, and
/// the animals' temperature is sum_m to_m y_m plus one combination of the inputs, the same for all modes.
template <class V>
struct LegRecursion {
    V left[kMaxModes];
    V late[kMaxModes];
    V from_ambient[kMaxModes];
    V from_power[kMaxModes];
    V output_ambient;
    V output_power;
    float output_constant;
};

template <class V>
MILDWAY_INLINE LegRecursion<V> leg_recursion(const ModeTable& modes, int n, const StepLength<V>& step) {
    LegRecursion<V> leg;  // NOLINT(cppcoreguidelines-pro-type-member-init): entries from n on are never read
    leg.output_ambient = leg.output_power = V{};
    leg.output_constant = 0;
    for (int m = 0; m < n; ++m) {
        const StepWeights<V> w = step_weights(modes.rate_per_s[m], modes.time_constant_s[m], step);
        const V gain = w.left * w.late + w.early;
        leg.left[m] = w.left;
        leg.late[m] = w.late;
        leg.from_ambient[m] = gain * modes.ambient_gain[m];
        leg.from_power[m] = gain * modes.power_gain[m];
        leg.output_ambient += w.late * (modes.to_animals[m] * modes.ambient_gain[m]);
        leg.output_power += w.late * (modes.to_animals[m] * modes.power_gain[m]);
        leg.output_constant += modes.to_animals[m] * modes.offset[m];
    }
    return leg;
}

/// A leg's inputs, as the kernel was given them.
template <class V>
struct LegInput {
    const float* ambient;
    const float* power;
    V power_scale;
    float power_limit;
    int steps;

    MILDWAY_INLINE V ambient_at(int k) const { return load<V>(ambient + k * kLanes); }
    MILDWAY_INLINE V power_at(int k) const {
        return smaller(load<V>(power + k * kLanes) * power_scale, all<V>(power_limit));
    }
};

/// Where the modes are drawn to under these inputs, from their rest under metabolism alone.
template <class V, bool kWarm>
MILDWAY_INLINE V pull(const ModeTable& modes, int m, V ambient, V power) {
    if constexpr (kWarm) return ambient * modes.ambient_gain[m] + power * modes.power_gain[m];
    return ambient * modes.ambient_gain[m];
}

/// The animals in a leg: their temperature at its points, and what can be said of the whole.
template <class V>
struct AnimalsCurve {
    const float* temps;  ///< [point][kLanes]
    int steps;
    V lowest;
    V highest;
    V sum;  ///< over all points but the first
};

/// Steps through a leg, writing the animals' temperature at each point to `temps`. `x` are the modal
/// amplitudes, before and after.
template <class V, int kModes, bool kWarm>
MILDWAY_INLINE AnimalsCurve<V> run_leg(const ModeTable& modes, const LegRecursion<V>& leg,
                                       const LegInput<V>& input, V* x, float* temps) {
    V u = input.ambient_at(0);
    V p = kWarm ? input.power_at(0) : V{};
    V y[kMaxModes];
    for (int m = 0; m < kModes; ++m)
        y[m] = x[m] - modes.offset[m] - leg.late[m] * pull<V, kWarm>(modes, m, u, p);
    AnimalsCurve<V> curve{temps, input.steps, {}, {}, {}};
    for (int k = 0;; ++k) {
        V animals = leg.output_ambient * u + leg.output_constant;
        if constexpr (kWarm) animals += leg.output_power * p;
        for (int m = 0; m < kModes; ++m) animals += y[m] * modes.to_animals[m];
        store(temps + k * kLanes, animals);
        curve.lowest = k == 0 ? animals : smaller(curve.lowest, animals);
        curve.highest = k == 0 ? animals : larger(curve.highest, animals);
        curve.sum = k == 0 ? V{} : curve.sum + animals;
        if (k == input.steps) break;
        for (int m = 0; m < kModes; ++m) {
            V drive = leg.from_ambient[m] * u;
            if constexpr (kWarm) drive += leg.from_power[m] * p;
            y[m] = leg.left[m] * y[m] + drive;
        }
        u = input.ambient_at(k + 1);
        if constexpr (kWarm) p = input.power_at(k + 1);
    }
    for (int m = 0; m < kModes; ++m)
        x[m] = y[m] + modes.offset[m] + leg.late[m] * pull<V, kWarm>(modes, m, u, p);
    return curve;
}

/// The animals' slopes, K for each step, where differences between points would miss the jump of the
/// surroundings at the start of a leg.
template <class V>
struct EndSlopes {
    V first;
    V second;
    V last;
};

template <class V, int kModes, bool kWarm>
MILDWAY_INLINE EndSlopes<V> end_slopes(const ModeTable& modes, const LegRecursion<V>& leg,
                                       const LegInput<V>& input, V step_s, const V* x_before,
                                       const V* x_after) {
    const int k = input.steps;
    const V u0 = input.ambient_at(0), u1 = input.ambient_at(1), u2 = input.ambient_at(k);
    const V p0 = kWarm ? input.power_at(0) : V{}, p1 = kWarm ? input.power_at(1) : V{};
    const V p2 = kWarm ? input.power_at(k) : V{};
    EndSlopes<V> slopes{};
    for (int m = 0; m < kModes; ++m) {
        const V weight = step_s * (modes.to_animals[m] * modes.rate_per_s[m]);
        const V pull0 = pull<V, kWarm>(modes, m, u0, p0), pull1 = pull<V, kWarm>(modes, m, u1, p1);
        const V before = x_before[m] - modes.offset[m];
        V second =
            leg.left[m] * (before - leg.late[m] * pull0) + leg.from_ambient[m] * u0 + leg.late[m] * pull1;
        if constexpr (kWarm) second += leg.from_power[m] * p0;
        slopes.first += weight * (pull0 - before);
        slopes.second += weight * (pull1 - second);
        slopes.last += weight * (pull<V, kWarm>(modes, m, u2, p2) - (x_after[m] - modes.offset[m]));
    }
    return slopes;
}

template <class V, int kModes>
MILDWAY_INLINE void change_setting(const float* matrix, V* x) {
    V after[kMaxModes];
    for (int row = 0; row < kModes; ++row) {
        after[row] = x[0] * matrix[row * kMaxModes];
        for (int m = 1; m < kModes; ++m) after[row] += x[m] * matrix[row * kMaxModes + m];
    }
    for (int m = 0; m < kModes; ++m) x[m] = after[m];
}

}  // namespace mildway::odds
