// What must hold for any trip, over half a year of dates, both clock changes, every starter service and
// lateness.
#include "fixtures.hpp"

#include <algorithm>

using namespace mildway;
using namespace mildway::transit;
using namespace mildway::transit::fixtures;

namespace {

/// Calls check(service, lane, ship date, late days) wherever there is a trip; returns how many there were.
template <class Check>
int for_all_trips(Check check) {
    int trips = 0;
    for (const char* first : {"2027-02-20", "2027-05-24", "2027-10-16"}) {
        for (int i = 0; i < 30; ++i) {
            const Date ship_date = date::sys_days(day(first)) + date::days{i};
            for (const Service& service : services().all()) {
                for (const Place& destination : {kNewYork, kLosAngeles}) {
                    const Lane lane = lane_to(destination);
                    for (int late = 0; late <= 2; ++late) {
                        const auto laid =
                            lay_trip(service, settings(), lane, ship_date, late, kLongBefore, kHandOver);
                        if (const Trip* found = std::get_if<Trip>(&laid)) {
                            INFO(service.id << " " << format_date(ship_date) << " late " << late);
                            check(service, lane, *found);
                            ++trips;
                        }
                    }
                }
            }
        }
    }
    return trips;
}

}  // namespace

TEST_CASE("Legs join without gaps and never run backwards") {
    const int trips = for_all_trips([](const Service&, const Lane&, const Trip& trip) {
        REQUIRE(trip.legs.front().start == trip.packed);
        for (std::size_t i = 0; i < trip.legs.size(); ++i) {
            REQUIRE(trip.legs[i].start < trip.legs[i].end);
            if (i > 0) {
                REQUIRE(trip.legs[i].start == trip.legs[i - 1].end);
                REQUIRE(trip.legs[i].from == trip.legs[i - 1].to);
            }
        }
        REQUIRE(trip.legs.back().to == Role::destination);
    });
    CHECK(trips > 1000);
}

TEST_CASE("An on-time parcel has left the last vehicle by the promise") {
    const int trips = for_all_trips([](const Service&, const Lane&, const Trip& trip) {
        const auto last = std::find_if(trip.legs.rbegin(), trip.legs.rend(), [](const Leg& leg) {
            const auto& name = settings().at(leg.setting).name;
            return name == "vehicle" || name == "warehouse";
        });
        REQUIRE(last != trip.legs.rend());
        REQUIRE((last->end <= trip.promised) == (trip.late_service_days == 0));
    });
    CHECK(trips > 1000);
}

TEST_CASE("A late trip ends whole local days after the on-time trip") {
    const int trips = for_all_trips([](const Service& service, const Lane& lane, const Trip& trip) {
        const auto laid = lay_trip(service, settings(), lane, trip.ship_date, 0, kLongBefore, kHandOver);
        const Trip& on_time = std::get<Trip>(laid);
        const auto& zone = find_zone(lane.at(Role::destination).zone);
        REQUIRE(trip.packed == on_time.packed);
        REQUIRE(trip.promised == on_time.promised);
        REQUIRE(format_local_clock(zone, trip.end()) == format_local_clock(zone, on_time.end()));
        const auto days =
            date::sys_days(local_date(zone, trip.end())) - date::sys_days(local_date(zone, on_time.end()));
        REQUIRE(days == date::sys_days(trip.delivery_date) - date::sys_days(on_time.delivery_date));
        REQUIRE(days.count() >= trip.late_service_days);
    });
    CHECK(trips > 1000);
}

TEST_CASE("Nothing is delivered on a day that is closed") {
    const int trips = for_all_trips([](const Service& service, const Lane&, const Trip& trip) {
        const auto weekday = date::weekday(date::sys_days(trip.delivery_date)).c_encoding();
        REQUIRE(service.delivers[weekday]);
        REQUIRE(std::count(service.closed.begin(), service.closed.end(), trip.delivery_date) == 0);
        REQUIRE(std::count(service.closed.begin(), service.closed.end(), trip.ship_date) == 0);
    });
    CHECK(trips > 1000);
}
