// What surrounds a parcel on one trip, in blocks of scenarios.
#pragma once

#include "mildway/odds/world.hpp"
#include "mildway/transit/trip.hpp"

#include "aligned.hpp"
#include "kernel.hpp"

#include <optional>
#include <span>
#include <vector>

namespace mildway::odds {

/// A place and time of the trip at which no forecast says how warm it is.
struct UnknownWeather {
    transit::Role role = transit::Role::origin;
    Instant when;
};

/// Arrays of one block, reused from block to block.
struct BlockArrays {
    AlignedFloats step_s;      ///< [leg][lane]
    AlignedFloats step_range;  ///< [leg][2]
    AlignedFloats ambient_c;   ///< [point][lane]
    AlignedFloats elapsed_s;   ///< [point][lane], since the parcel was packed
    AlignedFloats there_c;     ///< [point of a leg][lane], outside where the leg leads to
};

/// One trip laid out in steps. Nominal step: 15 minutes; see kernel.hpp for why its length varies by
/// scenario.
class Exposure {
public:
    Exposure(const transit::Trip& trip, const World& world, std::uint32_t scenarios);

    [[nodiscard]] std::uint32_t scenarios() const { return scenarios_; }
    [[nodiscard]] std::uint32_t blocks() const { return scenarios_ / kBlock; }
    [[nodiscard]] std::size_t leg_count() const { return steps_.size(); }
    [[nodiscard]] int points() const { return points_; }
    [[nodiscard]] int longest_leg() const { return longest_leg_; }
    [[nodiscard]] const std::vector<int>& steps() const { return steps_; }
    [[nodiscard]] const std::vector<int>& settings() const { return settings_; }
    [[nodiscard]] const transit::Trip& trip() const { return *trip_; }

    /// The first place and time, in the scenario that needs it the longest, that no outlook covers. A setting
    /// with a lag needs the hours that it reaches back to, too, as far as they are sampled.
    [[nodiscard]] std::optional<UnknownWeather> first_unknown() const;

    /// End of a leg in a scenario, seconds since the parcel was packed.
    [[nodiscard]] float leg_end_s(std::size_t leg, std::uint32_t scenario) const {
        return leg_end_s_[leg * scenarios_ + scenario];
    }

    /// Sets all of `arrays` for a parcel whose outside takes up `solar_absorptance` (0 to 1) of the sun on
    /// it.
    void fill(std::uint32_t block, double solar_absorptance, BlockArrays& arrays) const;

    /// Pointers into `arrays`, valid until the next fill.
    [[nodiscard]] BlockExposure view(const BlockArrays& arrays) const;

private:
    void draw_leg_ends();
    void count_steps();
    void find_sun();
    [[nodiscard]] const Surroundings& surroundings() const;
    [[nodiscard]] std::size_t place_of(transit::Role role) const {
        return world_->place_of_role[static_cast<std::size_t>(role)];
    }
    [[nodiscard]] std::optional<UnknownWeather> first_unknown(std::size_t leg) const;
    void fill_air(std::size_t leg, std::uint32_t first, std::size_t first_point, BlockArrays& arrays) const;
    void add_sun_on_box(std::size_t leg, std::uint32_t first, std::size_t first_point,
                        double solar_absorptance, BlockArrays& arrays) const;
    void read_outside(const transit::Leg& leg, std::uint32_t first, std::span<const float> elapsed_s,
                      float* there_c, float* out_c) const;

    const transit::Trip* trip_;
    const World* world_;
    std::uint32_t scenarios_;
    std::vector<int> steps_;         ///< [leg]
    std::vector<int> settings_;      ///< [leg]
    std::vector<float> leg_end_s_;   ///< [leg][scenario]
    std::vector<float> sun_;         ///< [point], share that lifts the air, at the point's typical time
    std::vector<float> sun_on_box_;  ///< [point], share that falls on the parcel, likewise
    int points_ = 0;
    int longest_leg_ = 0;
};

}  // namespace mildway::odds
