#include "mildway/odds/trip_cases.hpp"

#include <algorithm>

#include <fmt/format.h>

namespace mildway::odds {

std::variant<TripCases, transit::NoTrip> lay_cases(const transit::Route& route, Date ship_date, Instant now) {
    auto on_time = route.lay(ship_date, now);
    if (auto* none = std::get_if<transit::NoTrip>(&on_time)) return std::move(*none);
    const transit::Service& service = route.service();
    TripCases cases;
    cases.on_time = std::get<transit::Trip>(std::move(on_time));
    cases.odds = transit::late_odds(service, ship_date);
    for (std::size_t wait = 0; wait < service.waits.size(); ++wait) {
        cases.wait_shares.push_back(service.waits[wait].share);
        for (const int days : {1, 2}) {
            auto late = route.delayed(cases.on_time, {days, wait});
            if (auto* none = std::get_if<transit::NoTrip>(&late)) {
                none->reason =
                    fmt::format("when it is {} day{} late, {}", days, days == 1 ? "" : "s", none->reason);
                return std::move(*none);
            }
            (days == 1 ? cases.one_late : cases.two_late).push_back(std::get<transit::Trip>(std::move(late)));
        }
    }
    return cases;
}

Instant latest_end(const TripCases& cases) {
    Instant latest = latest_end(cases.on_time);
    for (const auto* trips : {&cases.one_late, &cases.two_late}) {
        for (const transit::Trip& trip : *trips) latest = std::max(latest, latest_end(trip));
    }
    return latest;
}

Instant latest_likely_end(const TripCases& cases) {
    if (cases.odds.more_days > 0) return latest_end(cases);
    Instant latest = latest_end(cases.on_time);
    if (cases.odds.one_day > 0) {
        for (const transit::Trip& trip : cases.one_late) latest = std::max(latest, latest_end(trip));
    }
    return latest;
}

}  // namespace mildway::odds
