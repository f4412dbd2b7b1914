#include "stratum_run.hpp"

#include "mildway/base/wide.hpp"

#include <algorithm>
#include <array>

namespace mildway::odds {

static_assert(kLanes == static_cast<int>(kBlock));
static_assert(kRound == kBlock * BoxModel::kVariants);

namespace {

/// Of each lane over all points, [point][lane].
MILDWAY_WIDE void extremes_of(const float* __restrict ambient_c, int points, float* __restrict coldest_c,
                              float* __restrict warmest_c) {
    std::array<float, kBlock> coldest;
    std::array<float, kBlock> warmest;
    for (std::size_t lane = 0; lane < kBlock; ++lane) coldest[lane] = warmest[lane] = ambient_c[lane];
    for (int point = 1; point < points; ++point) {
        ambient_c += kBlock;
        for (std::size_t lane = 0; lane < kBlock; ++lane) {
            coldest[lane] = std::min(coldest[lane], ambient_c[lane]);
            warmest[lane] = std::max(warmest[lane], ambient_c[lane]);
        }
    }
    std::copy_n(coldest.data(), kBlock, coldest_c);
    std::copy_n(warmest.data(), kBlock, warmest_c);
}

}  // namespace

std::vector<Alike> by_absorptance(std::span<const Occupied> boxes) {
    std::vector<Alike> groups;
    for (std::size_t i = 0; i < boxes.size(); ++i) {
        const double absorptance = boxes[i].box->packing().solar_absorptance;
        auto found = std::find_if(groups.begin(), groups.end(),
                                  [&](const Alike& group) { return group.solar_absorptance == absorptance; });
        if (found == groups.end()) found = groups.insert(groups.end(), {absorptance, {}});
        found->boxes.push_back(i);
    }
    return groups;
}

StratumRun::StratumRun(const Exposure& exposure, const World& world, std::span<const Occupied> boxes,
                       std::span<const Alike> groups)
    : exposure_(&exposure), boxes_(boxes), groups_(groups), burning_(world) {
    scratch_.resize(2 * static_cast<std::size_t>(exposure.longest_leg() + 1) * kBlock);
    legs_.cold.resize(exposure.leg_count() * kBlock);
    legs_.warm.resize(exposure.leg_count() * kBlock);
}

void StratumRun::run(StratumOutcomes& outcomes) {
    prepare_boxes(outcomes);
    const std::size_t last_leg = exposure_->leg_count() - 1;
    outcomes.in_box_h.resize(exposure_->scenarios());
    for (std::uint32_t s = 0; s < exposure_->scenarios(); ++s)
        outcomes.in_box_h[s] = exposure_->leg_end_s(last_leg, s) / 3600.0f;
    outcomes.around.resize(groups_.size());
    for (auto& around : outcomes.around) {
        around.coldest_c.resize(exposure_->scenarios());
        around.warmest_c.resize(exposure_->scenarios());
    }
    run_each(0, exposure_->blocks(), outcomes, [&](std::uint32_t block, std::size_t g) {
        AirAround& around = outcomes.around[g];
        const std::size_t scenario = static_cast<std::size_t>(block) * kBlock;
        extremes_of(arrays_.ambient_c.data(), exposure_->points(), &around.coldest_c[scenario],
                    &around.warmest_c[scenario]);
    });
}

void StratumRun::prepare_boxes(StratumOutcomes& outcomes) const {
    outcomes.boxes.resize(boxes_.size());
    for (const Alike& group : groups_) {
        for (const std::size_t i : group.boxes)
            outcomes.boxes[i].reset(exposure_->scenarios(), exposure_->leg_count());
    }
}

void StratumRun::run_blocks(std::uint32_t first, std::uint32_t last, StratumOutcomes& outcomes) {
    run_each(first, last, outcomes, [](std::uint32_t, std::size_t) {});
}

template <class Also>
void StratumRun::run_each(std::uint32_t first, std::uint32_t last, StratumOutcomes& outcomes, Also also) {
    for (std::uint32_t block = first; block < last; ++block) {
        for (std::size_t g = 0; g < groups_.size(); ++g) {
            exposure_->fill(block, groups_[g].solar_absorptance, arrays_);
            if (g == 0) burning_.start_block(block, exposure_->view(arrays_));
            also(block, g);
            for (const std::size_t i : groups_[g].boxes) run_box(boxes_[i], block, outcomes.boxes[i]);
        }
    }
}

void StratumRun::run_box(const Occupied& occupied, std::uint32_t block, Outcomes& into) {
    const BoxModel& box = *occupied.box;
    const care::Band& band = occupied.species->safe;
    const SafeBand safe{static_cast<float>(band.low_c), static_cast<float>(band.high_c)};
    const std::size_t first = static_cast<std::size_t>(block) * kBlock;
    BlockOutcome outcome{&into.hours_cold[first],
                         &into.hours_warm[first],
                         &into.degree_hours_cold[first],
                         &into.degree_hours_warm[first],
                         &into.coldest_c[first],
                         &into.warmest_c[first],
                         legs_.cold.data(),
                         legs_.warm.data(),
                         nullptr};
    run_block(exposure_->view(arrays_), box.table(variant_of_block(block)), burning_.outcome(box).power_w,
              safe, scratch_.data(), outcome);
    for (std::size_t i = 0; i < into.leg_hours_cold.size(); ++i) {
        into.leg_hours_cold[i] += static_cast<double>(legs_.cold[i]);
        into.leg_hours_warm[i] += static_cast<double>(legs_.warm[i]);
    }
}

}  // namespace mildway::odds
