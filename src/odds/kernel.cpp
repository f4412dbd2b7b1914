// No standard library in here: a function shared with other files must never be compiled for an instruction
// set that the machine may lack. With fused multiply-add (avx2, avx512) the results have the same bits at any
// vector width.
#include "kernel.hpp"

#include "kernel_outside.hpp"

namespace mildway::odds {

namespace {

/// One vector's worth of lanes through the whole trip.
template <class V, int kModes, bool kWarm>
MILDWAY_INLINE void run_lanes(const BlockExposure& exposure, const BoxTable& box, const BlockWarmers& warmers,
                              SafeBand safe, float* scratch, const BlockOutcome& outcome, int lane) {
    const float* ambient = exposure.ambient_c + lane;
    const float* power = kWarm ? warmers.unit_power_w + lane : nullptr;
    const V scale = kWarm ? load<V>(warmers.scale + lane) : V{};
    const Edge low{safe.low_c, -1.0f}, high{safe.high_c, 1.0f};

    V x[kMaxModes];
    const V start = load<V>(ambient);
    for (int m = 0; m < kModes; ++m) x[m] = start * box.table[exposure.setting[0]].from_uniform[m];
    Outside<V> cold{}, warm{};
    V coldest = start, warmest = start;
    for (int leg = 0; leg < exposure.legs; ++leg) {
        const int setting = exposure.setting[leg];
        if (leg > 0 && setting != exposure.setting[leg - 1]) {
            const int pair = exposure.setting[leg - 1] * box.settings + setting;
            change_setting<V, kModes>(box.transition + pair * kMaxModes * kMaxModes, x);
        }
        const int steps = exposure.steps[leg];
        const V step_s = load<V>(exposure.step_s + leg * kLanes + lane);
        const StepLength<V> step{step_s, 1.0f / step_s, exposure.step_range[2 * leg],
                                 exposure.step_range[2 * leg + 1]};
        const ModeTable& modes = box.table[setting];
        const LegInput<V> input{ambient, power, scale, warmers.limit_w, steps};
        const LegRecursion<V> recursion = leg_recursion(modes, kModes, step);
        V x_before[kMaxModes];
        for (int m = 0; m < kModes; ++m) x_before[m] = x[m];
        const AnimalsCurve<V> curve = run_leg<V, kModes, kWarm>(modes, recursion, input, x, scratch + lane);
        const Lie cold_lie = lie_of(low, curve), warm_lie = lie_of(high, curve);
        EndSlopes<V> slopes{};
        if (cold_lie == Lie::across || warm_lie == Lie::across)
            slopes = end_slopes<V, kModes, kWarm>(modes, recursion, input, step_s, x_before, x);
        const V step_h = step_s * (1.0f / 3600.0f);
        const Outside<V> leg_cold = measure(cold_lie, low, curve, slopes, step_h);
        const Outside<V> leg_warm = measure(warm_lie, high, curve, slopes, step_h);
        store(outcome.leg_hours_cold + leg * kLanes + lane, leg_cold.hours);
        store(outcome.leg_hours_warm + leg * kLanes + lane, leg_warm.hours);
        cold = {cold.hours + leg_cold.hours, cold.degree_hours + leg_cold.degree_hours};
        warm = {warm.hours + leg_warm.hours, warm.degree_hours + leg_warm.degree_hours};
        coldest = smaller(coldest, curve.lowest);
        warmest = larger(warmest, curve.highest);
        ambient += (steps + 1) * kLanes;
        if constexpr (kWarm) power += (steps + 1) * kLanes;
    }
    store(outcome.hours_cold + lane, cold.hours);
    store(outcome.hours_warm + lane, warm.hours);
    store(outcome.degree_hours_cold + lane, cold.degree_hours);
    store(outcome.degree_hours_warm + lane, warm.degree_hours);
    store(outcome.coldest_c + lane, coldest);
    store(outcome.warmest_c + lane, warmest);
}

template <class V, int kModes>
MILDWAY_INLINE void run_modes(const BlockExposure& exposure, const BoxTable& box, const BlockWarmers& warmers,
                              SafeBand safe, float* scratch, const BlockOutcome& outcome) {
    for (int lane = 0; lane < kLanes; lane += kWidth<V>) {
        if (warmers.unit_power_w != nullptr) {
            run_lanes<V, kModes, true>(exposure, box, warmers, safe, scratch, outcome, lane);
        } else {
            run_lanes<V, kModes, false>(exposure, box, warmers, safe, scratch, outcome, lane);
        }
    }
}

template <class V>
MILDWAY_INLINE void run(const BlockExposure& exposure, const BoxTable& box, const BlockWarmers& warmers,
                        SafeBand safe, float* scratch, const BlockOutcome& outcome) {
    // parcels have three nodes, four with a warmer; spare modes are all zero and do no harm
    if (box.modes <= 3) return run_modes<V, 3>(exposure, box, warmers, safe, scratch, outcome);
    if (box.modes == 4) return run_modes<V, 4>(exposure, box, warmers, safe, scratch, outcome);
    run_modes<V, kMaxModes>(exposure, box, warmers, safe, scratch, outcome);
}

using Runner = void (*)(const BlockExposure&, const BoxTable&, const BlockWarmers&, SafeBand, float*,
                        const BlockOutcome&);

void run_baseline(const BlockExposure& exposure, const BoxTable& box, const BlockWarmers& warmers,
                  SafeBand safe, float* scratch, const BlockOutcome& outcome) {
    run<Floats4>(exposure, box, warmers, safe, scratch, outcome);
}

struct Choice {
    Runner run;
    const char* name;
};

#if defined(__x86_64__) && defined(__GNUC__) && !defined(__clang__)

[[gnu::target("avx2,fma")]] void run_avx2(const BlockExposure& exposure, const BoxTable& box,
                                          const BlockWarmers& warmers, SafeBand safe, float* scratch,
                                          const BlockOutcome& outcome) {
    run<Floats8>(exposure, box, warmers, safe, scratch, outcome);
}

[[gnu::target("avx512f,avx512vl,avx512dq,fma,prefer-vector-width=512")]] void run_avx512(
    const BlockExposure& exposure, const BoxTable& box, const BlockWarmers& warmers, SafeBand safe,
    float* scratch, const BlockOutcome& outcome) {
    run<Floats16>(exposure, box, warmers, safe, scratch, outcome);
}

Choice choose() {
    __builtin_cpu_init();
    if (__builtin_cpu_supports("avx512f") && __builtin_cpu_supports("avx512vl") &&
        __builtin_cpu_supports("avx512dq")) {
        return {run_avx512, "avx512"};
    }
    if (__builtin_cpu_supports("avx2") && __builtin_cpu_supports("fma")) return {run_avx2, "avx2"};
    return {run_baseline, "baseline"};
}

#else

Choice choose() {
    return {run_baseline, "baseline"};
}

#endif

const Choice kChoice = choose();

}  // namespace

void run_block(const BlockExposure& exposure, const BoxTable& box, const BlockWarmers& warmers, SafeBand safe,
               float* scratch, BlockOutcome& outcome) {
    kChoice.run(exposure, box, warmers, safe, scratch, outcome);
}

const char* kernel_instruction_set() {
    return kChoice.name;
}

}  // namespace mildway::odds
