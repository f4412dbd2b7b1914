#include "mildway/transit/trip.hpp"

#include <algorithm>

#include <fmt/format.h>

// How a Friday parcel is laid: delivery days Monday to Friday, one service day of transit, waiting after the
// station.
//
//                 Fri                        Sat                  Mon             Tue
//   on time       packed drive counter flight|hub flight station..|...van doorstep|
//   one day late  packed drive counter flight|hub flight station..|...wait station|van doorstep
//
// Up to the leg that the parcel waits after nothing moves, whatever a leg's end is counted from. That leg a
// second time, and all after it, move by the days between the two delivery dates: civil days, so that 09:50
// stays 09:50 when the clocks change.

namespace mildway::transit {

namespace {

/// Judgement: how far from the plan a breeder closes the box, and stands at the counter.
constexpr double kPackingSpreadFactor = 1.3;
constexpr double kHandOverSpreadMinutes = 10;
constexpr double kParkedSpreadFactor = 1.5;

constexpr int kSearchDays = 60;

constexpr std::size_t kMostOwnLegs = 3;  // packed, drive, parked
constexpr std::size_t kLegsOfWait = 2;   // the wait, and the leg before it once more

bool is_delivery_day(const Service& service, date::sys_days day) {
    return service.delivers[weekday_index(day)] && service.calendar->holiday_on(day) == nullptr;
}

std::string weekdays_text(const WeekdaySet& days) {
    std::vector<std::string> names;
    for (std::size_t day = 0; day < days.size(); ++day) {
        if (days[day]) names.push_back(weekday_names()[day]);
    }
    return fmt::format("{}", fmt::join(names, ", "));
}

LegEnd lasting(minutes length, double spread_factor) {
    LegEnd end;
    end.kind = LegEnd::Kind::lasts;
    end.length = length;
    end.spread_factor = spread_factor;
    return end;
}

/// A copy that has got no farther than the leg before that one, with room for more.
Trip without_legs_from(const Trip& trip, std::size_t leg, std::size_t room) {
    Trip copy{trip.ship_date, trip.delivery_date, trip.late,     trip.packed, trip.handed_over,
              trip.cut_off,   trip.early_closing, trip.promised, {}};
    copy.legs.reserve(room);
    copy.legs.assign(trip.legs.begin(), trip.legs.begin() + static_cast<std::ptrdiff_t>(leg));
    return copy;
}

}  // namespace

Lane lane_of(const Service& service, const Start& start, const Place& destination) {
    Lane lane;
    const auto put = [&](Role role, const Place& place) {
        lane.places[static_cast<std::size_t>(role)] = place;
    };
    put(Role::origin, start.origin);
    put(Role::counter, start.counter);
    put(Role::destination, destination);
    if (!service.hubs.empty()) put(Role::hub, service.hubs[0]);
    if (service.hubs.size() > 1) put(Role::second_hub, service.hubs[1]);
    return lane;
}

Route::Route(const Service& service, const Settings& settings, Lane lane, const HandOver& hand_over)
    : service_(&service), lane_(std::move(lane)), hand_over_(hand_over) {
    for (std::size_t role = 0; role < kRoleCount; ++role) {
        if (lane_.has(static_cast<Role>(role))) zones_[role] = &find_zone(lane_.places[role].zone);
    }
    indoors_ = settings.find("indoors");
    vehicle_ = settings.find("vehicle");
    if (hand_over.parked.count() > 0) parked_vehicle_ = settings.find("parked-vehicle");
    const auto zone =
        zone_for(service.price, *service.zones, lane_.at(Role::counter), lane_.at(Role::destination));
    if (const auto* not_sold = std::get_if<NotSold>(&zone)) {
        not_sold_ = fmt::format("{} is {}", service.label, not_sold->reason);
    } else {
        zone_ = std::get<std::size_t>(zone);
    }
}

Route::CutOff Route::cut_off_on(Date day) const {
    const EarlyClosing* early = service_->calendar->early_closing_on(day);
    if (early == nullptr || early->cut_off >= service_->cut_off)
        return {service_->cut_off, service_->hand_over, nullptr};
    return {early->cut_off, early->cut_off - (service_->cut_off - service_->hand_over), early};
}

std::optional<NoTrip> Route::refusal(Date ship_date, Instant now) const {
    const date::time_zone& counter_zone = zone_at(Role::counter);
    const std::string& label = service_->label;
    if (!not_sold_.empty()) return NoTrip{not_sold_, "not sold there"};
    if (ship_date < local_date(counter_zone, now))
        return NoTrip{fmt::format("{} is in the past", format_day(ship_date)), "past"};
    if (const std::string* holiday = service_->calendar->holiday_on(ship_date)) {
        return NoTrip{
            fmt::format("{} is closed on {} ({})", service_->carrier, format_day(ship_date), *holiday),
            fmt::format("closed, {}", *holiday)};
    }
    if (!service_->accepts[weekday_index(ship_date)]) {
        return NoTrip{fmt::format("{} accepts no parcels on {}", label, format_day(ship_date)),
                      "no parcels accepted"};
    }
    const CutOff cut_off = cut_off_on(ship_date);
    if (now > to_instant(counter_zone, ship_date, cut_off.latest)) {
        return NoTrip{fmt::format("the cut-off of {} on {} at {}{} has passed", label, format_day(ship_date),
                                  format_clock(cut_off.latest),
                                  cut_off.early == nullptr ? "" : fmt::format(" ({})", cut_off.early->name)),
                      "the cut-off has passed"};
    }
    return std::nullopt;
}

void Route::add_hand_over(Trip& trip) const {
    LegEnd arriving;
    arriving.spread_minutes = kHandOverSpreadMinutes;
    const Instant parking = trip.handed_over - hand_over_.parked;
    const Instant leaving = parking - hand_over_.drive;
    trip.packed = leaving - hand_over_.packed_before_leaving;
    const bool parks = hand_over_.parked.count() > 0;
    trip.legs.push_back({kPackedLeg,
                         indoors_,
                         {Role::origin, Role::origin},
                         trip.packed,
                         leaving,
                         lasting(hand_over_.packed_before_leaving, kPackingSpreadFactor),
                         0,
                         {},
                         {}});
    trip.legs.push_back({kDriveLeg,
                         vehicle_,
                         {Role::origin, Role::counter},
                         leaving,
                         parking,
                         arriving,
                         1,
                         trip.cut_off - hand_over_.parked,
                         {}});
    if (!parks) return;
    trip.legs.push_back({kParkedLeg,
                         parked_vehicle_,
                         {Role::counter, Role::counter},
                         parking,
                         trip.handed_over,
                         lasting(hand_over_.parked, kParkedSpreadFactor),
                         2,
                         trip.cut_off,
                         {}});
}

Instant Route::end_of(const LegEnd& rule, Instant start, const Anchors& anchors) const {
    if (rule.kind == LegEnd::Kind::lasts) return start + rule.length;
    const date::sys_days from = rule.from == LegEnd::From::ship_day ? anchors.ship_day : anchors.delivery_day;
    return to_instant(zone_at(rule.at), Date{from + date::days{rule.plus_days}}, rule.clock);
}

/// The same time of day at the place that the leg leads to, some civil days later.
Instant Route::moved(Instant when, Role at, date::days by) const {
    const date::time_zone& zone = zone_at(at);
    const date::local_seconds local = to_local(zone, when);
    const auto day = date::floor<date::days>(local);
    return to_instant(zone, Date{date::sys_days{day.time_since_epoch()} + by},
                      std::chrono::duration_cast<minutes>(local - day));
}

std::optional<NoTrip> Route::add_leg(Trip& trip, const LegPlan& plan, const Anchors& anchors,
                                     std::size_t part) const {
    const Instant start = trip.end();
    const Instant end = end_of(plan.end, start, anchors);
    if (end < start) {
        const date::time_zone& zone = zone_at(plan.end.at);
        return NoTrip{
            fmt::format("{} cannot be laid to {}: its leg '{}' would end {}, before it starts {}; look at "
                        "its clock times and at the time zones of the places",
                        service_->label, lane_.at(Role::destination).name, plan.name, format_local(zone, end),
                        format_local(zone, start)),
            "its legs do not fit this lane"};
    }
    trip.legs.push_back({plan.name, plan.setting, plan.stretch, start, end, plan.end, part, {}, {}});
    return std::nullopt;
}

void Route::add_wait(Trip& trip, const Wait& wait, Instant until, std::size_t part) const {
    const LegEnd rule = lasting(std::chrono::duration_cast<minutes>(until - trip.end()), 1);
    trip.legs.push_back({wait.name,
                         wait.setting,
                         stand_at_end(service_->legs[wait.leg].stretch),
                         trip.end(),
                         until,
                         rule,
                         part,
                         {},
                         {}});
}

/// Parcels are handed out while the counter is open.
void Route::close_collection(Trip& trip) const {
    if (!service_->collection) return;
    const auto& hours = service_->collection->by_weekday[weekday_index(trip.delivery_date)];
    if (!hours) return;
    Leg& held = trip.legs.back();
    held.latest = to_instant(zone_at(Role::destination), trip.delivery_date, hours->closes);
    held.earliest = to_instant(zone_at(Role::destination), trip.delivery_date, hours->opens);
    held.end = std::max(held.start, std::clamp(held.end, *held.earliest, *held.latest));
}

NoTrip Route::no_delivery_day(Date from, int count) const {
    return NoTrip{fmt::format("{} has no {} {} of delivery in the {} days after {}", service_->label, count,
                              count == 1 ? "day" : "days", kSearchDays, format_day(from)),
                  "no day of delivery"};
}

std::optional<NoTrip> Route::set_delivery(Trip& trip) const {
    const auto delivery = delivery_day_after(*service_, trip.ship_date, service_->transit_service_days);
    if (!delivery) return no_delivery_day(trip.ship_date, service_->transit_service_days);
    const WeekdaySet& only = service_->only_for_delivery_on;
    if (has_any(only) && !only[weekday_index(*delivery)]) {
        return NoTrip{fmt::format("{} is for deliveries on {}; a parcel of {} comes on {}", service_->label,
                                  weekdays_text(only), format_day(trip.ship_date), format_day(*delivery)),
                      fmt::format("only for deliveries on {}", weekdays_text(only))};
    }
    trip.delivery_date = *delivery;
    trip.promised = to_instant(zone_at(Role::destination), *delivery, service_->promised_by);
    return std::nullopt;
}

std::optional<NoTrip> Route::set_hand_over(Trip& trip, Instant now) const {
    const date::time_zone& zone = zone_at(Role::counter);
    const CutOff cut_off = cut_off_on(trip.ship_date);
    trip.cut_off = to_instant(zone, trip.ship_date, cut_off.latest);
    trip.early_closing = cut_off.early;
    trip.handed_over =
        std::max(to_instant(zone, trip.ship_date, cut_off.hand_over), now + hand_over_.before_counter());
    if (trip.handed_over <= trip.cut_off) return std::nullopt;
    return NoTrip{
        fmt::format("too late for {} on {}: packing and the drive take until {}, the cut-off is at {}",
                    service_->label, format_day(trip.ship_date), format_local_clock(zone, trip.handed_over),
                    format_local_clock(zone, trip.cut_off)),
        "too late for the cut-off"};
}

std::variant<Trip, NoTrip> Route::lay(Date ship_date, Instant now) const {
    if (auto no = refusal(ship_date, now)) return *no;
    Trip trip;
    trip.legs.reserve(service_->legs.size() + kMostOwnLegs);
    trip.ship_date = ship_date;
    if (auto no = set_delivery(trip)) return *no;
    if (auto no = set_hand_over(trip, now)) return *no;
    add_hand_over(trip);
    const Anchors days{trip.ship_date, trip.delivery_date};
    for (const LegPlan& plan : service_->legs) {
        if (auto no = add_leg(trip, plan, days, trip.legs.size())) return *no;
    }
    close_collection(trip);
    if (trip.delivered() <= trip.promised) return trip;
    const date::time_zone& zone = zone_at(Role::destination);
    return NoTrip{
        fmt::format("{} cannot keep its promise to {}: its legs bring the parcel {}, the promise is {}",
                    service_->label, lane_.at(Role::destination).name, format_local(zone, trip.delivered()),
                    format_local(zone, trip.promised)),
        "its legs do not keep the promise"};
}

std::variant<Trip, NoTrip> Route::delayed(const Trip& on_time, Late late) const {
    const auto delivery = delivery_day_after(*service_, on_time.delivery_date, late.service_days);
    if (!delivery) return no_delivery_day(on_time.delivery_date, late.service_days);
    const Wait& wait = service_->waits[late.wait];
    const auto& plans = service_->legs;
    const std::size_t first_part = on_time.legs.size() - plans.size();
    const std::size_t waits_in = first_part + wait.leg;

    Trip trip = without_legs_from(on_time, waits_in, plans.size() + kMostOwnLegs + kLegsOfWait);
    trip.late = late;
    trip.delivery_date = *delivery;
    const date::days shift = date::sys_days(*delivery) - date::sys_days(on_time.delivery_date);
    const Anchors later{date::sys_days(on_time.ship_date) + shift, *delivery};
    const Instant begins_anew = moved(trip.end(), plans[wait.leg].stretch.from, shift);
    if (begins_anew >
        on_time.legs[waits_in].end) {  // else the leg is longer than the delay: it only lasts longer
        trip.legs.push_back(on_time.legs[waits_in]);
        add_wait(trip, wait, begins_anew, waits_in);
    }
    for (std::size_t i = wait.leg; i < plans.size(); ++i) {
        if (auto no = add_leg(trip, plans[i], later, first_part + i)) return *no;
    }
    close_collection(trip);
    return trip;
}

std::optional<Date> delivery_day_after(const Service& service, Date from, int count) {
    date::sys_days day = from;
    for (int step = 0; step < kSearchDays; ++step) {
        day += date::days{1};
        if (is_delivery_day(service, day) && --count == 0) return Date{day};
    }
    return std::nullopt;
}

}  // namespace mildway::transit
