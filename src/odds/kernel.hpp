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
    float coolant_gain[kMaxModes];
    float offset[kMaxModes];
    float to_animals[kMaxModes];    ///< the animals' row of to_nodes
    float to_cavity[kMaxModes];     ///< and the cavity's; read only with a coolant
    float from_uniform[kMaxModes];  ///< modal amplitudes of 1 degree everywhere
};

/// As box::Coolant.
struct CoolantTable {
    float to_cavity_w_per_k;
    float melts_at_c;
    float latent_j;
    float solid_j_per_k;
    float liquid_j_per_k;
    float start_j;        ///< heat above solid at the melting point
    float start_above_k;  ///< temperature above the melting point
};

/// One box variant in every setting.
struct BoxTable {
    int modes;
    int settings;
    const ModeTable* table;   ///< [setting]
    const float* transition;  ///< [setting before][setting after][kMaxModes * kMaxModes], row = mode after
    const CoolantTable* coolant;  ///< nullptr when there is none
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

/// The table of one use of warmers as a sum of ramps over the hours burnt since packing: no branch per value.
struct WarmerRamps {
    struct Ramp {
        float from_h;         ///< > 0
        float slope_w_per_h;  ///< change of slope there
    };
    float at_packing_w;
    float slope_w_per_h;  ///< at packing
    const Ramp* ramps;
    int count;
    const float* scale;  ///< [lane], output of all its units together relative to the table
};

/// Warmers that share the air of one box (box::Burning).
struct BurningTable {
    const WarmerRamps* uses;
    int count;
    float volume_l;
    float air_l_per_h;
    float air_l_per_watt_hour;  ///< box::air_litres_per_watt_hour
};

/// What burning gives, all [point][lane].
struct BurningOutcome {
    float* power_w;
    float* oxygen_share;
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
    float* animals_c;          ///< [point][lane], the animals on the way; nullptr: not wanted
};

/// Runs one block. `power_w`: [point][lane], nullptr when the box has no warmers. `scratch` holds at least
/// 2 * longest_leg_points * kLanes floats, aligned to 64 bytes, as are all arrays above. The parcel starts at
/// the first ambient point throughout, but for the coolant.
void run_block(const BlockExposure& exposure, const BoxTable& box, const float* power_w, SafeBand safe,
               float* scratch, BlockOutcome& outcome);

/// The warmers' output through one block, by (K4) of docs/model.md. Between two points the power is taken to
/// run straight; it is laid so that every leg gets the heat that is burnt in it. `scratch` as above.
void burn_block(const BlockExposure& exposure, const BurningTable& warmers, float* scratch,
                const BurningOutcome& outcome);

/// "avx512", "avx2" or "baseline": the one that run_block uses here.
[[nodiscard]] const char* kernel_instruction_set();

}  // namespace mildway::odds
