#include "hazard_windows.hpp"

#include <algorithm>

#include <fmt/format.h>

namespace mildway::odds {

namespace {

using transit::Leg;
using transit::Role;
using transit::Stretch;

std::optional<Window> at_hub(const std::vector<Leg>& legs, Role hub) {
    const auto first =
        std::find_if(legs.begin(), legs.end(), [&](const Leg& leg) { return leg.stretch.from == hub; });
    const auto last =
        std::find_if(legs.rbegin(), legs.rend(), [&](const Leg& leg) { return end_of(leg.stretch) == hub; });
    if (first == legs.end() || last == legs.rend()) return std::nullopt;
    return Window{first->start - kHubMargin, last->end + kHubMargin};
}

}  // namespace

double WindowHours::Hour::clock_h() const {
    return in_hours(local - date::floor<date::days>(local));
}

WindowHours::WindowHours(const Place& place, const Window& window) : window_(window) {
    const date::time_zone& zone = find_zone(place.zone);
    const Instant first = date::floor<hours>(window.from);
    if (first >= window.until) return;
    hours_.reserve(static_cast<std::size_t>((window.until - first) / hours(1)) + 1);
    date::sys_info clocks = zone.get_info(first);
    for (Instant hour = first; hour < window.until; hour += hours(1)) {
        if (hour >= clocks.end) clocks = zone.get_info(hour);
        hours_.push_back({hour, date::local_seconds(hour.time_since_epoch() + clocks.offset)});
    }
}

std::optional<Role> end_of(const Stretch& stretch) {
    if (stretch.from == stretch.to || stretch.to_share >= 1) return stretch.to;
    if (stretch.to_share <= 0) return stretch.from;
    return std::nullopt;
}

std::optional<Window> window_of(const transit::Trip& trip, Role role) {
    const auto& legs = trip.legs;
    switch (role) {
        case Role::hub:
        case Role::second_hub:
            return at_hub(legs, role);
        case Role::origin:
        case Role::counter: {
            const auto leaving = std::find_if(legs.begin(), legs.end(), [](const Leg& leg) {
                return leg.stretch.from == Role::counter && leg.stretch.to != Role::counter;
            });
            if (leaving == legs.end()) return std::nullopt;
            return Window{trip.handed_over, leaving->start};
        }
        case Role::destination: {
            const auto there = std::find_if(legs.begin(), legs.end(), [](const Leg& leg) {
                return end_of(leg.stretch) == Role::destination;
            });
            if (there == legs.end()) return std::nullopt;
            return Window{there->end, trip.end()};
        }
    }
    return std::nullopt;
}

std::string when_of(const Place& place, const Window& window) {
    const date::time_zone& zone = find_zone(place.zone);
    const Date first = local_date(zone, window.from);
    const Date last = local_date(zone, window.until);
    if (first == last) return fmt::format("on {}", format_day(first));
    const bool overnight = date::sys_days(last) - date::sys_days(first) == date::days{1} &&
                           local_hour(zone, window.from) >= 18 && local_hour(zone, window.until) <= 12;
    if (overnight) return fmt::format("in the night of {}", format_day(first));
    return fmt::format("between {} and {}", format_day(first), format_day(last));
}

}  // namespace mildway::odds
