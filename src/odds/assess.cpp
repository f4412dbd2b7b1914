#include "mildway/odds/assess.hpp"

#include "block_burning.hpp"
#include "coverage.hpp"
#include "exposure.hpp"
#include "tally.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <numeric>
#include <optional>

namespace mildway::odds {

static_assert(kLanes == static_cast<int>(kBlock));
static_assert(kRound == kBlock * BoxModel::kVariants);

namespace {

/// One block's hours outside by leg, [leg][lane].
struct LegSums {
    AlignedFloats cold;
    AlignedFloats warm;
};

/// Boxes whose outsides take up the same share of sunlight have the same surroundings.
struct Alike {
    double solar_absorptance;
    std::vector<std::size_t> boxes;
};

std::vector<Alike> by_absorptance(std::span<const BoxModel> boxes) {
    std::vector<Alike> groups;
    for (std::size_t i = 0; i < boxes.size(); ++i) {
        const double absorptance = boxes[i].packing().solar_absorptance;
        auto found = std::find_if(groups.begin(), groups.end(),
                                  [&](const Alike& group) { return group.solar_absorptance == absorptance; });
        if (found == groups.end()) found = groups.insert(groups.end(), {absorptance, {}});
        found->boxes.push_back(i);
    }
    return groups;
}

/// The extremes of the air around a box in each scenario.
struct AirAround {
    AlignedFloats coldest_c;
    AlignedFloats warmest_c;
};

/// Figures of one stratum as they come out of the kernel.
struct StratumOutcomes {
    std::vector<Outcomes> boxes;    ///< [box]
    std::vector<AirAround> around;  ///< [group of boxes]
};

/// Runs every box through one stratum.
class StratumRun {
public:
    StratumRun(const Exposure& exposure, const World& world, std::span<const BoxModel> boxes,
               std::span<const Alike> groups, SafeBand safe)
        : exposure_(&exposure), boxes_(boxes), groups_(groups), safe_(safe), burning_(world) {
        scratch_.resize(2 * static_cast<std::size_t>(exposure.longest_leg() + 1) * kBlock);
        legs_.cold.resize(exposure.leg_count() * kBlock);
        legs_.warm.resize(exposure.leg_count() * kBlock);
    }

    void run(double weight, StratumOutcomes& outcomes) {
        outcomes.boxes.resize(boxes_.size());
        for (auto& box : outcomes.boxes) box.reset(weight, exposure_->scenarios(), exposure_->leg_count());
        outcomes.around.resize(groups_.size());
        for (auto& around : outcomes.around) {
            around.coldest_c.resize(exposure_->scenarios());
            around.warmest_c.resize(exposure_->scenarios());
        }
        for (std::uint32_t block = 0; block < exposure_->blocks(); ++block) {
            for (std::size_t g = 0; g < groups_.size(); ++g) {
                exposure_->fill(block, groups_[g].solar_absorptance, arrays_);
                if (g == 0) burning_.start_block(block, exposure_->view(arrays_));
                find_extremes(block, outcomes.around[g]);
                for (const std::size_t i : groups_[g].boxes) run_box(boxes_[i], block, outcomes.boxes[i]);
            }
        }
    }

private:
    void find_extremes(std::uint32_t block, AirAround& around) const {
        float* __restrict coldest = &around.coldest_c[static_cast<std::size_t>(block) * kBlock];
        float* __restrict warmest = &around.warmest_c[static_cast<std::size_t>(block) * kBlock];
        const float* ambient = arrays_.ambient_c.data();
        std::copy_n(ambient, kBlock, coldest);
        std::copy_n(ambient, kBlock, warmest);
        for (int point = 1; point < exposure_->points(); ++point) {
            ambient += kBlock;
            for (std::size_t lane = 0; lane < kBlock; ++lane) {
                coldest[lane] = std::min(coldest[lane], ambient[lane]);
                warmest[lane] = std::max(warmest[lane], ambient[lane]);
            }
        }
    }

    void run_box(const BoxModel& box, std::uint32_t block, Outcomes& into) {
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
                  safe_, scratch_.data(), outcome);
        for (std::size_t i = 0; i < into.leg_hours_cold.size(); ++i) {
            into.leg_hours_cold[i] += static_cast<double>(legs_.cold[i]);
            into.leg_hours_warm[i] += static_cast<double>(legs_.warm[i]);
        }
    }

    const Exposure* exposure_;
    std::span<const BoxModel> boxes_;
    std::span<const Alike> groups_;
    SafeBand safe_;
    BlockBurning burning_;
    BlockArrays arrays_;
    AlignedFloats scratch_;
    LegSums legs_;
};

std::vector<LegShare> leg_shares(const transit::Trip& trip, std::span<const Outcomes* const> strata) {
    double total = 0;
    for (const Outcomes* stratum : strata) total += stratum->weight;
    std::vector<LegShare> shares;
    for (std::size_t leg = 0; leg < trip.legs.size(); ++leg) {
        LegShare share{trip.legs[leg].name, 0, 0};
        for (const Outcomes* stratum : strata) {
            const double each = stratum->weight / total / stratum->scenarios;
            const auto sum = [&](const std::vector<double>& by_lane) {
                const auto first = by_lane.begin() + static_cast<std::ptrdiff_t>(leg * kBlock);
                return std::accumulate(first, first + kBlock, 0.0);
            };
            share.hours_cold += each * sum(stratum->leg_hours_cold);
            share.hours_warm += each * sum(stratum->leg_hours_warm);
        }
        shares.push_back(std::move(share));
    }
    return shares;
}

struct Stratum {
    const transit::Trip* trip = nullptr;
    double weight = 0;
    std::uint32_t scenarios = 0;
    std::optional<UnknownWeather> unknown;
    StratumOutcomes outcomes;
};

using Strata = std::array<Stratum, 3>;

/// The air around one group of boxes, over all strata that are known.
struct AroundSpreads {
    Spread coldest_c;
    Spread warmest_c;
};

AroundSpreads around_spreads(const Strata& strata, std::size_t group) {
    std::vector<double> weights;
    std::vector<std::span<const float>> coldest, warmest;
    for (const Stratum& stratum : strata) {
        if (stratum.unknown) continue;
        weights.push_back(stratum.weight / stratum.scenarios);
        coldest.emplace_back(stratum.outcomes.around[group].coldest_c);
        warmest.emplace_back(stratum.outcomes.around[group].warmest_c);
    }
    return {spread_of(coldest, weights), spread_of(warmest, weights)};
}

/// One box over all strata that are known; the on-time one is.
Assessment assess_box(const TripCases& cases, const World& world, Strata& strata, std::size_t box,
                      const care::Species& species) {
    Assessment assessment;
    assessment.late = cases.odds;
    std::vector<const Outcomes*> known;
    for (const auto& stratum : strata) {
        if (!stratum.unknown) {
            known.push_back(&stratum.outcomes.boxes[box]);
        } else if (stratum.weight > 0 && assessment.late_unknown_reason.empty()) {
            assessment.late_unknown_reason = describe(*stratum.unknown, world);
        }
    }
    assessment.all = tally(known, species);
    assessment.legs = leg_shares(cases.on_time, known);
    if (!strata[1].unknown) {
        Outcomes& late = strata[1].outcomes.boxes[box];
        late.weight = 1;  // given that it is late, however unlikely that is
        const std::array<const Outcomes*, 1> alone{&late};
        assessment.if_late_one_day = tally(alone, species);
    }
    return assessment;
}

}  // namespace

std::vector<Assessment> assess_trip(const TripCases& cases, const World& world,
                                    std::span<const BoxModel> boxes, const care::Species& species) {
    const std::uint32_t n = world.handling->scenarios();
    Strata strata{{{&cases.on_time, cases.odds.on_time(), n, {}, {}},
                   {&cases.one_late, cases.odds.one_day, std::min(n, whole_rounds(n / 4)), {}, {}},
                   {&cases.two_late, cases.odds.more_days, std::min(n, whole_rounds(n / 8)), {}, {}}}};
    const SafeBand safe{static_cast<float>(species.safe.low_c), static_cast<float>(species.safe.high_c)};
    const std::vector<Alike> groups = by_absorptance(boxes);
    for (auto& stratum : strata) {
        const Exposure exposure(*stratum.trip, world, stratum.scenarios);
        stratum.unknown = exposure.first_unknown();
        if (!stratum.unknown)
            StratumRun(exposure, world, boxes, groups, safe).run(stratum.weight, stratum.outcomes);
        if (strata[0].unknown) break;
    }

    std::vector<Assessment> assessments(boxes.size());
    if (strata[0].unknown) {
        for (Assessment& assessment : assessments) {
            assessment.late = cases.odds;
            assessment.unknown_reason = describe(*strata[0].unknown, world);
        }
        return assessments;
    }
    for (std::size_t g = 0; g < groups.size(); ++g) {
        const AroundSpreads around = around_spreads(strata, g);
        for (const std::size_t i : groups[g].boxes) {
            assessments[i] = assess_box(cases, world, strata, i, species);
            assessments[i].around_coldest_c = around.coldest_c;
            assessments[i].around_warmest_c = around.warmest_c;
        }
    }
    return assessments;
}

}  // namespace mildway::odds
