#include "mildway/odds/assess.hpp"

#include "coverage.hpp"
#include "exposure.hpp"
#include "tally.hpp"
#include "warmer_power.hpp"

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

/// Runs every box through one stratum.
class StratumRun {
public:
    StratumRun(const Exposure& exposure, const World& world, std::span<const BoxModel> boxes, SafeBand safe)
        : exposure_(&exposure), world_(&world), boxes_(boxes), safe_(safe) {
        scratch_.resize(static_cast<std::size_t>(exposure.longest_leg() + 1) * kBlock);
        legs_.cold.resize(exposure.leg_count() * kBlock);
        legs_.warm.resize(exposure.leg_count() * kBlock);
    }

    void run(double weight, std::vector<Outcomes>& outcomes) {
        outcomes.resize(boxes_.size());
        for (auto& box : outcomes) box.reset(weight, exposure_->scenarios(), exposure_->leg_count());
        WarmerPower power(*world_->warmers);
        for (std::uint32_t block = 0; block < exposure_->blocks(); ++block) {
            exposure_->fill(block, arrays_);
            power.start_block(arrays_.elapsed_s);
            for (std::size_t i = 0; i < boxes_.size(); ++i) run_box(boxes_[i], block, power, outcomes[i]);
        }
    }

private:
    void run_box(const BoxModel& box, std::uint32_t block, WarmerPower& power, Outcomes& into) {
        const std::size_t first = static_cast<std::size_t>(block) * kBlock;
        BlockOutcome outcome{&into.hours_cold[first],
                             &into.hours_warm[first],
                             &into.degree_hours_cold[first],
                             &into.degree_hours_warm[first],
                             &into.coldest_c[first],
                             &into.warmest_c[first],
                             legs_.cold.data(),
                             legs_.warm.data()};
        BlockWarmers warmers{nullptr, nullptr, 0};
        if (const auto& use = box.packing().warmer) {
            scale_.assign(kBlock, 0);
            const auto scale = world_->handling->warmer_scale(use->type, use->count);
            std::copy_n(scale.data() + first, kBlock, scale_.begin());
            warmers = {power.unit_power(*use), scale_.data(),
                       static_cast<float>(box::oxygen_limit(box.packing().air_exchange_l_per_h).value())};
        }
        run_block(exposure_->view(arrays_), box.table(variant_of_block(block)), warmers, safe_,
                  scratch_.data(), outcome);
        for (std::size_t i = 0; i < into.leg_hours_cold.size(); ++i) {
            into.leg_hours_cold[i] += static_cast<double>(legs_.cold[i]);
            into.leg_hours_warm[i] += static_cast<double>(legs_.warm[i]);
        }
    }

    const Exposure* exposure_;
    const World* world_;
    std::span<const BoxModel> boxes_;
    SafeBand safe_;
    BlockArrays arrays_;
    AlignedFloats scratch_;
    AlignedFloats scale_;
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
    const transit::Trip* trip;
    double weight;
    std::uint32_t scenarios;
    std::optional<UnknownWeather> unknown;
    std::vector<Outcomes> outcomes;  ///< [box]
};

}  // namespace

std::vector<Assessment> assess_trip(const TripCases& cases, const World& world,
                                    std::span<const BoxModel> boxes, const care::Species& species) {
    const std::uint32_t n = world.handling->scenarios();
    std::array<Stratum, 3> strata{
        {{&cases.on_time, cases.odds.on_time(), n, {}, {}},
         {&cases.one_late, cases.odds.one_day, std::min(n, whole_rounds(n / 4)), {}, {}},
         {&cases.two_late, cases.odds.more_days, std::min(n, whole_rounds(n / 8)), {}, {}}}};
    const SafeBand safe{static_cast<float>(species.safe.low_c), static_cast<float>(species.safe.high_c)};
    for (auto& stratum : strata) {
        const Exposure exposure(*stratum.trip, world, stratum.scenarios);
        stratum.unknown = exposure.first_unknown();
        if (!stratum.unknown) StratumRun(exposure, world, boxes, safe).run(stratum.weight, stratum.outcomes);
        if (strata[0].unknown) break;
    }

    std::vector<Assessment> assessments(boxes.size());
    for (std::size_t i = 0; i < boxes.size(); ++i) {
        Assessment& assessment = assessments[i];
        assessment.late = cases.odds;
        if (strata[0].unknown) {
            assessment.unknown_reason = describe(*strata[0].unknown, world);
            continue;
        }
        std::vector<const Outcomes*> known;
        for (const auto& stratum : strata) {
            if (!stratum.unknown) {
                known.push_back(&stratum.outcomes[i]);
            } else if (stratum.weight > 0 && assessment.late_unknown_reason.empty()) {
                assessment.late_unknown_reason = describe(*stratum.unknown, world);
            }
        }
        assessment.all = tally(known, species);
        assessment.legs = leg_shares(cases.on_time, known);
        if (!strata[1].unknown) {
            strata[1].outcomes[i].weight = 1;  // given that it is late, however unlikely that is
            const std::array<const Outcomes*, 1> late{&strata[1].outcomes[i]};
            assessment.if_late_one_day = tally(late, species);
        }
    }
    return assessments;
}

}  // namespace mildway::odds
