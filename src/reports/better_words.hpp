// A better day, or another box on the same day, as a check told it.
#pragma once

#include "mildway/orders/order.hpp"
#include "mildway/planning/workspace.hpp"

#include <string>

namespace mildway::reports {

/// "Thu 4 Mar", "another box on the same day". `found` has a better day.
[[nodiscard]] std::string better_day_words(const orders::Reassessment& found, const orders::Choice& choice);

/// The same with how, as far as it is known: "Thu 4 Mar by Night in 38 mm + 40 h warmer".
[[nodiscard]] std::string better_words(const orders::Reassessment& found, const orders::Choice& choice,
                                       const planning::Workspace& workspace);

}  // namespace mildway::reports
