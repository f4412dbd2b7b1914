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
    return std::min(before, std::max(now, settled_verdict(today, limits, rules)));
}

Verdict settled_verdict(const planning::Option& option, const planning::VerdictRules& limits,
                        const CheckRules& rules) {
    const planning::VerdictRules settled{tightened(limits.comfortable, rules.settles_at),
                                         tightened(limits.tight, rules.settles_at)};
    return planning::judge(option.assessment, settled, option.basis, option.lateness.winter_unknown);
}

bool needs_look(Verdict standing, Verdict chosen) {
    return standing == Verdict::unsafe || standing == Verdict::unknown ||
           (standing == Verdict::tight && chosen == Verdict::comfortable);
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
