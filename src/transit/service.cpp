#include "mildway/transit/service.hpp"

#include <algorithm>

namespace mildway::transit {

namespace {

/// Whether a holiday lies between the last day on which the service took parcels in and this one.
bool is_first_after_holiday(const Service& service, Date ship_date) {
    constexpr int kLongestBreakDays = 10;
    bool holiday = false;
    date::sys_days day = date::sys_days(ship_date);
    for (int back = 0; back < kLongestBreakDays; ++back) {
        day -= date::days{1};
        const bool closed = service.calendar->holiday_on(day) != nullptr;
        if (!closed && service.accepts[weekday_index(day)]) return holiday;
        holiday = holiday || closed;
    }
    return holiday;
}

}  // namespace

std::string_view role_name(Role role) {
    switch (role) {
        case Role::origin:
            return "origin";
        case Role::counter:
            return "counter";
        case Role::hub:
            return "hub";
        case Role::second_hub:
            return "second-hub";
        case Role::destination:
            return "destination";
    }
    return "";
}

Stretch stand_at_end(const Stretch& stretch) {
    if (stretch.from == stretch.to || stretch.to_share >= 1) return {stretch.to, stretch.to, 0, 1};
    return {stretch.from, stretch.to, stretch.to_share, stretch.to_share};
}

bool Service::has_option(std::string_view option) const {
    return std::find(options.begin(), options.end(), option) != options.end();
}

const Service* Services::by_id(const std::string& id) const {
    const auto found = std::find_if(all_.begin(), all_.end(), [&](const Service& s) { return s.id == id; });
    return found == all_.end() ? nullptr : &*found;
}

const Service& Services::find(const std::string& id) const {
    if (const Service* found = by_id(id)) return *found;
    std::vector<std::string> ids;
    for (const Service& service : all_) ids.push_back(service.id);
    throw UsageError(unknown_name_message("service", id, ids));
}

LateOdds with_odds_factor(LateOdds chances, double factor) {
    const double late = chances.late();
    if (late <= 0) return chances;
    const double odds = factor * late / (1.0 - late);
    const double share = std::min(odds / (1.0 + odds), kMostLate) / late;
    return {share * chances.one_day, share * chances.more_days};
}

LateOdds late_odds(const Service& service, Date ship_date) {
    double factor = service.late_factor_by_weekday[weekday_index(ship_date)];
    if (const PeakWeeks* peak = service.calendar->peak_on(ship_date)) factor *= peak->late_odds_factor;
    if (service.late_factor_after_holiday != 1 && is_first_after_holiday(service, ship_date))
        factor *= service.late_factor_after_holiday;
    return with_odds_factor(service.late, factor);
}

double extras_usd(const Service& service, Date ship_date) {
    const PeakWeeks* peak = service.calendar->peak_on(ship_date);
    return service.extra_usd + (peak == nullptr ? 0 : peak->surcharge_usd);
}

}  // namespace mildway::transit
