// A coolant through one step, for kernel.cpp alone: what (K5) of docs/model.md says.
#pragma once

#include "kernel_inputs.hpp"

namespace mildway::odds {

/// Heat into the coolant as sums over modes and inputs, J, for one leg's steps. Over a step in which the
/// coolant ends at its melting point (box::ParcelRun): from modes, from `early` inputs at its start and
/// `late` ones at its end, and a constant; each kelvin above the melting point then takes `back` away again.
/// `half_`: what of it flows in the first half of the step, the coolant's temperature running straight to its
/// end.
template <class V>
struct CoolantRecursion {
    V from_mode[kMaxModes];
    Gains<V> early;
    Gains<V> late;
    V constant;
    V back;
    V per_solid;  ///< K at the end of a step for each J beyond the melting point
    V per_liquid;
    V half_from_mode[kMaxModes];
    Gains<V> half_early;
    Gains<V> half_late;
    V half_constant;
    V bend_mode[kMaxModes];  ///< what a parabola of mean 1 K upon the coolant's straight line adds to the
                             ///< modes
    V bend_heat_j;           ///< and takes from the coolant
};

template <class V, class F>
MILDWAY_INLINE void finish_coolant(CoolantRecursion<V>& into, const CoolantTable& coolant,
                                   const StepLength<V>& step, float cavity_at_rest_c) {
    const V passed = step.s * coolant.to_cavity_w_per_k;
    into.constant = passed * (cavity_at_rest_c - coolant.melts_at_c);
    into.half_constant = 0.5f * into.constant;
    into.back = passed * (0.5f - into.late.above);
    into.early.above -= 0.5f;
    into.half_early.above -= 0.75f;
    into.half_late.above -= 0.25f;
    scale_gains<V, F>(into.early, passed);
    scale_gains<V, F>(into.late, passed);
    scale_gains<V, F>(into.half_early, 0.5f * passed);
    scale_gains<V, F>(into.half_late, 0.5f * passed);
    into.bend_heat_j = passed * (into.bend_heat_j - 1.0f);
    into.per_solid = 1.0f / (into.back + coolant.solid_j_per_k);
    into.per_liquid = 1.0f / (into.back + coolant.liquid_j_per_k);
}

/// One mode's part in what the coolant feels and does.
template <class V, class F>
MILDWAY_INLINE void add_coolant_mode(CoolantRecursion<V>& into, const BoxTable& box, const ModeTable& modes,
                                     int m, const StepLength<V>& step, const StepWeights<V>& w) {
    const StepWeights<V> half = step_weights(modes.rate_per_s[m], modes.time_constant_s[m], half_of(step));
    const Gains<float> gains = gains_of(modes, m);
    const float to_cavity = modes.to_cavity[m];
    const V late = 0.5f - w.ramp;  // mean over the step of an exponential towards a target that runs straight
    const V passed = step.s * box.coolant->to_cavity_w_per_k;
    into.from_mode[m] = w.mean * passed * to_cavity;
    add_gains<V, F>(into.early, (1.0f - w.mean - late + w.mean * w.late) * to_cavity, gains);
    add_gains<V, F>(into.late, late * to_cavity, gains);
    const V half_late = 0.25f - 0.5f * half.ramp;
    into.half_from_mode[m] = half.mean * (0.5f * passed) * to_cavity;
    add_gains<V, F>(into.half_early, (1.0f - half.mean - half_late + half.mean * w.late) * to_cavity, gains);
    add_gains<V, F>(into.half_late, half_late * to_cavity, gains);
    // towards a target 6 t (1 - t): at the end 6 (2 ramp - mean), on the mean 1 - that / z
    const V bend = 6.0f * (2.0f * w.ramp - w.mean);
    into.bend_mode[m] = bend * gains.above;
    into.bend_heat_j += (1.0f - bend * (step.per_s * modes.time_constant_s[m])) * (to_cavity * gains.above);
}

/// A coolant's heat above solid at its melting point, and what that is beyond melting, J: below 0 while
/// solid, 0 while it melts.
template <class V>
MILDWAY_INLINE V beyond_melting(V heat_j, float latent_j) {
    return smaller(heat_j, V{}) + larger(heat_j - latent_j, V{});
}

/// The coolant at the end of a step: heat, and temperature above the melting point.
template <class V>
struct CoolantEnd {
    V heat_j;
    V above_k;
};

template <class V>
MILDWAY_INLINE CoolantEnd<V> end_of(const CoolantRecursion<V>& leg, float latent_j, V unless_it_warms_j) {
    const V above = smaller(unless_it_warms_j, V{}) * leg.per_solid +
                    larger(unless_it_warms_j - latent_j, V{}) * leg.per_liquid;
    return {unless_it_warms_j - leg.back * above, above};
}

/// The way of a coolant's heat through a step: h(t) = from + t flow + t^2 turn, 0 <= t <= 1, reckoned from
/// where it begins or ends to melt.
template <class V>
struct HeatPath {
    V from;
    V flow;
    V turn;

    MILDWAY_INLINE V area(V t) const { return t * (from + t * (0.5f * flow + t * (1.0f / 3.0f) * turn)); }
    /// Where it passes 0, given that its ends lie on either side.
    MILDWAY_INLINE V crossing() const {
        const V size = magnitude(from), down = from > 0.0f ? V{} - flow : flow;
        const V within = flow * flow - 4.0f * turn * from;
        const V t = 2.0f * size / (down + square_root(larger(within, all<V>(1e-12f))) + 1e-6f);
        return smaller(larger(t, V{}), all<V>(1.0f));
    }
};

/// How far the coolant's mean temperature over a step lies from the middle of its ends, K. Between them it
/// bends: `half_j` of heat comes in the first half, and it stands still while it melts.
template <class V>
MILDWAY_INLINE V bend_of(const CoolantTable& coolant, V before_j, V before_above_k, const CoolantEnd<V>& end,
                         V half_j) {
    const V first = beyond_melting(before_j, coolant.latent_j),
            last = beyond_melting(end.heat_j, coolant.latent_j);
    const auto solid = first + last < 0.0f;
    const V edge = solid ? V{} : all<V>(coolant.latent_j);
    const V k_per_j = solid ? all<V>(1.0f / coolant.solid_j_per_k) : all<V>(1.0f / coolant.liquid_j_per_k);
    const V turn = 2.0f * (end.heat_j - before_j) - 4.0f * half_j;
    const HeatPath<V> path{before_j - edge, end.heat_j - before_j - turn, turn};
    const V changes = ((first == 0.0f) ^ (last == 0.0f)) ? all<V>(1.0f) : V{};
    V area = (first == 0.0f) ? V{} : path.area(all<V>(1.0f));
    if (any_above(changes, 0.5f)) {
        const V at = path.crossing();
        const V until = path.area(at);
        const V part = (first == 0.0f) ? path.area(all<V>(1.0f)) - until : until;
        area = changes > 0.5f ? part : area;
    }
    return area * k_per_j - 0.5f * (before_above_k + end.above_k);
}

}  // namespace mildway::odds
