#include "mildway/odds/assess.hpp"

#include "coverage.hpp"
#include "exposure.hpp"
#include "stratum_run.hpp"
#include "tally.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <numeric>
#include <optional>

namespace mildway::odds {

namespace {

struct Stratum {
    const transit::Trip* trip = nullptr;
    int days_late = 0;
    double weight = 0;  ///< chance of it
    double share = 0;   ///< of its wait among all that are as late
    std::uint32_t scenarios = 0;
    std::optional<UnknownWeather> unknown;
    StratumOutcomes outcomes;
};

using Strata = std::vector<Stratum>;

/// The strata that a figure is about.
using Some = std::vector<const Stratum*>;

std::vector<LegShare> leg_shares(const transit::Trip& on_time, const Some& strata, std::size_t box) {
    double total = 0;
    for (const Stratum* stratum : strata) total += stratum->weight;
    std::vector<LegShare> shares;
    for (const transit::Leg& leg : on_time.legs) shares.push_back({std::string(leg.name), 0, 0, 0});
    for (const Stratum* stratum : strata) {
        const Outcomes& outcomes = stratum->outcomes.boxes[box];
        const double each = stratum->weight / total / stratum->scenarios;
        for (std::size_t leg = 0; leg < stratum->trip->legs.size(); ++leg) {
            const auto sum = [&](const std::vector<double>& by_lane) {
                const auto first = by_lane.begin() + static_cast<std::ptrdiff_t>(leg * kBlock);
                return std::accumulate(first, first + kBlock, 0.0);
            };
            LegShare& share = shares[stratum->trip->legs[leg].part];
            const double cold = each * sum(outcomes.leg_hours_cold);
            const double warm = each * sum(outcomes.leg_hours_warm);
            share.hours_cold += cold;
            share.hours_warm += warm;
            if (stratum->days_late > 0) share.hours_late += cold + warm;
        }
    }
    return shares;
}

/// Figures over some strata, each weighed by its chance or, given that it is late, by the share of its wait.
class Over {
public:
    Over(Some strata, double Stratum::*weight) : strata_(std::move(strata)), weight_(weight) {}

    [[nodiscard]] Figures figures(std::size_t box, const care::Species& species) const {
        std::vector<const Outcomes*> outcomes;
        std::vector<double> weights;
        for (const Stratum* stratum : strata_) {
            outcomes.push_back(&stratum->outcomes.boxes[box]);
            weights.push_back(stratum->*weight_);
        }
        return tally(outcomes, weights, species);
    }

    /// Quantiles of what `series` finds in each stratum.
    template <class Series>
    [[nodiscard]] Spread spread(Series series) const {
        std::vector<double> weights;
        std::vector<std::span<const float>> samples;
        for (const Stratum* stratum : strata_) {
            weights.push_back(stratum->*weight_ / stratum->scenarios);
            samples.emplace_back(series(stratum->outcomes));
        }
        return spread_of(samples, weights);
    }

private:
    Some strata_;
    double Stratum::*weight_;
};

/// What is the same for every box.
Assessment common_figures(const TripCases& cases, const Over& all, const std::optional<Over>& one_day_late) {
    Assessment common;
    common.late = cases.odds;
    const auto in_box = [](const StratumOutcomes& outcomes) -> const AlignedFloats& {
        return outcomes.in_box_h;
    };
    common.in_box_h = all.spread(in_box);
    if (one_day_late) common.late_in_box_h = one_day_late->spread(in_box);
    return common;
}

Some known_of(const Strata& strata) {
    Some known;
    for (const Stratum& stratum : strata) {
        if (!stratum.unknown) known.push_back(&stratum);
    }
    return known;
}

/// Empty unless all of it is known.
std::optional<Over> one_day_late_of(const Strata& strata) {
    Some late;
    for (const Stratum& stratum : strata) {
        if (stratum.days_late != 1) continue;
        if (stratum.unknown) return std::nullopt;
        late.push_back(&stratum);
    }
    return Over(std::move(late), &Stratum::share);
}

std::string why_late_is_unknown(const Strata& strata, const World& world) {
    for (const Stratum& stratum : strata) {
        if (stratum.unknown && stratum.weight > 0) return describe(*stratum.unknown, world);
    }
    return "";
}

/// At least one round: the waits of a service share the scenarios of its late arrivals.
std::uint32_t nearest_rounds(double count) {
    return kRound * std::max(1u, static_cast<std::uint32_t>(std::lround(count / kRound)));
}

Strata make_strata(const TripCases& cases, std::uint32_t n) {
    Strata strata;
    strata.push_back({&cases.on_time, 0, cases.odds.on_time(), 1, n, {}, {}});
    const auto add_late = [&](const std::vector<transit::Trip>& trips, int days, double chance,
                              std::uint32_t count) {
        for (std::size_t wait = 0; wait < trips.size(); ++wait) {
            const double share = cases.wait_shares[wait];
            if (share <= 0) continue;
            const std::uint32_t scenarios = std::min(n, nearest_rounds(share * count));
            strata.push_back({&trips[wait], days, chance * share, share, scenarios, {}, {}});
        }
    };
    add_late(cases.one_late, 1, cases.odds.one_day, n / 4);
    add_late(cases.two_late, 2, cases.odds.more_days, n / 8);
    return strata;
}

Assessment unknown(const TripCases& cases, const UnknownWeather& gap, const World& world) {
    Assessment none;
    none.late = cases.odds;
    none.unknown_reason = describe(gap, world);
    return none;
}

}  // namespace

std::vector<Assessment> assess_trip(const TripCases& cases, const World& world,
                                    std::span<const BoxModel> boxes, const care::Species& species) {
    std::vector<Occupied> occupied;
    for (const BoxModel& box : boxes) occupied.push_back({&box, &species});
    return assess_trip(cases, world, occupied);
}

std::vector<Assessment> assess_trip(const TripCases& cases, const World& world,
                                    std::span<const Occupied> boxes) {
    // one round tells most trips without weather apart, before all scenarios are drawn
    const std::uint32_t scenarios = world.handling->scenarios();
    if (const auto gap = Exposure(cases.on_time, world, std::min(kRound, scenarios)).first_unknown())
        return std::vector<Assessment>(boxes.size(), unknown(cases, *gap, world));
    Strata strata = make_strata(cases, scenarios);
    const std::vector<Alike> groups = by_absorptance(boxes);
    for (auto& stratum : strata) {
        const Exposure exposure(*stratum.trip, world, stratum.scenarios);
        stratum.unknown = exposure.first_unknown();
        if (!stratum.unknown) StratumRun(exposure, world, boxes, groups).run(stratum.outcomes);
        if (strata.front().unknown)
            return std::vector<Assessment>(boxes.size(), unknown(cases, *strata.front().unknown, world));
    }
    const Some known = known_of(strata);
    const Over all(known, &Stratum::weight);
    const std::optional<Over> if_late = one_day_late_of(strata);
    Assessment common = common_figures(cases, all, if_late);
    common.late_unknown_reason = why_late_is_unknown(strata, world);
    std::vector<Assessment> assessments(boxes.size(), common);
    for (std::size_t g = 0; g < groups.size(); ++g) {
        const Spread coldest =
            all.spread([&](const StratumOutcomes& o) -> auto& { return o.around[g].coldest_c; });
        const Spread warmest =
            all.spread([&](const StratumOutcomes& o) -> auto& { return o.around[g].warmest_c; });
        for (const std::size_t i : groups[g].boxes) {
            assessments[i].all = all.figures(i, *boxes[i].species);
            assessments[i].legs = leg_shares(cases.on_time, known, i);
            if (if_late) assessments[i].if_late_one_day = if_late->figures(i, *boxes[i].species);
            assessments[i].around_coldest_c = coldest;
            assessments[i].around_warmest_c = warmest;
        }
    }
    return assessments;
}

}  // namespace mildway::odds
