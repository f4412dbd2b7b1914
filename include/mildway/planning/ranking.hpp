// The order of options, and the words for it.
#pragma once

#include "mildway/planning/plan.hpp"

#include <string>
#include <vector>

namespace mildway::planning {

/// Differences in expected hours up to this, or up to twice their sampling error, count as ties.
inline constexpr double kTieHours = 0.1;

/// Whether `b`, not better than `a`, is as good as `a` for all we can tell: no more than `immaterial` worse,
/// or no more than twice the sampling error of the difference.
[[nodiscard]] bool tied(const odds::Estimate& a, const odds::Estimate& b, double immaterial);

/// Sorts and numbers: by expected hours outside the safe band; among ties by the verdict, then the chance of
/// harm (ties within its sampling error), then cost, then the earlier date. Ties are with the best of their
/// group, so the order does not depend on the order given. Unknown options come last, by date.
/// By cost and loss: by verdict, and within each by cost plus expected loss; nothing is a tie.
void rank(std::vector<Option>& options, RankBy by = RankBy::hours_outside);

/// The leg that adds most to the hours outside; nullptr when nothing is outside or unknown.
[[nodiscard]] const odds::LegShare* worst_leg(const odds::Assessment& assessment);

}  // namespace mildway::planning
