// How fast the animals warm or cool at the ends of a leg, for kernel.cpp alone.
#pragma once

#include "kernel_leg.hpp"

namespace mildway::odds {

/// The animals' slope, K for each step, where differences between points would miss the jump of the
/// surroundings at the start of a leg.
template <class V>
struct EndSlopes {
    V first;
    V second;
    V last;
};

/// `x` are modal amplitudes under `inputs`.
template <class V, int kModes, class F>
MILDWAY_INLINE V slope_of(const ModeTable& modes, V step_s, const V* x, const Inputs<V>& inputs) {
    V slope{};
    for (int m = 0; m < kModes; ++m) {
        const V rise = combine<V, F>(gains_of(modes, m), inputs) + modes.offset[m] - x[m];
        slope += rise * (modes.to_animals[m] * modes.rate_per_s[m]);
    }
    return slope * step_s;
}

/// `second`: one step after `before`.
template <class V, int kModes, class F>
MILDWAY_INLINE EndSlopes<V> end_slopes(const ModeTable& modes, V step_s, const LegInput& input,
                                       const ParcelState<V>& before, const ParcelState<V>& second,
                                       const ParcelState<V>& after) {
    const auto slope = [&](const ParcelState<V>& parcel, int k) {
        Inputs<V> inputs{};
        input.read<V, F>(k, inputs);
        inputs.above = parcel.coolant_above_k;
        return slope_of<V, kModes, F>(modes, step_s, parcel.x, inputs);
    };
    return {slope(before, 0), slope(second, 1), slope(after, input.steps)};
}

}  // namespace mildway::odds
