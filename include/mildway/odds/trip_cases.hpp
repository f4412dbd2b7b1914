// A parcel's way when it is on time and when it is late.
#pragma once

#include "mildway/transit/trip.hpp"

#include <algorithm>
#include <variant>
#include <vector>

namespace mildway::odds {

/// One service on one ship date: on time, and late by one and by two service days, each after every leg that
/// the service has late parcels wait after.
struct TripCases {
    transit::Trip on_time;
    std::vector<transit::Trip> one_late;  ///< [wait of the service]
    std::vector<transit::Trip> two_late;  ///< likewise
    transit::LateOdds odds;
    std::vector<double> wait_shares;  ///< of late parcels, [wait], sum 1
    [[nodiscard]] std::size_t likeliest_wait() const {
        return static_cast<std::size_t>(std::max_element(wait_shares.begin(), wait_shares.end()) -
                                        wait_shares.begin());
    }
};

/// The cases of a ship date; or why there is none. Chances are the service's own for that date.
[[nodiscard]] std::variant<TripCases, transit::NoTrip> lay_cases(const transit::Route& route, Date ship_date,
                                                                 Instant now);

/// The latest that any scenario can have the trip end: how far weather has to be sampled.
[[nodiscard]] Instant latest_end(const transit::Trip& trip);

/// The same over all cases, or over those alone that have a chance.
[[nodiscard]] Instant latest_end(const TripCases& cases);
[[nodiscard]] Instant latest_likely_end(const TripCases& cases);

}  // namespace mildway::odds
