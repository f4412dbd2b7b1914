#include "mildway/transit/service.hpp"

#include <algorithm>

namespace mildway::transit {

namespace {

/// However bad the night, some parcels get through; also keeps odds finite.
constexpr double kMostLate = 0.9;

}  // namespace

std::string_view role_name(Role role) {
    switch (role) {
        case Role::origin:
            return "origin";
        case Role::counter:
            return "counter";
        case Role::hub:
            return "hub";
        case Role::destination:
            return "destination";
    }
    return "";
}

const Service& Services::find(const std::string& id) const {
    const auto found = std::find_if(all_.begin(), all_.end(), [&](const Service& s) { return s.id == id; });
    if (found != all_.end()) return *found;
    std::vector<std::string> ids;
    for (const Service& service : all_) ids.push_back(service.id);
    throw UsageError(unknown_name_message("service", id, ids));
}

LateOdds late_odds(const Service& service, Date ship_date) {
    const double late = service.late.one_day + service.late.more_days;
    if (late == 0) return service.late;
    const unsigned weekday = date::weekday(date::sys_days(ship_date)).c_encoding();
    const double odds = service.late_factor_by_weekday[weekday] * late / (1.0 - late);
    const double share = std::min(odds / (1.0 + odds), kMostLate) / late;
    return {share * service.late.one_day, share * service.late.more_days};
}

double carriage_usd(const Service& service, double mass_kg, double volume_m3) {
    const double billed_kg = std::max(mass_kg, volume_m3 * service.price.dimensional_kg_per_m3);
    return service.price.base_usd + service.price.per_kg_usd * billed_kg;
}

}  // namespace mildway::transit
