// One leg of a trip, for kernel.cpp alone: exact steps of all modes, and the animals' temperature on the way.
#pragma once

#include "kernel_coolant.hpp"

namespace mildway::odds {

/// The recursion of one leg. Modal amplitudes are taken from their rest under metabolism alone, x_m -
/// offset_m. With y_m = x_m - late_m g_m the step is y_m <- left_m y_m + (left_m late_m + early_m) g_m, and
/// the animals' temperature is sum_m to_m y_m plus one combination of the inputs, the same for all modes.
template <class V>
struct LegRecursion {
    V left[kMaxModes];
    V late[kMaxModes];
    Gains<V> from[kMaxModes];
    Gains<V> output;
    float output_constant;
    CoolantRecursion<V> coolant;
};

template <class V, int kModes, class F>
MILDWAY_INLINE LegRecursion<V> leg_recursion(const BoxTable& box, const ModeTable& modes,
                                             const StepLength<V>& step) {
    LegRecursion<V>
        leg;  // NOLINT(cppcoreguidelines-pro-type-member-init): entries from kModes on are never read
    leg.output = Gains<V>{};
    leg.output_constant = 0;
    leg.coolant.early = leg.coolant.late = leg.coolant.half_early = leg.coolant.half_late = Gains<V>{};
    leg.coolant.bend_heat_j = V{};
    float cavity_at_rest_c = 0;
    for (int m = 0; m < kModes; ++m) {
        const StepWeights<V> w = step_weights(modes.rate_per_s[m], modes.time_constant_s[m], step);
        const Gains<float> gains = gains_of(modes, m);
        leg.left[m] = w.left;
        leg.late[m] = w.late;
        leg.from[m] = Gains<V>{};
        add_gains<V, F>(leg.from[m], w.left * w.late + w.early, gains);
        add_gains<V, F>(leg.output, w.late * modes.to_animals[m], gains);
        leg.output_constant += modes.to_animals[m] * modes.offset[m];
        if constexpr (F::kCool) {
            add_coolant_mode<V, F>(leg.coolant, box, modes, m, step, w);
            cavity_at_rest_c += modes.to_cavity[m] * modes.offset[m];
        }
    }
    if constexpr (F::kCool) finish_coolant<V, F>(leg.coolant, *box.coolant, step, cavity_at_rest_c);
    return leg;
}

/// A leg's inputs, as the kernel was given them.
struct LegInput {
    const float* ambient;
    const float* power;
    int steps;

    template <class V, class F>
    MILDWAY_INLINE void read(int k, Inputs<V>& inputs) const {
        inputs.ambient = load<V>(ambient + k * kLanes);
        if constexpr (F::kWarm) inputs.power = load<V>(power + k * kLanes);
    }

    /// The same from its k-th point on.
    template <class F>
    MILDWAY_INLINE LegInput from(int k) const {
        return {ambient + k * kLanes, F::kWarm ? power + k * kLanes : nullptr, steps - k};
    }
};

/// The parcel where two legs meet.
template <class V>
struct ParcelState {
    V x[kMaxModes];  ///< modal amplitudes
    V coolant_j;     ///< heat above solid at the melting point
    V coolant_above_k;
};

/// The whole state between two points of a leg.
template <class V>
struct StepState {
    V y[kMaxModes];
    Inputs<V> inputs;
    V heat_j;
};

/// One step with a coolant; of `next` the coolant is found, the rest given.
template <class V, int kModes, class F>
MILDWAY_INLINE void make_step(const BoxTable& box, const LegRecursion<V>& leg, Inputs<V> next,
                              StepState<V>& state) {
    const CoolantRecursion<V>& pack = leg.coolant;
    const Inputs<V>& now = state.inputs;
    V heat = pack.constant + now.ambient * pack.early.ambient + next.ambient * pack.late.ambient;
    V half =
        pack.half_constant + now.ambient * pack.half_early.ambient + next.ambient * pack.half_late.ambient;
    if constexpr (F::kWarm) {
        heat += now.power * pack.early.power + next.power * pack.late.power;
        half += now.power * pack.half_early.power + next.power * pack.half_late.power;
    }
    for (int m = 0; m < kModes; ++m) {
        heat += state.y[m] * pack.from_mode[m];
        half += state.y[m] * pack.half_from_mode[m];
    }
    half += now.above * pack.half_early.above;
    const V unless_it_warms = state.heat_j + heat + now.above * pack.early.above;
    const float latent_j = box.coolant->latent_j;
    const CoolantEnd<V> straight = end_of(pack, latent_j, unless_it_warms);
    half += straight.above_k * pack.half_late.above;
    const V bend = bend_of(*box.coolant, state.heat_j, now.above, straight, half);
    const CoolantEnd<V> end = end_of(pack, latent_j, unless_it_warms + pack.bend_heat_j * bend);
    for (int m = 0; m < kModes; ++m)
        state.y[m] = leg.left[m] * state.y[m] + combine<V, F>(leg.from[m], now) + pack.bend_mode[m] * bend;
    next.above = end.above_k;
    state.heat_j = end.heat_j;
    state.inputs = next;
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

/// Amplitudes as a recursion has them, and back.
template <class V, int kModes, class F>
MILDWAY_INLINE void to_recursion(const ModeTable& modes, const LegRecursion<V>& recursion, const V* x,
                                 const Inputs<V>& inputs, V* y) {
    for (int m = 0; m < kModes; ++m)
        y[m] = x[m] - modes.offset[m] - recursion.late[m] * combine<V, F>(gains_of(modes, m), inputs);
}

template <class V, int kModes, class F>
MILDWAY_INLINE void from_recursion(const ModeTable& modes, const LegRecursion<V>& recursion, const V* y,
                                   const Inputs<V>& inputs, V* x) {
    for (int m = 0; m < kModes; ++m)
        x[m] = y[m] + modes.offset[m] + recursion.late[m] * combine<V, F>(gains_of(modes, m), inputs);
}

template <class V, int kModes, class F>
MILDWAY_INLINE V animals_temp(const ModeTable& modes, const LegRecursion<V>& recursion, const V* y,
                              const Inputs<V>& inputs) {
    V animals = combine<V, F>(recursion.output, inputs) + recursion.output_constant;
    for (int m = 0; m < kModes; ++m) animals += y[m] * modes.to_animals[m];
    return animals;
}

/// Notes the animals' temperature at the points of a leg.
template <class V>
class Notes {
public:
    MILDWAY_INLINE Notes(float* temps, V first) : temps_(temps), lowest_(first), highest_(first) {
        store(temps_, first);
    }
    MILDWAY_INLINE void add(V animals) {
        temps_ += kLanes;
        store(temps_, animals);
        lowest_ = smaller(lowest_, animals);
        highest_ = larger(highest_, animals);
        sum_ += animals;
    }
    MILDWAY_INLINE AnimalsCurve<V> curve(int steps) const {
        return {temps_ - steps * kLanes, steps, lowest_, highest_, sum_};
    }

private:
    float* temps_;
    V lowest_;
    V highest_;
    V sum_{};
};

/// Steps through a leg, writing the animals' temperature at each point to `temps`.
template <class V, int kModes, class F>
MILDWAY_INLINE AnimalsCurve<V> run_linear_leg(const ModeTable& modes, const LegRecursion<V>& recursion,
                                              const LegInput& input, V* x, float* temps) {
    Inputs<V> now{};
    input.read<V, F>(0, now);
    V y[kMaxModes];
    to_recursion<V, kModes, F>(modes, recursion, x, now, y);
    Notes<V> notes(temps, animals_temp<V, kModes, F>(modes, recursion, y, now));
    for (int k = 1; k <= input.steps; ++k) {
        for (int m = 0; m < kModes; ++m)
            y[m] = recursion.left[m] * y[m] + combine<V, F>(recursion.from[m], now);
        input.read<V, F>(k, now);
        notes.add(animals_temp<V, kModes, F>(modes, recursion, y, now));
    }
    from_recursion<V, kModes, F>(modes, recursion, y, now, x);
    return notes.curve(input.steps);
}

/// The same with a coolant.
template <class V, int kModes, class F>
MILDWAY_INLINE AnimalsCurve<V> run_cooled_leg(const BoxTable& box, const ModeTable& modes,
                                              const LegRecursion<V>& recursion, const LegInput& input,
                                              ParcelState<V>& parcel, float* temps) {
    StepState<V> state{{}, {}, parcel.coolant_j};
    input.template read<V, F>(0, state.inputs);
    state.inputs.above = parcel.coolant_above_k;
    to_recursion<V, kModes, F>(modes, recursion, parcel.x, state.inputs, state.y);
    Notes<V> notes(temps, animals_temp<V, kModes, F>(modes, recursion, state.y, state.inputs));
    for (int k = 1; k <= input.steps; ++k) {
        Inputs<V> next{};
        input.template read<V, F>(k, next);
        make_step<V, kModes, F>(box, recursion, next, state);
        notes.add(animals_temp<V, kModes, F>(modes, recursion, state.y, state.inputs));
    }
    from_recursion<V, kModes, F>(modes, recursion, state.y, state.inputs, parcel.x);
    parcel.coolant_j = state.heat_j;
    parcel.coolant_above_k = state.inputs.above;
    return notes.curve(input.steps);
}

template <class V, int kModes, class F>
MILDWAY_INLINE AnimalsCurve<V> run_leg(const BoxTable& box, const ModeTable& modes,
                                       const LegRecursion<V>& recursion, const LegInput& input,
                                       ParcelState<V>& parcel, float* temps) {
    if constexpr (F::kCool) return run_cooled_leg<V, kModes, F>(box, modes, recursion, input, parcel, temps);
    return run_linear_leg<V, kModes, F>(modes, recursion, input, parcel.x, temps);
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
