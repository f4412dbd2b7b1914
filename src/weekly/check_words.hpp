// What a check says of one order.
#pragma once

#include "mildway/weekly/check.hpp"

#include <string>

namespace mildway::weekly {

/// What was known last: by the last check of this choice, or by the choice itself.
struct LastTold {
    Verdict verdict = Verdict::unknown;
    std::optional<double> chance_outside;
    std::optional<double> chance_harm;
    std::optional<double> told_hours;  ///< outside, when it was told last
    std::string trouble;
    std::optional<Date> better_day;
    std::string better_service;
    std::string better_packing;
    double better_by_hours = 0;
};

[[nodiscard]] LastTold last_told(const Planned& planned);

/// What decides whether something is news.
struct TellingRules {
    const planning::VerdictRules& verdicts;
    const CheckRules& check;
    Date today;
};

/// Writes what changed since into `checked.found`: the sentence (clauses without a full stop, joined by "; ";
/// empty when nothing did), and the hours that are told by now.
void tell_changes(Checked& checked, const Planned& planned, const TellingRules& rules);

}  // namespace mildway::weekly
