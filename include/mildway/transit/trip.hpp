// One service on one lane on one ship date, laid out in UTC.
#pragma once

#include "mildway/base/place.hpp"
#include "mildway/transit/service.hpp"

#include <array>
#include <optional>
#include <string>
#include <variant>
#include <vector>

namespace mildway::transit {

/// Origin, counter, hub and destination of a parcel, and the drive to the counter.
struct Lane {
    std::array<Place, kRoleCount> places;  ///< by Role
    [[nodiscard]] const Place& at(Role role) const { return places[static_cast<std::size_t>(role)]; }
};

/// A stretch of a trip with its typical start and end.
struct Leg {
    std::string name;
    std::size_t setting;
    Role from;
    Role to;
    Instant start;
    Instant end;
    LegEnd rule;  ///< how `end` spreads
};

struct Trip {
    Date ship_date{};
    Date delivery_date{};
    int late_service_days = 0;
    Instant packed;  ///< the animals go into the box; start of the first leg
    Instant handed_over;
    Instant promised;       ///< on-time promise, whatever late_service_days
    std::vector<Leg> legs;  ///< without gaps; the last ends when the buyer takes the parcel in
    [[nodiscard]] Instant end() const { return legs.back().end; }
};

/// Why a ship date cannot be used, as a sentence.
struct NoTrip {
    std::string reason;
};

/// The time from the breeder's door to the counter, and how long before leaving the box is closed.
struct HandOver {
    minutes drive{0};
    minutes packed_before_leaving{30};
};

/// Lays the service on the date. Legs: "packed" (indoors at the origin), "drive" (vehicle, origin to
/// counter), then the service's own. Late by k service days: the delivery date moves k delivery days on, and
/// the service's waiting leg and all after it move with it, by whole local days. NoTrip when the service does
/// not accept on that date, is closed, or `now` is past the cut-off (the sentence says so).
/// Hand-over is as the service plans it, or as soon after `now` as packing and the drive allow.
[[nodiscard]] std::variant<Trip, NoTrip> lay_trip(const Service& service, const Settings& settings,
                                                  const Lane& lane, Date ship_date, int late_service_days,
                                                  Instant now, const HandOver& hand_over);

/// The `count`-th day after `from` on which the service delivers (count >= 1). Throws InputError when none is
/// found in 60 days.
[[nodiscard]] Date delivery_day_after(const Service& service, Date from, int count);

}  // namespace mildway::transit
