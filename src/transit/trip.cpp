#include "mildway/transit/trip.hpp"

#include <algorithm>

#include <fmt/format.h>

// How a Friday parcel is laid: delivery days Monday to Friday, one service day of transit, waiting at the
// station.
//
//                 Fri                        Sat                  Mon             Tue
//   on time       packed drive counter flight|hub flight station..|...van doorstep|
//   one day late  packed drive counter flight|hub flight station..|...............|...van doorstep
//
// Before the waiting leg nothing moves, whatever a leg's end is counted from. From the waiting leg on,
// everything moves by the days between the two delivery dates: civil days, so that 09:50 stays 09:50 when the
// clocks change.

namespace mildway::transit {

namespace {

/// Judgement: how far from the plan a breeder closes the box, and stands at the counter.
constexpr double kPackingSpreadFactor = 1.3;
constexpr double kHandOverSpreadMinutes = 10;

constexpr int kSearchDays = 60;

unsigned weekday_of(date::sys_days day) {
    return date::weekday(day).c_encoding();
}

bool is_closed(const Service& service, Date day) {
    return std::find(service.closed.begin(), service.closed.end(), day) != service.closed.end();
}

/// Why nothing can be handed over on that date, or nothing.
std::optional<std::string> refusal(const Service& service, const date::time_zone& counter_zone,
                                   Date ship_date, Instant now) {
    if (ship_date < local_date(counter_zone, now))
        return fmt::format("{} is in the past", format_day(ship_date));
    if (is_closed(service, ship_date)) {
        return fmt::format("{} is closed on {}", service.label, format_day(ship_date));
    }
    if (!service.accepts[weekday_of(ship_date)]) {
        return fmt::format("{} accepts no parcels on {}", service.label, format_day(ship_date));
    }
    const Instant cut_off = to_instant(counter_zone, ship_date, service.cut_off);
    if (now > cut_off) {
        return fmt::format("the cut-off of {} on {} at {} has passed", service.label, format_day(ship_date),
                           format_local_clock(counter_zone, cut_off));
    }
    return std::nullopt;
}

/// The days that the clock ends of one leg are counted from.
struct Anchors {
    date::sys_days ship_day;
    date::sys_days delivery_day;
};

Instant end_of(const LegEnd& rule, Instant start, const Anchors& anchors, const Lane& lane) {
    if (rule.kind == LegEnd::Kind::lasts) return start + rule.length;
    const date::sys_days from = rule.from == LegEnd::From::ship_day ? anchors.ship_day : anchors.delivery_day;
    return to_instant(find_zone(lane.at(rule.at).zone), Date{from + date::days{rule.plus_days}}, rule.clock);
}

/// From the breeder's table to the counter.
void add_hand_over(Trip& trip, const Service& service, const Settings& settings, const HandOver& hand_over) {
    LegEnd closing;
    closing.kind = LegEnd::Kind::lasts;
    closing.length = hand_over.packed_before_leaving;
    closing.spread_factor = kPackingSpreadFactor;
    LegEnd arriving;
    arriving.clock = service.hand_over;
    arriving.at = Role::counter;
    arriving.spread_minutes = kHandOverSpreadMinutes;
    const Instant leaving = trip.handed_over - hand_over.drive;
    trip.packed = leaving - hand_over.packed_before_leaving;
    trip.legs.push_back(
        {kPackedLeg, settings.find("indoors"), Role::origin, Role::origin, trip.packed, leaving, closing});
    trip.legs.push_back({kDriveLeg, settings.find("vehicle"), Role::origin, Role::counter, leaving,
                         trip.handed_over, arriving});
}

void add_service_legs(Trip& trip, const Service& service, const Lane& lane, date::sys_days on_time_delivery) {
    const Anchors planned{trip.ship_date, on_time_delivery};
    const date::days shift = date::sys_days(trip.delivery_date) - on_time_delivery;
    const Anchors moved{planned.ship_day + shift, planned.delivery_day + shift};
    for (std::size_t i = 0; i < service.legs.size(); ++i) {
        const LegPlan& plan = service.legs[i];
        const Instant start = trip.end();
        const Instant end = end_of(plan.end, start, i < service.waits_in_leg ? planned : moved, lane);
        if (end < start) {
            throw InputError(
                "services.json", fmt::format("service '{}', leg '{}'", service.id, plan.name), 0,
                fmt::format("would end at {}, before it starts at {}, on the lane {} - {} - {}; give it a "
                            "later clock time or one more day",
                            format_instant(end), format_instant(start), lane.at(Role::counter).name,
                            lane.at(Role::hub).name, lane.at(Role::destination).name));
        }
        trip.legs.push_back({plan.name, plan.setting, plan.from, plan.to, start, end, plan.end});
    }
}

}  // namespace

Date delivery_day_after(const Service& service, Date from, int count) {
    date::sys_days day = from;
    for (int step = 0; step < kSearchDays; ++step) {
        day += date::days{1};
        if (service.delivers[weekday_of(day)] && !is_closed(service, day) && --count <= 0) return day;
    }
    throw InputError(
        "services.json", fmt::format("service '{}'", service.id), 0,
        fmt::format("too few delivery days in the {} days after {}; look at 'delivers' and 'closed'",
                    kSearchDays, format_date(from)));
}

std::variant<Trip, NoTrip> lay_trip(const Service& service, const Settings& settings, const Lane& lane,
                                    Date ship_date, int late_service_days, Instant now,
                                    const HandOver& hand_over) {
    const date::time_zone& counter_zone = find_zone(lane.at(Role::counter).zone);
    if (const auto reason = refusal(service, counter_zone, ship_date, now)) return NoTrip{*reason};

    const Date on_time = delivery_day_after(service, ship_date, service.transit_service_days);
    Trip trip;
    trip.ship_date = ship_date;
    trip.delivery_date =
        late_service_days > 0 ? delivery_day_after(service, on_time, late_service_days) : on_time;
    trip.late_service_days = late_service_days;
    trip.handed_over = std::max(to_instant(counter_zone, ship_date, service.hand_over),
                                now + hand_over.packed_before_leaving + hand_over.drive);
    const Instant cut_off = to_instant(counter_zone, ship_date, service.cut_off);
    if (trip.handed_over > cut_off) {
        return NoTrip{fmt::format(
            "too late for {} on {}: packing and the drive take until {}, the cut-off is at {}", service.label,
            format_day(ship_date), format_local_clock(counter_zone, trip.handed_over),
            format_local_clock(counter_zone, cut_off))};
    }
    trip.promised = to_instant(find_zone(lane.at(Role::destination).zone), on_time, service.promised_by);
    add_hand_over(trip, service, settings, hand_over);
    add_service_legs(trip, service, lane, on_time);
    return trip;
}

}  // namespace mildway::transit
