// The inner loop: one box through one trip in sixteen scenarios at once.
//
// Plain floats in SI, no allocation, no library calls: kernel.cpp compiles this loop for several instruction
// sets and picks one when the program starts. All scenarios of a block share the legs of the trip but not
// their times: every leg has a fixed number of steps, whose length differs from scenario to scenario, so that
// a change of surroundings always falls between two steps and each step can be taken exactly.
#pragma once

#include <cstdint>

namespace mildway::odds {

/// Scenarios in a block.
inline constexpr int kLanes = 16;

/// The most nodes of a network (box::kMaxNodes), and so modes.
inline constexpr int kMaxModes = 8;

/// Modes of one box in one setting; symbols as in box::Modes.
struct ModeTable {
    float rate_per_s[kMaxModes];
    float time_constant_s[kMaxModes];  ///< 1/rate
    float ambient_gain[kMaxModes];
    float power_gain[kMaxModes];
    float offset[kMaxModes];
    float to_animals[kMaxModes];    ///< the animals' row of to_nodes
    float from_uniform[kMaxModes];  ///< modal amplitudes of 1 degree everywhere
};

/// One box variant in every setting.
struct BoxTable {
    int modes;
    int settings;
    const ModeTable* table;   ///< [setting]
    const float* transition;  ///< [setting before][setting after][kMaxModes * kMaxModes], row = mode after
};

/// What surrounds the parcel in one block of scenarios. A leg of k steps has k + 1 points; legs follow one
/// another.
struct BlockExposure {
    int legs;
    int longest_leg_points;   ///< steps of the longest leg, plus one
    const int* steps;         ///< [leg]
    const int* setting;       ///< [leg]
    const float* step_s;      ///< [leg][lane], length of one step
    const float* step_range;  ///< [leg][2], shortest and longest step of the block
    const float* ambient_c;   ///< [point][lane]
};

/// The warmers' output in one block: power = min(unit_power * scale, limit).
struct BlockWarmers {
    const float*
        unit_power_w;    ///< [point][lane], all units of the packing as they should be; nullptr when none
    const float* scale;  ///< [lane]
    float limit_w;       ///< what the air coming in can feed
};

struct SafeBand {
    float low_c;
    float high_c;
};

/// Results of one block. Legs add up to the totals.
struct BlockOutcome {
    float* hours_cold;         ///< [lane]
    float* hours_warm;         ///< [lane]
    float* degree_hours_cold;  ///< [lane], K h below the band
    float* degree_hours_warm;  ///< [lane], K h above the band
    float* coldest_c;          ///< [lane], at the step points
    float* warmest_c;          ///< [lane]
    float* leg_hours_cold;     ///< [leg][lane]
    float* leg_hours_warm;     ///< [leg][lane]
};

/// Runs one block. `scratch` holds at least longest_leg_points * kLanes floats, aligned to 64 bytes, as
/// are all arrays above. The parcel starts at the first ambient point throughout.
void run_block(const BlockExposure& exposure, const BoxTable& box, const BlockWarmers& warmers, SafeBand safe,
               float* scratch, BlockOutcome& outcome);

/// "avx512", "avx2" or "baseline": the one that run_block uses here.
[[nodiscard]] const char* kernel_instruction_set();

}  // namespace mildway::odds
