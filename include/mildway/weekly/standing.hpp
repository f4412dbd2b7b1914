// What is told of a planned order from one morning to the next, without flapping.
#pragma once

#include "mildway/odds/assessment.hpp"
#include "mildway/planning/plan.hpp"
#include "mildway/weekly/check_rules.hpp"

#include <optional>

namespace mildway::weekly {

/// The verdict that is told, from the one told `before` and today's figures: it worsens as soon as today's
/// verdict does, and betters only when the chances are below `settles_at` times the limits. Unknown comes and
/// goes at once.
[[nodiscard]] Verdict standing_verdict(Verdict before, const planning::Option& today,
                                       const planning::VerdictRules& limits, const CheckRules& rules);

/// The verdict of an option that was not told before: by limits that leave `settles_at` of room, so that it
/// does not fall back tomorrow.
[[nodiscard]] Verdict settled_verdict(const planning::Option& option, const planning::VerdictRules& limits,
                                      const CheckRules& rules);

/// Whether a person has to look, for its verdict alone: unsafe, unknown, or worse than it was chosen with.
[[nodiscard]] bool needs_look(Verdict standing, Verdict chosen);

/// Time outside that another option is expected to save, and the sampling error of that difference (of both
/// as if they were drawn apart: too large rather than too small). Empty when either is unknown.
[[nodiscard]] std::optional<odds::Estimate> saved_hours(const planning::Option& planned,
                                                        const planning::Option& other);

/// Whether another day is told, from whether it was told `before`.
[[nodiscard]] bool is_clearly_better(bool before, const odds::Estimate& saved, const CheckRules& rules);

}  // namespace mildway::weekly
