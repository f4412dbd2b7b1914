// No standard library in here: a function shared with other files must never be compiled for an instruction
// set that the machine may lack. With fused multiply-add (avx2, avx512) the results have the same bits at any
// vector width.
#include "kernel.hpp"

#include "kernel_burning.hpp"
#include "kernel_outside.hpp"

namespace mildway::odds {

namespace {

/// What the animals of a leg, or of a trip, have met.
template <class V>
struct Experience {
    Outside<V> cold;
    Outside<V> warm;
    V coldest;
    V warmest;
};

struct Edges {
    Edge low;
    Edge high;
};

/// Steps in one setting, added to `met`. `temps` and `spare` have room for their points, and for two.
template <class V, int kModes, class F>
MILDWAY_INLINE void run_stretch(const BoxTable& box, const ModeTable& modes, const StepLength<V>& step,
                                const LegInput& input, const Edges& edges, ParcelState<V>& parcel,
                                float* temps, float* spare, Experience<V>& met) {
    const LegRecursion<V> recursion = leg_recursion<V, kModes, F>(box, modes, step);
    const ParcelState<V> before = parcel;
    const AnimalsCurve<V> curve = run_leg<V, kModes, F>(box, modes, recursion, input, parcel, temps);
    const Lie cold_lie = lie_of(edges.low, curve), warm_lie = lie_of(edges.high, curve);
    EndSlopes<V> slopes{};
    if (cold_lie == Lie::across || warm_lie == Lie::across) {
        ParcelState<V> second = before;
        run_leg<V, kModes, F>(box, modes, recursion, {input.ambient, input.power, 1}, second, spare);
        slopes = end_slopes<V, kModes, F>(modes, step.s, input, before, second, parcel);
    }
    const V step_h = step.s * (1.0f / 3600.0f);
    met.cold.add(measure(cold_lie, edges.low, curve, slopes, step_h));
    met.warm.add(measure(warm_lie, edges.high, curve, slopes, step_h));
    met.coldest = smaller(met.coldest, curve.lowest);
    met.warmest = larger(met.warmest, curve.highest);
}

/// The first step of a trip in pieces, for boxes with a coolant: it is put in far colder than what is around
/// it, and the animals' temperature may turn twice within a quarter of an hour.
template <class V, int kModes, class F>
MILDWAY_INLINE void run_first_step(const BoxTable& box, const ModeTable& modes, const StepLength<V>& step,
                                   const LegInput& input, const Edges& edges, ParcelState<V>& parcel,
                                   float* temps, Experience<V>& met) {
    constexpr int kPieces = 4, kPoints = kPieces + 1;
    alignas(64) float ambient[kPoints * kLanes], power[kPoints * kLanes], fine[kPoints * kLanes],
        spare[2 * kLanes];
    Inputs<V> first{}, last{};
    input.read<V, F>(0, first);
    input.read<V, F>(1, last);
    for (int i = 0; i < kPoints; ++i) {
        const float part = static_cast<float>(i) * (1.0f / kPieces);
        store(ambient + i * kLanes, first.ambient + part * (last.ambient - first.ambient));
        if constexpr (F::kWarm) store(power + i * kLanes, first.power + part * (last.power - first.power));
    }
    run_stretch<V, kModes, F>(box, modes, half_of(half_of(step)), {ambient, power, kPieces}, edges, parcel,
                              fine, spare, met);
    store(temps, load<V>(fine));
    store(temps + kLanes, load<V>(fine + kPieces * kLanes));
}

/// One vector's worth of lanes through the whole trip.
template <class V, int kModes, class F>
MILDWAY_INLINE void run_lanes(const BlockExposure& exposure, const BoxTable& box, const float* power_w,
                              SafeBand safe, float* scratch, const BlockOutcome& outcome, int lane) {
    const Edges edges{{safe.low_c, -1.0f}, {safe.high_c, 1.0f}};
    float* temps = (outcome.animals_c == nullptr ? scratch : outcome.animals_c) + lane;
    float* spare = scratch + exposure.longest_leg_points * kLanes + lane;
    LegInput input{exposure.ambient_c + lane, F::kWarm ? power_w + lane : nullptr, 0};
    const V start = load<V>(input.ambient);
    ParcelState<V> parcel{};
    for (int m = 0; m < kModes; ++m) parcel.x[m] = start * box.table[exposure.setting[0]].from_uniform[m];
    if constexpr (F::kCool) {
        parcel.coolant_j = all<V>(box.coolant->start_j);
        parcel.coolant_above_k = all<V>(box.coolant->start_above_k);
    }
    Experience<V> trip{{}, {}, start, start};
    for (int leg = 0; leg < exposure.legs; ++leg) {
        const int setting = exposure.setting[leg];
        if (leg > 0 && setting != exposure.setting[leg - 1]) {
            const int pair = exposure.setting[leg - 1] * box.settings + setting;
            change_setting<V, kModes>(box.transition + pair * kMaxModes * kMaxModes, parcel.x);
        }
        const ModeTable& modes = box.table[setting];
        const V step_s = load<V>(exposure.step_s + leg * kLanes + lane);
        const StepLength<V> step{step_s, 1.0f / step_s, exposure.step_range[2 * leg],
                                 exposure.step_range[2 * leg + 1]};
        input.steps = exposure.steps[leg];
        Experience<V> met{{}, {}, trip.coldest, trip.warmest};
        int done = 0;
        if constexpr (F::kCool) {
            if (leg == 0) {
                run_first_step<V, kModes, F>(box, modes, step, input, edges, parcel, temps, met);
                done = 1;
            }
        }
        if (done < input.steps)
            run_stretch<V, kModes, F>(box, modes, step, input.from<F>(done), edges, parcel,
                                      temps + done * kLanes, spare, met);
        store(outcome.leg_hours_cold + leg * kLanes + lane, met.cold.hours);
        store(outcome.leg_hours_warm + leg * kLanes + lane, met.warm.hours);
        trip.cold.add(met.cold);
        trip.warm.add(met.warm);
        trip.coldest = met.coldest;
        trip.warmest = met.warmest;
        const int points = input.steps + 1;
        input = {input.ambient + points * kLanes, F::kWarm ? input.power + points * kLanes : nullptr, 0};
        if (outcome.animals_c != nullptr) temps += points * kLanes;
    }
    store(outcome.hours_cold + lane, trip.cold.hours);
    store(outcome.hours_warm + lane, trip.warm.hours);
    store(outcome.degree_hours_cold + lane, trip.cold.degree_hours);
    store(outcome.degree_hours_warm + lane, trip.warm.degree_hours);
    store(outcome.coldest_c + lane, trip.coldest);
    store(outcome.warmest_c + lane, trip.warmest);
}

template <class V, int kModes, class F>
MILDWAY_INLINE void run_all_lanes(const BlockExposure& exposure, const BoxTable& box, const float* power_w,
                                  SafeBand safe, float* scratch, const BlockOutcome& outcome) {
    for (int lane = 0; lane < kLanes; lane += kWidth<V>)
        run_lanes<V, kModes, F>(exposure, box, power_w, safe, scratch, outcome, lane);
}

// Each kind of box is a function of its own in each instruction set: together in one they have more loops
// than the compiler allots registers to with care.

#define MILDWAY_INSTRUCTION_SET(Set, Vector, called, ...)                                        \
    struct Set {                                                                                 \
        static constexpr const char* kName = called;                                             \
        template <int kModes, class F>                                                           \
        __VA_ARGS__ static void run(const BlockExposure& exposure, const BoxTable& box,          \
                                    const float* power_w, SafeBand safe, float* scratch,         \
                                    const BlockOutcome& outcome) {                               \
            run_all_lanes<Vector, kModes, F>(exposure, box, power_w, safe, scratch, outcome);    \
        }                                                                                        \
        __VA_ARGS__ static void burn(const BlockExposure& exposure, const BurningTable& warmers, \
                                     float* scratch, const BurningOutcome& outcome) {            \
            burn_all_lanes<Vector>(exposure, warmers, scratch, outcome);                         \
        }                                                                                        \
    }

MILDWAY_INSTRUCTION_SET(Baseline, Floats4, "baseline", );
#if defined(__x86_64__) && defined(__GNUC__) && !defined(__clang__)
MILDWAY_INSTRUCTION_SET(Avx2, Floats8, "avx2", [[gnu::target("avx2,fma")]]);
MILDWAY_INSTRUCTION_SET(Avx512, Floats16, "avx512",
                        [[gnu::target("avx512f,avx512vl,avx512dq,fma,prefer-vector-width=512")]]);
#endif

using Runner = void (*)(const BlockExposure&, const BoxTable&, const float*, SafeBand, float*,
                        const BlockOutcome&);
using Burner = void (*)(const BlockExposure&, const BurningTable&, float*, const BurningOutcome&);

/// One instruction set's functions: by modes, and by what a box has beyond walls and animals.
struct Choice {
    Runner run[4][2][2];  ///< [3, 4, 5 or kMaxModes modes][warmers][coolant]
    Burner burn;
    const char* name;
};

template <class Set, int kModes>
constexpr void enter(Runner (&run)[2][2]) {
    run[0][0] = Set::template run<kModes, Fittings<false, false>>;
    run[0][1] = Set::template run<kModes, Fittings<false, true>>;
    run[1][0] = Set::template run<kModes, Fittings<true, false>>;
    run[1][1] = Set::template run<kModes, Fittings<true, true>>;
}

template <class Set>
Choice functions_of() {
    Choice choice{};
    enter<Set, 3>(choice.run[0]);
    enter<Set, 4>(choice.run[1]);
    enter<Set, 5>(choice.run[2]);
    enter<Set, kMaxModes>(choice.run[3]);
    choice.burn = Set::burn;
    choice.name = Set::kName;
    return choice;
}

Choice choose() {
#if defined(__x86_64__) && defined(__GNUC__) && !defined(__clang__)
    __builtin_cpu_init();
    if (__builtin_cpu_supports("avx512f") && __builtin_cpu_supports("avx512vl") &&
        __builtin_cpu_supports("avx512dq")) {
        return functions_of<Avx512>();
    }
    if (__builtin_cpu_supports("avx2") && __builtin_cpu_supports("fma")) return functions_of<Avx2>();
#endif
    return functions_of<Baseline>();
}

const Choice kChoice = choose();

/// Parcels have three nodes, one more with warmers and one with large animals; spare modes are all zero and
/// do no harm.
int row_of(int modes) {
    return modes <= 3 ? 0 : modes <= 5 ? modes - 3 : 3;
}

}  // namespace

void run_block(const BlockExposure& exposure, const BoxTable& box, const float* power_w, SafeBand safe,
               float* scratch, BlockOutcome& outcome) {
    const Runner run = kChoice.run[row_of(box.modes)][power_w != nullptr][box.coolant != nullptr];
    run(exposure, box, power_w, safe, scratch, outcome);
}

void burn_block(const BlockExposure& exposure, const BurningTable& warmers, float* scratch,
                const BurningOutcome& outcome) {
    kChoice.burn(exposure, warmers, scratch, outcome);
}

const char* kernel_instruction_set() {
    return kChoice.name;
}

}  // namespace mildway::odds
