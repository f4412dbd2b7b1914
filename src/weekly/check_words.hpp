// What a check says of one order.
#pragma once

#include "mildway/weekly/check.hpp"

#include <string>

namespace mildway::weekly {

/// What was known last: by the last check of this choice, or by the choice itself.
struct LastTold {
    Verdict verdict = Verdict::unknown;
    std::optional<double> hours_outside;
    std::optional<Date> better_day;
};

[[nodiscard]] LastTold last_told(const Planned& planned);

/// What changed since; sentences without a full stop at the end, joined by "; ". Empty when nothing did.
[[nodiscard]] std::string what_changed(const Checked& checked, const orders::Choice& choice,
                                       const LastTold& last, const CheckRules& rules);

}  // namespace mildway::weekly
