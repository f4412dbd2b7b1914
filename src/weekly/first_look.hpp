// What a first look (odds/sketch.hpp) settles of orders.
#pragma once

#include "mildway/planning/lane_options.hpp"

namespace mildway::weekly {

/// Limits of options that are no worse than `worst`.
[[nodiscard]] inline odds::SketchLimits first_look_limits(const planning::VerdictRules& rules,
                                                          Verdict worst) {
    const planning::VerdictLimits& limits = worst == Verdict::comfortable ? rules.comfortable : rules.tight;
    return {limits.chance_outside, limits.chance_harm};
}

[[nodiscard]] inline bool clearly_unsafe(const odds::Sketch& sketch, const planning::VerdictRules& rules) {
    return clearly_beyond(sketch, first_look_limits(rules, Verdict::tight));
}

}  // namespace mildway::weekly
