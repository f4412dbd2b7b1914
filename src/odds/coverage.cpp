#include "coverage.hpp"

#include <fmt/format.h>

namespace mildway::odds {

std::string describe(const UnknownWeather& gap, const World& world) {
    const weather::PlaceOutlook& there = world.outlook(gap.role);
    const auto& zone = find_zone(there.place.zone);
    const Instant last_known = there.outlook.end() - hours(1);
    if (gap.when > last_known) {
        return fmt::format("the forecast for {} ends {}, before the trip does", there.place.name,
                           format_local(zone, last_known));
    }
    if (gap.when < there.outlook.first_hour) {
        return fmt::format("the forecast for {} begins only {}", there.place.name,
                           format_local(zone, there.outlook.first_hour));
    }
    return fmt::format("the forecast for {} has no temperature for {}", there.place.name,
                       format_local(zone, gap.when));
}

}  // namespace mildway::odds
