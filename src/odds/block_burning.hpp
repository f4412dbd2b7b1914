// What the warmers give at every point of a block, shared by boxes in which they burn alike.
#pragma once

#include "mildway/odds/box_model.hpp"
#include "mildway/odds/world.hpp"

#include "aligned.hpp"
#include "kernel.hpp"

#include <vector>

namespace mildway::odds {

/// One use's table in hours since packing, as a sum of ramps. A table that starts or ends above zero gets a
/// jump of one minute there.
struct FreeAirTable {
    float at_packing_w;
    float slope_w_per_h;
    std::vector<WarmerRamps::Ramp> ramps;

    /// `scale`: [lane], of all units together. Borrows.
    [[nodiscard]] WarmerRamps view(const float* scale) const {
        return {at_packing_w, slope_w_per_h, ramps.data(), static_cast<int>(ramps.size()), scale};
    }
};
[[nodiscard]] FreeAirTable free_air_table(const box::WarmerType& type, double opened_before_packing_h);

/// Warmers burn alike where uses, air exchange, inner volume and the learnt factor are the same.
class BlockBurning {
public:
    /// Borrows from `world`.
    explicit BlockBurning(const World& world) : world_(&world) {}

    /// `exposure` is borrowed until the next call.
    void start_block(std::uint32_t block, const BlockExposure& exposure);

    /// Power and oxygen share, [point][lane], nullptr without warmers. Valid until the next start_block.
    [[nodiscard]] BurningOutcome outcome(const BoxModel& box);

private:
    struct Use {
        box::WarmerUse use;
        FreeAirTable table;
    };
    struct Series {
        std::vector<Use> uses;
        double air_l_per_h = 0;
        double volume_l = 0;
        double learnt_factor = 1;
        bool current = false;
        AlignedFloats power_w;
        AlignedFloats oxygen_share;
    };
    [[nodiscard]] Series& series_of(const BoxModel& box);
    void burn(Series& series);

    const World* world_;
    std::uint32_t block_ = 0;
    BlockExposure exposure_{};
    std::vector<Series> series_;
    std::vector<AlignedFloats> scales_;  ///< [use][lane]
    AlignedFloats scratch_;
};

}  // namespace mildway::odds
