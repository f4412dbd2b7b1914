// Ranking ship dates, services and packings for one order.
#pragma once

#include "mildway/base/verdict.hpp"
#include "mildway/odds/assessment.hpp"
#include "mildway/planning/cost.hpp"
#include "mildway/planning/if_late.hpp"
#include "mildway/planning/stage.hpp"

#include <memory>
#include <string>
#include <string_view>
#include <vector>

namespace mildway::planning {

using mildway::Side;
using mildway::side_name;
using mildway::Verdict;
using mildway::verdict_name;

/// Ship date x service x packing, assessed.
struct Option {
    Date ship_date{};
    const transit::Service* service = nullptr;
    const box::Packing* packing = nullptr;
    transit::Trip trip;  ///< on time
    IfLate if_late;
    odds::Assessment assessment;
    odds::HazardousOdds lateness;  ///< weather that makes the parcel late, and what of it is not known
    weather::Basis basis = weather::Basis::forecast;  ///< of the trip's weather, late arrivals included
    Cost cost;
    /// Value of the animals x chance of harm, USD; empty without a value or without figures. Never a part of
    /// `cost`, nor of the ranking unless asked for.
    std::optional<double> expected_loss_usd;
    Verdict verdict = Verdict::unknown;
    Side side = Side::cold;  ///< of the risk; without any, of the nearer edge of the safe band
    int rank = 0;            ///< 1 is best; unknown ones come last
};

/// The first option with one thing changed.
enum class ChangeKind { day, service, hold, one_warmer_more, one_warmer_less, packing };

[[nodiscard]] std::string_view change_name(ChangeKind kind);  ///< "one warmer more"

struct Change {
    ChangeKind kind = ChangeKind::day;
    Option option;
    /// The recipe, where it is none of the workspace's; `option.packing` points to it.
    std::shared_ptr<const box::Packing> recipe;
};

/// Everything a report may say.
struct Plan {
    PlanRequest request;
    std::vector<Option> options;  ///< best first
    std::vector<ClosedDay> closed;
    std::vector<std::string> left_out;  ///< packings and services that cannot be used, a sentence each
    std::vector<Change> changes;        ///< of one thing in the first option, each assessed
    std::vector<PlaceWeather> weather;
    std::vector<std::string> reasons;    ///< why the first is first, and what would help
    std::vector<care::Advice> cautions;  ///< those of the first option's recipe, then the usual ones
};

/// Chances to words. Where late arrivals are not known, whether snow or ice makes it late is not, or the
/// weather is only the climate's, it is never better than tight.
[[nodiscard]] Verdict judge(const odds::Assessment& assessment, const VerdictRules& rules,
                            weather::Basis basis = weather::Basis::forecast, bool winter_unknown = false);

/// Assesses and ranks every choice. Packings without room for all the animals, and services that are not sold
/// to the destination, are left out. Throws UsageError when that leaves none, or when nothing can be shipped
/// on any of the days; WeatherError when the source has nothing for a place that every trip passes.
[[nodiscard]] Plan make_plan(const Workspace& workspace, const weather::ForecastSource& source,
                             const PlanRequest& request);

}  // namespace mildway::planning
