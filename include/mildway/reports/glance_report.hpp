// The weather at one place: as a table, as JSON, as a drawing.
#pragma once

#include "mildway/planning/workspace.hpp"
#include "mildway/weather/glance.hpp"

#include <string>

namespace mildway::reports {

inline constexpr int kGlanceVersion = 1;

/// At most 80 columns, degrees of the workspace, times on the place's clock.
[[nodiscard]] std::string glance_text(const planning::Workspace& workspace, const weather::Glance& glance);

[[nodiscard]] std::string glance_json(const weather::Glance& glance);

/// A self-contained SVG: the middle and the 5-95 % fan of the temperature, hour by hour.
[[nodiscard]] std::string glance_svg(const planning::Workspace& workspace, const weather::Glance& glance);

}  // namespace mildway::reports
