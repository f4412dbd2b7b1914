// Why the ranking is what it is, in sentences.
#pragma once

#include "mildway/planning/plan.hpp"

#include <string>
#include <vector>

namespace mildway::planning {

/// First why the first option beats the second; then which leg of the first carries its risk; then the best
/// single change to it (Plan::changes), or what each of them would mean when none helps. Empty when nothing
/// is known.
[[nodiscard]] std::vector<std::string> explain(const Plan& plan, const Workspace& workspace,
                                               const Stage& stage);

/// "-8 °C" or "18 °F", rounded.
[[nodiscard]] std::string temperature_text(double temp_c, TemperatureScale scale);

/// "0.4 h too cold"; "0 h" when less than a tenth of an hour.
[[nodiscard]] std::string hours_text(const odds::Figures& figures);

/// Where a leg runs, and when on the clock there: "'van' at Duluth MN, 08:15 to 09:50",
/// "'road to hub', El Paso TX to St. Louis MO, 20:30 to 19:00".
[[nodiscard]] std::string leg_text(const transit::Trip& trip, const std::string& leg,
                                   const LaneOutlooks& outlooks);

}  // namespace mildway::planning
