// Warmers that share the oxygen of a box, for kernel.cpp alone.
#pragma once

#include "kernel_lanes.hpp"

namespace mildway::odds {

/// Through the first hours, while tables rise and oxygen falls, steps are cut into pieces of at most this.
inline constexpr float kEarlyPiece_s = 300;
inline constexpr float kEarly_s = 3 * 3600;

/// Oxygen share and hours burnt (box::Burning), and what the last piece of a step ran on.
template <class V>
struct Fire {
    V oxygen_share;
    V burnt_h;
    V expected_h;  ///< burnt_h, as foreseen one piece before: the tables need not wait for this piece's share
    V expected_share;
    V free_air_w;  ///< the tables at the middle of the last piece
};

template <class V>
MILDWAY_INLINE V free_air_power(const BurningTable& warmers, int lane, V burnt_h) {
    V power{};
    for (int i = 0; i < warmers.count; ++i) {
        const WarmerRamps& use = warmers.uses[i];
        V one = burnt_h * use.slope_w_per_h + use.at_packing_w;
        for (int r = 0; r < use.count; ++r)
            one += larger(burnt_h - use.ramps[r].from_h, V{}) * use.ramps[r].slope_w_per_h;
        power += load<V>(use.scale + lane) * one;
    }
    return larger(power, V{});
}

/// A step's length as the oxygen feels it.
template <class V>
struct AirStep {
    V h;
    V fresh;     ///< air exchanges in a step
    V per_watt;  ///< air's worth of oxygen that a watt takes in a step, in volumes of the box
};

template <class V>
MILDWAY_INLINE AirStep<V> air_step(const BurningTable& warmers, V h) {
    const V per_litre = h * (1.0f / warmers.volume_l);
    return {h, per_litre * warmers.air_l_per_h, per_litre * warmers.air_l_per_watt_hour};
}

/// One piece of a step, by the (2,2) Pade approximant of its exponential: stable for every z, and where z is
/// large the share sits at its settled value already. Gives the mean power, W.
template <class V>
MILDWAY_INLINE V burn_piece(const BurningTable& warmers, int lane, const AirStep<V>& step, Fire<V>& fire) {
    const V before = fire.oxygen_share;
    fire.free_air_w = free_air_power(warmers, lane, fire.expected_h + fire.expected_share * step.h * 0.5f);
    fire.expected_h = fire.burnt_h + before * step.h;
    fire.expected_share = before;
    const V z = fire.free_air_w * step.per_watt + step.fresh;
    const V half = z * (1.0f / 12.0f) + 0.5f;
    const V mean = 1.0f / (z * half + 1.0f);
    const V mean_share = mean * (before + step.fresh * half);
    fire.burnt_h += step.h * mean_share;
    fire.oxygen_share = before + mean * (step.fresh - z * before);
    return fire.free_air_w * mean_share;
}

/// One step. Gives its mean power, and in `at_start` the tables at its start: half-way between the middles of
/// the pieces on either side.
template <class V>
MILDWAY_INLINE V burn_step(const BurningTable& warmers, int lane, const AirStep<V>& piece, int pieces,
                           Fire<V>& fire, V& at_start) {
    const V before = fire.free_air_w;
    V sum = burn_piece(warmers, lane, piece, fire);
    at_start = 0.5f * (before + fire.free_air_w);
    for (int i = 1; i < pieces; ++i) sum += burn_piece(warmers, lane, piece, fire);
    return sum * (1.0f / static_cast<float>(pieces));
}

/// Moves the points of a leg so that straight lines between them hold the heat of `means` (of each step):
/// what a step lacks is shared by its two ends.
template <class V>
MILDWAY_INLINE void lay_through_means(const float* means, int steps, float* power) {
    V here = load<V>(power), lacks{};
    for (int k = 0; k < steps; ++k) {
        const V next = load<V>(power + (k + 1) * kLanes);
        const V lacking = load<V>(means + k * kLanes) - 0.5f * (here + next);
        store(power + k * kLanes, larger(here + (k == 0 ? lacking : 0.5f * (lacks + lacking)), V{}));
        here = next;
        lacks = lacking;
    }
    store(power + steps * kLanes, larger(here + lacks, V{}));
}

template <class V>
MILDWAY_INLINE void burn_lanes(const BlockExposure& exposure, const BurningTable& warmers, float* scratch,
                               const BurningOutcome& outcome, int lane) {
    Fire<V> fire{all<V>(1.0f), {}, {}, all<V>(1.0f), {}};
    float* power = outcome.power_w + lane;
    float* oxygen = outcome.oxygen_share + lane;
    float* means = scratch + lane;
    float elapsed_s = 0;
    V at_point = free_air_power(warmers, lane, fire.burnt_h);
    for (int leg = 0; leg < exposure.legs; ++leg) {
        const int steps = exposure.steps[leg];
        const V step_h = load<V>(exposure.step_s + leg * kLanes + lane) * (1.0f / 3600.0f);
        const float longest_s = exposure.step_range[2 * leg + 1];
        store(power, fire.oxygen_share * at_point);
        store(oxygen, fire.oxygen_share);
        int cut = 0;
        AirStep<V> piece{};
        for (int k = 0; k < steps; ++k, elapsed_s += longest_s) {
            const int pieces =
                elapsed_s < kEarly_s ? 1 + static_cast<int>(longest_s * (1.0f / kEarlyPiece_s)) : 1;
            if (pieces != cut) piece = air_step(warmers, step_h * (1.0f / static_cast<float>(pieces)));
            cut = pieces;
            const V share = fire.oxygen_share;
            V at_start;
            store(means + k * kLanes, burn_step(warmers, lane, piece, pieces, fire, at_start));
            if (k > 0) store(power + k * kLanes, share * at_start);
            store(oxygen + (k + 1) * kLanes, fire.oxygen_share);
        }
        at_point = free_air_power(warmers, lane, fire.burnt_h);
        store(power + steps * kLanes, fire.oxygen_share * at_point);
        lay_through_means<V>(means, steps, power);
        power += (steps + 1) * kLanes;
        oxygen += (steps + 1) * kLanes;
    }
}

template <class V>
MILDWAY_INLINE void burn_all_lanes(const BlockExposure& exposure, const BurningTable& warmers, float* scratch,
                                   const BurningOutcome& outcome) {
    for (int lane = 0; lane < kLanes; lane += kWidth<V>)
        burn_lanes<V>(exposure, warmers, scratch, outcome, lane);
}

}  // namespace mildway::odds
