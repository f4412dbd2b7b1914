#pragma once

#include "exposure.hpp"

#include <string>

namespace mildway::odds {

/// "the forecast for Duluth MN ends Mon 8 Mar 18:00, before the trip does".
[[nodiscard]] std::string describe(const UnknownWeather& gap, const World& world);

}  // namespace mildway::odds
