#include "mildway/weekly/standing.hpp"

#include <algorithm>
#include <cmath>

namespace mildway::weekly {

namespace {

planning::VerdictLimits tightened(const planning::VerdictLimits& limits, double share) {
    return {limits.chance_outside * share, limits.chance_harm * share};
}

}  // namespace

Verdict standing_verdict(Verdict before, const planning::Option& today, const planning::VerdictRules& limits,
                         const CheckRules& rules) {
    const Verdict now = today.verdict;
    if (now == Verdict::unknown || before == Verdict::unknown || now >= before) return now;
    const planning::VerdictRules settled{tightened(limits.comfortable, rules.settles_at),
                                         tightened(limits.tight, rules.settles_at)};
    const Verdict cautious =
        planning::judge(today.assessment, settled, today.basis, today.lateness.winter_unknown);
    return std::min(before, std::max(now, cautious));
}

std::optional<odds::Estimate> saved_hours(const planning::Option& planned, const planning::Option& other) {
    if (!planned.assessment.all || !other.assessment.all) return std::nullopt;
    const odds::Estimate& own = planned.assessment.all->hours_outside;
    const odds::Estimate& theirs = other.assessment.all->hours_outside;
    return odds::Estimate{own.value - theirs.value, std::hypot(own.error, theirs.error)};
}

bool is_clearly_better(bool before, const odds::Estimate& saved, const CheckRules& rules) {
    if (before) return saved.value >= rules.not_better_below_h;
    return saved.value - 2 * saved.error >= rules.better_from_h;
}

}  // namespace mildway::weekly
