// One service on one lane on one ship date, laid out in UTC.
#pragma once

#include "mildway/base/place.hpp"
#include "mildway/transit/service.hpp"

#include <array>
#include <optional>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

namespace mildway::transit {

/// The places of a parcel's way. Hubs that the service does not pass have no name.
struct Lane {
    std::array<Place, kRoleCount> places;  ///< by Role
    [[nodiscard]] const Place& at(Role role) const { return places[static_cast<std::size_t>(role)]; }
    [[nodiscard]] bool has(Role role) const { return !at(role).name.empty(); }
};

/// Where a breeder's parcels begin.
struct Start {
    Place origin;
    Place counter;
};

[[nodiscard]] Lane lane_of(const Service& service, const Start& start, const Place& destination);

/// A stretch of a trip with its typical start and end.
struct Leg {
    std::string_view name;  ///< borrowed from the service
    std::size_t setting = 0;
    Stretch stretch;
    Instant start;
    Instant end;
    LegEnd rule;  ///< how `end` spreads
    /// Which leg of the on-time trip this is a part of: a leg gone through in vain, the wait after it and the
    /// same leg a second time are parts of one.
    std::size_t part = 0;
    std::optional<Instant> latest;    ///< it ends by then whatever happens (a counter closes)
    std::optional<Instant> earliest;  ///< and not before (a counter opens)
};

/// How a parcel is late.
struct Late {
    int service_days = 0;  ///< 0: on time
    std::size_t wait = 0;  ///< index into the service's waits
};

struct Trip {
    Date ship_date{};
    Date delivery_date{};
    Late late;
    Instant packed;  ///< the animals go into the box; start of the first leg
    Instant handed_over;
    Instant cut_off;                              ///< latest hand-over of that day
    const EarlyClosing* early_closing = nullptr;  ///< why that is earlier than usual; borrowed
    Instant promised;                             ///< on-time promise, however late
    std::vector<Leg> legs;  ///< without gaps; the last ends when the buyer takes the parcel in
    [[nodiscard]] Instant delivered() const { return legs.back().start; }
    [[nodiscard]] Instant end() const { return legs.back().end; }
};

/// Why a ship date cannot be used.
struct NoTrip {
    std::string reason;  ///< a sentence without full stop
    std::string
        brief;  ///< the same without day and service, so that days can be told together: "closed, Labor Day"
};

/// From the breeder's door to the counter.
struct HandOver {
    minutes drive{0};
    minutes packed_before_leaving{30};
    minutes parked{0};  ///< the box stands in the parked car before it is carried in
    [[nodiscard]] minutes before_counter() const { return packed_before_leaving + drive + parked; }
};

/// A service on a lane, before any date: what does not depend on the date is worked out once. Borrows the
/// service. Laying trips on it from several threads at once is safe.
class Route {
public:
    Route(const Service& service, const Settings& settings, Lane lane, const HandOver& hand_over);

    [[nodiscard]] const Service& service() const { return *service_; }
    [[nodiscard]] const Lane& lane() const { return lane_; }

    /// Why the service is not sold on this lane at all; empty when it is.
    [[nodiscard]] const std::string& not_sold() const { return not_sold_; }
    /// For carriage_usd; of no meaning when it is not sold.
    [[nodiscard]] std::size_t zone() const { return zone_; }

    /// Lays the service on the date, on time. Legs: "packed" (indoors at the origin), "drive" (vehicle,
    /// origin to counter), "parked" (parked-vehicle at the counter, if any), then the service's own.
    ///
    /// NoTrip: the date is past, closed, not accepted, beyond the cut-off at `now`; the service is not sold
    /// on the lane, or bought for deliveries on other weekdays; a leg would end before it starts on this lane
    /// (time zones), or the last but one after the promise.
    ///
    /// Hand-over is as the service plans it, or as soon after `now` as packing and the drive allow; on a day
    /// that closes early as long before the cut-off as on others.
    [[nodiscard]] std::variant<Trip, NoTrip> lay(Date ship_date, Instant now) const;

    /// The trip of lay(), late by at least one service day: the delivery date moves so many delivery days on;
    /// the leg that the parcel waits after is gone through in vain, the parcel waits until that leg begins
    /// anew, and this and all later legs keep their clock times and move by the civil days between the two
    /// delivery dates. NoTrip: no day of delivery within 60 days; a leg would end before it starts.
    [[nodiscard]] std::variant<Trip, NoTrip> delayed(const Trip& on_time, Late late) const;

private:
    /// The latest hand-over of a day and the planned one, local at the counter; `early` when it closes early.
    struct CutOff {
        minutes latest;
        minutes hand_over;
        const EarlyClosing* early;
    };
    /// The days that the clock ends of one leg are counted from.
    struct Anchors {
        date::sys_days ship_day;
        date::sys_days delivery_day;
    };
    [[nodiscard]] const date::time_zone& zone_at(Role role) const {
        return *zones_[static_cast<std::size_t>(role)];
    }
    [[nodiscard]] CutOff cut_off_on(Date day) const;
    [[nodiscard]] std::optional<NoTrip> refusal(Date ship_date, Instant now) const;
    [[nodiscard]] NoTrip no_delivery_day(Date from, int count) const;
    [[nodiscard]] std::optional<NoTrip> set_delivery(Trip& trip) const;
    [[nodiscard]] std::optional<NoTrip> set_hand_over(Trip& trip, Instant now) const;
    [[nodiscard]] Instant end_of(const LegEnd& rule, Instant start, const Anchors& anchors) const;
    [[nodiscard]] Instant moved(Instant when, Role at, date::days by) const;
    void add_hand_over(Trip& trip) const;
    [[nodiscard]] std::optional<NoTrip> add_leg(Trip& trip, const LegPlan& plan, const Anchors& anchors,
                                                std::size_t part) const;
    void add_wait(Trip& trip, const Wait& wait, Instant until, std::size_t part) const;
    void close_collection(Trip& trip) const;

    const Service* service_;
    Lane lane_;
    HandOver hand_over_;
    std::array<const date::time_zone*, kRoleCount> zones_{};  ///< by Role; of places that the lane has
    std::size_t indoors_ = 0;
    std::size_t vehicle_ = 0;
    std::size_t parked_vehicle_ = 0;
    std::string not_sold_;
    std::size_t zone_ = 0;
};

/// The `count`-th day after `from` on which the service delivers (count >= 1); empty when none is found in
/// 60 days.
[[nodiscard]] std::optional<Date> delivery_day_after(const Service& service, Date from, int count);

}  // namespace mildway::transit
