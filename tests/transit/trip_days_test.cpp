// Single days on which a trip is not like others: early closings, holidays, Fridays, a car that waits.
#include "fixtures.hpp"

using namespace mildway;
using namespace mildway::transit;
using namespace mildway::transit::fixtures;

namespace {

Trip laid_at(const Service& service, const char* ship_date, const char* now, const HandOver& hand_over) {
    return std::get<Trip>(route_to(service, kNewYork, hand_over).lay(day(ship_date), at(now)));
}

std::string at_el_paso(Instant when) {
    return format_local(find_zone(kElPaso.zone), when);
}

const HandOver kParks{minutes{50}, minutes{30}, minutes{20}};

}  // namespace

TEST_CASE("A parcel that waits in the parked car leaves home earlier by as much") {
    const Service& service = services().find("night-air");
    const Trip parks = laid_at(service, "2027-03-01", "2026-01-02T00:00:00Z", kParks);
    REQUIRE(parks.legs.at(2).name == "parked");
    CHECK(settings().at(parks.legs[2].setting).name == "parked-vehicle");
    CHECK(parks.legs[2].stretch.from == Role::counter);
    CHECK(parks.legs[2].stretch.to == Role::counter);
    CHECK(at_el_paso(parks.packed) == "Mon 1 Mar 14:50");
    CHECK(at_el_paso(parks.legs[1].end) == "Mon 1 Mar 16:10");
    CHECK(at_el_paso(parks.legs[2].end) == "Mon 1 Mar 16:30");
    CHECK(at_el_paso(parks.handed_over) == "Mon 1 Mar 16:30");
    CHECK(parks.legs[3].name == "counter");
}

TEST_CASE("A parcel that is carried in at once has no such leg") {
    const Trip trip_without = trip(services().find("night-air"), kNewYork, "2027-03-01");
    for (const Leg& leg : trip_without.legs) CHECK(leg.name != "parked");
}

TEST_CASE("Time in the parked car counts against the cut-off") {
    const Service& service = services().find("night-air");
    // 15:50 in El Paso; 30 minutes to pack, 50 to drive, 20 parked: 17:30
    CHECK(at_el_paso(laid_at(service, "2027-03-01", "2027-03-01T22:50:00Z", kParks).handed_over) ==
          "Mon 1 Mar 17:30");
    const NoTrip none = no_trip(service, "2027-03-01", at("2027-03-01T22:51:00Z"), kNewYork, kParks);
    CHECK(none.reason ==
          "too late for Night on Mon 1 Mar: packing and the drive take until 17:31, the cut-off is at 17:30");
    CHECK(none.brief == "too late for the cut-off");
}

TEST_CASE("On Christmas Eve the cut-off comes earlier and the hand-over as long before it as on other days") {
    const Trip eve = trip(services().find("night-air"), kNewYork, "2026-12-24");
    CHECK(at_el_paso(eve.cut_off) == "Thu 24 Dec 14:00");
    CHECK(at_el_paso(eve.handed_over) == "Thu 24 Dec 13:00");
    CHECK(at_el_paso(eve.packed) == "Thu 24 Dec 11:40");
    CHECK(eve.legs[2].name == "counter");
    CHECK(at_el_paso(eve.legs[2].start) == "Thu 24 Dec 13:00");
    CHECK(at_el_paso(eve.legs[2].end) == "Thu 24 Dec 18:15");  // the truck comes as always
    CHECK(eve.delivery_date == day("2026-12-28"));             // Friday is Christmas, then the weekend
}

TEST_CASE("The day before Christmas Eve has the usual cut-off") {
    const Trip before = trip(services().find("night-air"), kNewYork, "2026-12-23");
    CHECK(at_el_paso(before.cut_off) == "Wed 23 Dec 17:30");
    CHECK(at_el_paso(before.handed_over) == "Wed 23 Dec 16:30");
}

TEST_CASE("An early closing later than the usual cut-off changes nothing") {
    Service service = every_day_service();
    service.cut_off = minutes{13 * 60};
    service.hand_over = minutes{12 * 60};
    service.calendar = services().find("night-air").calendar;
    CHECK(at_el_paso(trip(service, kNewYork, "2026-12-24").cut_off) == "Thu 24 Dec 13:00");
    CHECK(at_el_paso(trip(service, kNewYork, "2026-12-24").handed_over) == "Thu 24 Dec 12:00");
}

TEST_CASE("The early cut-off that has passed is told with the name of its day") {
    const Service& service = services().find("night-air");
    const NoTrip none = no_trip(service, "2026-12-24", at("2026-12-24T21:00:01Z"));  // 14:00:01 in El Paso
    CHECK(none.reason == "the cut-off of Night on Thu 24 Dec at 14:00 (Christmas Eve) has passed");
    CHECK(none.brief == "the cut-off has passed");
    CHECK(
        refusal(service, "2026-12-24", at("2026-12-24T21:00:00Z")) ==
        "too late for Night on Thu 24 Dec: packing and the drive take until 15:20, the cut-off is at 14:00");
}

TEST_CASE("On a day that closes early the parcel may still leave at once") {
    const Trip late_start =
        laid_at(services().find("night-air"), "2026-12-24", "2026-12-24T19:30:00Z", kHandOver);
    CHECK(at_el_paso(late_start.packed) == "Thu 24 Dec 12:30");
    CHECK(at_el_paso(late_start.handed_over) == "Thu 24 Dec 13:50");
}

TEST_CASE("Closed days are told in brief by their name alone") {
    const NoTrip none = no_trip(services().find("night-air"), "2026-11-26");
    CHECK(none.reason == "Northline Parcel is closed on Thu 26 Nov (Thanksgiving Day)");
    CHECK(none.brief == "closed, Thanksgiving Day");
    CHECK(no_trip(services().find("night-air"), "2026-11-28").brief == "no parcels accepted");
    CHECK(no_trip(services().find("night-air"), "2026-11-25", at("2026-11-26T12:00:00Z")).brief == "past");
}

TEST_CASE("A parcel of the day before Thanksgiving comes the day after it or on Monday when late") {
    const Service& service = services().find("night-air");
    CHECK(trip(service, kNewYork, "2026-11-24").delivery_date == day("2026-11-25"));
    const Trip wednesday = trip(service, kNewYork, "2026-11-25");
    CHECK(wednesday.delivery_date == day("2026-11-27"));
    CHECK(end_of(wednesday, "flight to destination", kNewYork) == "Thu 26 Nov 06:30");
    CHECK(end_of(wednesday, "station", kNewYork) == "Fri 27 Nov 08:15");
    CHECK(trip(service, kNewYork, "2026-11-25", {1, 0}).delivery_date == day("2026-11-30"));
    CHECK(trip(service, kNewYork, "2026-11-24", {1, 0}).delivery_date == day("2026-11-27"));
    CHECK(trip(service, kNewYork, "2026-11-27").delivery_date == day("2026-11-30"));
}

TEST_CASE("Two days from the Tuesday before Thanksgiving end on the Friday after it") {
    CHECK(trip(services().find("two-day"), kNewYork, "2026-11-24").delivery_date == day("2026-11-27"));
}

TEST_CASE("A Friday parcel comes on Monday or with the Saturday option on Saturday") {
    CHECK(trip(services().find("night-air"), kNewYork, "2027-03-05").delivery_date == day("2027-03-08"));
    const Trip saturday = trip(services().find("night-air+saturday"), kNewYork, "2027-03-05");
    CHECK(saturday.delivery_date == day("2027-03-06"));
    CHECK(end_of(saturday, "van", kNewYork) == "Sat 6 Mar 09:50");
    CHECK(trip(services().find("night-air+held"), kNewYork, "2027-03-05").delivery_date == day("2027-03-06"));
}

TEST_CASE("A Saturday parcel that is late comes on Monday") {
    const Service& service = services().find("night-air+saturday");
    CHECK(trip(service, kNewYork, "2027-03-05", {1, 1}).delivery_date == day("2027-03-08"));
    CHECK(trip(service, kNewYork, "2027-03-05", {2, 1}).delivery_date == day("2027-03-09"));
}

TEST_CASE("The Saturday option is not bought for parcels that come on another day") {
    const NoTrip none = no_trip(services().find("night-air+saturday"), "2027-03-04");
    CHECK(none.reason == "Night, Sat is for deliveries on Sat; a parcel of Thu 4 Mar comes on Fri 5 Mar");
    CHECK(none.brief == "only for deliveries on Sat");
    CHECK(refusal(services().find("night-air+saturday"), "2026-11-25") ==
          "Night, Sat is for deliveries on Sat; a parcel of Wed 25 Nov comes on Fri 27 Nov");
}

TEST_CASE("On a Saturday that is a holiday the Saturday option has nothing to deliver") {
    // Christmas 2027 is a Saturday; the Friday before it is kept
    CHECK(refusal(services().find("night-air+saturday"), "2027-12-23") ==
          "Night, Sat is for deliveries on Sat; a parcel of Thu 23 Dec comes on Mon 27 Dec");
}

TEST_CASE("A service is not sold beyond its zones whatever the day") {
    const Place juneau = place("Juneau AK", 58.3, -134.42, "America/Juneau");
    const Route route = route_to(services().find("night-air"), juneau);
    CHECK_THAT(route.not_sold(), Catch::StartsWith("Night is "));
    const NoTrip none = no_trip(services().find("night-air"), "2027-03-01", kLongBefore, juneau);
    CHECK(none.reason == route.not_sold());
    CHECK(none.brief == "not sold there");
    CHECK(route_to(services().find("night-air"), kNewYork).not_sold().empty());
}

TEST_CASE("The zone of a route is that of its destination from the counter") {
    const Service& service = services().find("night-air");
    const auto& zones = service.zones->all();
    CHECK(zones.at(route_to(service, kNewYork).zone()).name == "far");        // 3,040 km
    CHECK(zones.at(route_to(service, kLosAngeles).zone()).name == "middle");  // 1,130 km
    CHECK(zones.at(route_to(service, kLasCruces).zone()).name == "near");
}

TEST_CASE("The road service stays within the near zone") {
    CHECK_THAT(route_to(services().find("road"), kNewYork).not_sold(), Catch::StartsWith("Road is not sold"));
    CHECK(route_to(services().find("road"), kLasCruces).not_sold().empty());
    CHECK(no_trip(services().find("road"), "2027-03-01", kLongBefore, kLasCruces).reason.empty());
}
