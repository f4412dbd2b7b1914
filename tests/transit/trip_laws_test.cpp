// What must hold for any trip: services and lanes at random besides those of the starter, over weeks in which
// clocks change in either half of the world, around a leap day, a holiday and an early closing, however late.
#include "random_services.hpp"

#include <algorithm>
#include <map>
#include <set>

using namespace mildway;
using namespace mildway::transit;
using namespace mildway::transit::fixtures;

namespace {

/// A trip as late as it is, and the same parcel on time.
struct Laid {
    const Route& route;
    const Trip& trip;
    const Trip& on_time;

    [[nodiscard]] const Service& service() const { return route.service(); }
    [[nodiscard]] const date::time_zone& zone(Role role) const {
        return find_zone(route.lane().at(role).zone);
    }
    [[nodiscard]] bool late() const { return trip.late.service_days > 0; }
    [[nodiscard]] int waits() const { return static_cast<int>(service().waits.size()); }
    [[nodiscard]] const Wait& wait() const { return service().waits[trip.late.wait]; }
    /// Which leg of the on-time trip the parcel waits after.
    [[nodiscard]] std::size_t waited_part() const {
        return on_time.legs.size() - service().legs.size() + wait().leg;
    }
};

/// Clocks change: United States 14 March and 7 November 2027, Adelaide 4 April and 3 October 2027.
const std::vector<const char*> kWeeks{"2027-03-08", "2027-03-29", "2027-09-27", "2027-11-01",
                                      "2028-02-24", "2026-11-20", "2026-12-18"};

/// Calls check(Laid) for each trip in every lateness of a service on a lane and a day.
template <class Check>
int for_all_late(const Route& route, Date ship_date, const Check& check) {
    const auto first = route.lay(ship_date, kLongBefore);
    const Trip* on_time = std::get_if<Trip>(&first);
    if (on_time == nullptr) return 0;
    INFO(route.service().id << " to " << route.lane().at(Role::destination).name << " "
                            << format_date(ship_date));
    check(Laid{route, *on_time, *on_time});
    int trips = 1;
    for (std::size_t wait = 0; wait < route.service().waits.size(); ++wait) {
        for (const int days : {1, 2}) {
            const auto laid = route.delayed(*on_time, {days, wait});
            INFO("late by " << days << ", " << route.service().waits[wait].name);
            if (const auto* none = std::get_if<NoTrip>(&laid)) {
                // a leg that has no room for the hour that the clocks of one of its places take meanwhile
                INFO(none->reason);
                REQUIRE(none->brief == "its legs do not fit this lane");
                continue;
            }
            check(Laid{route, std::get<Trip>(laid), *on_time});
            ++trips;
        }
    }
    return trips;
}

template <class Check>
int for_weeks(const Route& route, const Check& check) {
    int trips = 0;
    for (const char* first : kWeeks) {
        for (int i = 0; i < 10; ++i)
            trips += for_all_late(route, Date{date::sys_days(day(first)) + date::days{i}}, check);
    }
    return trips;
}

template <class Check>
void for_starter_trips(const Check& check) {
    int trips = 0;
    for (const Service& service : services().all()) {
        for (const Place& destination : {kNewYork, kLosAngeles, kAllOver[4]})
            trips += for_weeks(route_to(service, destination), check);
    }
    CHECK(trips > 2000);
}

/// Sixty services with their options, each on two lanes.
template <class Check>
void for_random_trips(const Check& check) {
    std::map<std::string, int> trips;  // by zone of the destination
    Dice dice(2027);
    for (std::uint64_t seed = 1; seed <= 60; ++seed) {
        INFO("random service " << seed);
        const Services random = RandomService(seed).read();
        for (const Service& service : random.all()) {
            for (int lane = 0; lane < 2; ++lane) {
                const HandOver hand_over{minutes{dice.between(1, 90)}, minutes{dice.between(1, 60)},
                                         minutes{dice.one_in(2) ? 0 : dice.between(1, 60)}};
                const Place& destination = dice.of(kAllOver);
                const Route route(service, settings(),
                                  lane_of(service, {dice.of(kAllOver), dice.of(kAllOver)}, destination),
                                  hand_over);
                trips[destination.zone] += for_weeks(route, check);
            }
        }
    }
    CHECK(trips.size() == 7);
    for (const auto& [zone, count] : trips) {
        INFO(zone);
        CHECK(count > 300);
    }
}

template <class Check>
void for_every_trip(const Check& check) {
    for_starter_trips(check);
    for_random_trips(check);
}

}  // namespace

TEST_CASE("Law - legs follow one another without gaps and never run backwards") {
    for_every_trip([](const Laid& laid) {
        const auto& legs = laid.trip.legs;
        REQUIRE(legs.front().start == laid.trip.packed);
        REQUIRE(legs.front().name == kPackedLeg);
        for (std::size_t i = 0; i < legs.size(); ++i) {
            REQUIRE(legs[i].start <= legs[i].end);
            if (i > 0) REQUIRE(legs[i].start == legs[i - 1].end);
        }
        REQUIRE(legs.back().name == laid.service().legs.back().name);
        REQUIRE(laid.trip.end() >= laid.trip.delivered());
    });
}

TEST_CASE("Law - every leg of trips by the starter has some length") {
    for_starter_trips([](const Laid& laid) {
        for (const Leg& leg : laid.trip.legs) REQUIRE(leg.start < leg.end);
    });
}

TEST_CASE("Law - a service of the starter that can be on time on a day can be late on it in every way") {
    int trips = 0;
    for_starter_trips([&](const Laid& laid) { trips += laid.late() ? 0 : 1 + 2 * laid.waits(); });
    int found = 0;
    for_starter_trips([&](const Laid&) { ++found; });
    CHECK(found == trips);
}

TEST_CASE("Law - a parcel goes on from where it is unless a leg begins anew") {
    for_every_trip([](const Laid& laid) {
        const auto& legs = laid.trip.legs;
        const auto point = [](const Stretch& stretch, double part) {
            // being all the way at a place is being there
            const double share = stretch.share_at(part);
            if (stretch.from == stretch.to || share <= 0) return std::tuple(stretch.from, stretch.from, 0.0);
            if (share >= 1) return std::tuple(stretch.to, stretch.to, 0.0);
            return std::tuple(stretch.from, stretch.to, share);
        };
        for (std::size_t i = 1; i < legs.size(); ++i) {
            if (legs[i].part == legs[i - 1].part && legs[i].name != laid.wait().name) continue;
            REQUIRE(point(legs[i].stretch, 0) == point(legs[i - 1].stretch, 1));
        }
        REQUIRE(point(legs.back().stretch, 1) == std::tuple(Role::destination, Role::destination, 0.0));
    });
}

TEST_CASE("Law - a parcel on time is delivered by its promise on its day of delivery") {
    for_every_trip([](const Laid& laid) {
        REQUIRE(laid.on_time.delivered() <= laid.on_time.promised);
        REQUIRE(local_date(laid.zone(Role::destination), laid.trip.delivered()) == laid.trip.delivery_date);
        REQUIRE(laid.trip.promised == laid.on_time.promised);
    });
}

TEST_CASE("Law - a late parcel is delivered whole civil days after the one on time at the same hour") {
    for_every_trip([](const Laid& laid) {
        const auto& zone = laid.zone(Role::destination);
        REQUIRE(format_local_clock(zone, laid.trip.delivered()) ==
                format_local_clock(zone, laid.on_time.delivered()));
        const auto days =
            date::sys_days(laid.trip.delivery_date) - date::sys_days(laid.on_time.delivery_date);
        REQUIRE(days.count() >= laid.trip.late.service_days);
        REQUIRE((days.count() > 0) == laid.late());
        REQUIRE(laid.trip.delivery_date ==
                (laid.late() ? delivery_day_after(laid.service(), laid.on_time.delivery_date,
                                                  laid.trip.late.service_days)
                             : laid.on_time.delivery_date));
    });
}

TEST_CASE("Law - of a late parcel no leg begins or ends earlier than on time") {
    for_every_trip([](const Laid& laid) {
        for (const Leg& leg : laid.trip.legs) {
            REQUIRE(leg.start >= laid.on_time.legs.at(leg.part).start);
            REQUIRE(leg.end >= laid.on_time.legs[leg.part].end - hours(6));  // a counter that closes earlier
        }
        REQUIRE(laid.trip.packed == laid.on_time.packed);
        REQUIRE(laid.trip.handed_over == laid.on_time.handed_over);
    });
}

TEST_CASE("Law - before the leg that a late parcel waits after nothing has changed") {
    for_every_trip([](const Laid& laid) {
        if (!laid.late()) return;
        for (std::size_t i = 0; i < laid.waited_part(); ++i) {
            REQUIRE(laid.trip.legs[i].start == laid.on_time.legs[i].start);
            REQUIRE(laid.trip.legs[i].end == laid.on_time.legs[i].end);
        }
    });
}

TEST_CASE("Law - after the leg that a late parcel waits after all is as on time but for the days lost") {
    for_every_trip([](const Laid& laid) {
        if (!laid.late()) return;
        const auto& zone = laid.zone(Role::destination);
        const auto lost =
            date::sys_days(laid.trip.delivery_date) - date::sys_days(laid.on_time.delivery_date);
        for (const Leg& leg : laid.trip.legs) {
            if (leg.part <= laid.waited_part() || leg.latest) continue;
            const Leg& planned = laid.on_time.legs[leg.part];
            const auto moved = leg.end - planned.end;
            REQUIRE(moved >= lost - hours(1));  // or what the clocks took
            REQUIRE(moved <= lost + hours(1));
            if (planned.rule.kind != LegEnd::Kind::clock || planned.rule.at != Role::destination) continue;
            if (format_local_clock(zone, planned.end) < "03:30") continue;  // an hour that may be skipped
            REQUIRE(format_local_clock(zone, leg.end) == format_local_clock(zone, planned.end));
        }
    });
}

TEST_CASE("Law - the parts of a late trip are the legs of the one on time") {
    for_every_trip([](const Laid& laid) {
        std::size_t part = 0;
        std::set<std::size_t> found;
        for (const Leg& leg : laid.trip.legs) {
            REQUIRE(leg.part < laid.on_time.legs.size());
            REQUIRE(leg.part >= part);
            part = leg.part;
            found.insert(part);
            const bool waits = laid.late() && leg.name == laid.wait().name;
            REQUIRE((waits || leg.name == laid.on_time.legs[part].name));
            if (waits) REQUIRE(part == laid.waited_part());
        }
        REQUIRE(found.size() == laid.on_time.legs.size());
    });
}

TEST_CASE("Law - a wait is spent in its setting where its leg ends") {
    for_every_trip([](const Laid& laid) {
        for (const Leg& leg : laid.trip.legs) {
            if (!laid.late() || leg.name != laid.wait().name) continue;
            const Stretch stands = stand_at_end(laid.service().legs[laid.wait().leg].stretch);
            REQUIRE(leg.setting == laid.wait().setting);
            REQUIRE(leg.stretch.from == stands.from);
            REQUIRE(leg.stretch.to == stands.to);
            if (stands.from == stands.to) continue;
            REQUIRE(leg.stretch.share_at(0) == stands.share_at(1));
            REQUIRE(leg.stretch.share_at(1) == stands.share_at(1));
        }
    });
}

TEST_CASE("Law - a leg begins anew at the hour at which it began on the clock where it begins") {
    int changed = 0;
    for_every_trip([&](const Laid& laid) {
        for (std::size_t i = 0; i < laid.trip.legs.size(); ++i) {
            if (!laid.late() || laid.trip.legs[i].name != laid.wait().name) continue;
            const Instant first = laid.trip.legs[i - 1].start, anew = laid.trip.legs[i].end;
            const auto& there = laid.zone(laid.service().legs[laid.wait().leg].stretch.from);
            const std::string clock = format_local_clock(there, first);
            if (clock >= "02:00" && clock < "03:30") continue;  // an hour that may be skipped
            REQUIRE(format_local_clock(there, anew) == clock);
            changed += (anew - first) % hours(24) != seconds(0);
        }
    });
    CHECK(changed > 50);  // waits over a change of clocks
}

TEST_CASE("Law - nothing is accepted or delivered on days that are closed or no such weekdays") {
    for_every_trip([](const Laid& laid) {
        const Service& service = laid.service();
        const auto weekday = [](Date when) { return date::weekday(date::sys_days(when)).c_encoding(); };
        REQUIRE(service.delivers[weekday(laid.trip.delivery_date)]);
        REQUIRE(service.accepts[weekday(laid.trip.ship_date)]);
        REQUIRE(service.calendar->holiday_on(laid.trip.delivery_date) == nullptr);
        REQUIRE(service.calendar->holiday_on(laid.trip.ship_date) == nullptr);
        if (service.has_option("saturday") || service.has_option("sat"))
            REQUIRE(weekday(laid.on_time.delivery_date) == 6);
    });
}

TEST_CASE("Law - a parcel is handed over on its ship date and not after the cut-off") {
    for_every_trip([](const Laid& laid) {
        const auto& zone = laid.zone(Role::counter);
        REQUIRE(laid.trip.handed_over <= laid.trip.cut_off);
        REQUIRE(local_date(zone, laid.trip.handed_over) == laid.trip.ship_date);
        const EarlyClosing* early = laid.service().calendar->early_closing_on(laid.trip.ship_date);
        REQUIRE(format_local_clock(zone, laid.trip.cut_off) ==
                format_clock(early == nullptr ? laid.service().cut_off : early->cut_off));
    });
}

TEST_CASE("Law - a held parcel is collected while the counter is open") {
    int held = 0;
    for_every_trip([&](const Laid& laid) {
        if (!laid.service().held) {
            REQUIRE_FALSE(laid.trip.legs.back().latest);
            return;
        }
        ++held;
        const auto weekday = date::weekday(date::sys_days(laid.trip.delivery_date)).c_encoding();
        const auto& hours = laid.service().collection->by_weekday.at(weekday);
        REQUIRE(hours);
        const Instant closes =
            to_instant(laid.zone(Role::destination), laid.trip.delivery_date, hours->closes);
        REQUIRE(laid.trip.legs.back().latest == closes);
        REQUIRE(laid.trip.end() <= closes);
        REQUIRE(laid.trip.legs.back().earliest ==
                to_instant(laid.zone(Role::destination), laid.trip.delivery_date, hours->opens));
    });
    CHECK(held > 500);
}

TEST_CASE("Law - two days late is later than one and waiting at another place changes no date") {
    for_every_trip([](const Laid& laid) {
        if (laid.trip.late.service_days != 1) return;
        const auto two = laid.route.delayed(laid.on_time, {2, laid.trip.late.wait});
        if (const Trip* later = std::get_if<Trip>(&two)) REQUIRE(later->delivered() > laid.trip.delivered());
        const auto elsewhere = laid.route.delayed(laid.on_time, {1, 0});
        if (const Trip* other = std::get_if<Trip>(&elsewhere))
            REQUIRE(other->delivered() == laid.trip.delivered());
    });
}

TEST_CASE("Law - whenever it is now nothing has been packed before and the cut-off is kept") {
    Dice dice(5);
    int late_starts = 0;
    for (int i = 0; i < 6000; ++i) {
        const Instant now = at("2027-03-08T00:00:00Z") + minutes(dice.between(0, 14 * 1440));
        const Route route = route_to(dice.of(services().all()), kNewYork);
        const Date ship_date{date::floor<date::days>(now) + date::days(dice.between(-1, 2))};
        const auto laid = route.lay(ship_date, now);
        if (const auto* none = std::get_if<NoTrip>(&laid)) {
            CHECK_FALSE(none->reason.empty());
            CHECK_FALSE(none->brief.empty());
            continue;
        }
        const Trip& found = std::get<Trip>(laid);
        REQUIRE(found.packed >= now);
        REQUIRE(found.handed_over <= found.cut_off);
        late_starts += found.packed == now;
    }
    CHECK(late_starts > 10);
}
