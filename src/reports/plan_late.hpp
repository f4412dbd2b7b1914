// What being late would mean for an option, and long hours in the box.
#pragma once

#include "mildway/planning/plan.hpp"

#include <string>

namespace mildway::reports {

/// How long without water or food, when that is longer than usual on the way as planned.
[[nodiscard]] std::string on_time_cautions(const planning::Plan& plan, const planning::Option& option);

/// How likely it is late, and by what weather; hours and temperatures then; where it waits, when it comes,
/// what has run out by then.
[[nodiscard]] std::string lateness_lines(const planning::Workspace& workspace, const planning::Plan& plan,
                                         const planning::Option& option);

/// "A Thursday parcel that comes a service day late comes on Mon 8 Mar: 3 days later, not 1 (nothing is
/// delivered on Sat 6, Sun 7 Mar)."; empty unless the option is trapped.
[[nodiscard]] std::string trap_sentence(const planning::Option& option);

}  // namespace mildway::reports
