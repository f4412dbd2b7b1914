#include "fixtures.hpp"

using namespace mildway;
using namespace mildway::transit;
using namespace mildway::transit::fixtures;

TEST_CASE("A trip begins with packing and the drive and ends on the doorstep") {
    const Trip monday = trip(services().find("night-air"), kNewYork, "2027-03-01");
    REQUIRE(monday.legs.size() == 10);
    CHECK(monday.legs[0].name == "packed");
    CHECK(settings().at(monday.legs[0].setting).name == "indoors");
    CHECK(monday.legs[1].name == "drive");
    CHECK(settings().at(monday.legs[1].setting).name == "vehicle");
    CHECK(format_instant(monday.packed) == "2027-03-01T22:10:00Z");       // 15:10 in Las Cruces
    CHECK(format_instant(monday.legs[0].end) == "2027-03-01T22:40:00Z");  // half an hour later
    CHECK(format_instant(monday.handed_over) == "2027-03-01T23:30:00Z");  // 16:30 in El Paso
    CHECK(monday.legs.back().name == "doorstep");
}

TEST_CASE("Each clock time is read on the clock of its own place") {
    const Trip east = trip(services().find("night-air"), kNewYork, "2027-03-01");
    CHECK(end_of(east, "pick-up truck", kElPaso) == "Mon 1 Mar 21:00");
    CHECK(end_of(east, "flight to hub", kStLouis) == "Tue 2 Mar 01:15");
    CHECK(end_of(east, "flight to destination", kNewYork) == "Tue 2 Mar 06:30");
    CHECK(end_of(east, "doorstep", kNewYork) == "Tue 2 Mar 10:35");
    CHECK(format_instant(east.promised) == "2027-03-02T15:30:00Z");  // 10:30 EST

    const Trip west = trip(services().find("night-air"), kLosAngeles, "2027-03-01");
    CHECK(end_of(west, "flight to destination", kLosAngeles) == "Tue 2 Mar 06:30");
    CHECK(west.end() - east.end() == hours{3});
}

TEST_CASE("A Friday parcel waits at the station until Monday") {
    const Trip friday = trip(services().find("night-air"), kNewYork, "2027-03-05");
    CHECK(friday.delivery_date == day("2027-03-08"));
    CHECK(end_of(friday, "flight to destination", kNewYork) == "Sat 6 Mar 06:30");
    CHECK(end_of(friday, "station", kNewYork) == "Mon 8 Mar 08:15");
    CHECK(end_of(friday, "van", kNewYork) == "Mon 8 Mar 09:50");
}

TEST_CASE("A parcel held at a counter that works on Saturday can be collected then until it closes") {
    const Trip friday = trip(services().find("night-air+held"), kNewYork, "2027-03-05");
    CHECK(end_of(friday, "held at counter", kNewYork) == "Sat 6 Mar 13:00");
    const Trip thursday = trip(services().find("night-air+held"), kNewYork, "2027-03-04");
    CHECK(end_of(thursday, "held at counter", kNewYork) == "Fri 5 Mar 15:00");
}

TEST_CASE("Two service days from Thursday reach over the weekend in the hub") {
    const Trip thursday = trip(services().find("two-day"), kNewYork, "2027-03-04");
    CHECK(end_of(thursday, "road to hub", kStLouis) == "Fri 5 Mar 19:00");
    CHECK(end_of(thursday, "hub sort", kStLouis) == "Mon 8 Mar 02:30");
    CHECK(thursday.delivery_date == day("2027-03-08"));
}

TEST_CASE("A closed day is skipped by the delivery") {
    // Memorial Day, Monday 31 May 2027
    const Trip friday = trip(services().find("night-air"), kNewYork, "2027-05-28");
    CHECK(friday.delivery_date == day("2027-06-01"));
}

TEST_CASE("A parcel that misses its flight is sorted in vain and waits at the hub until the next night") {
    const Trip late = trip(services().find("night-air"), kNewYork, "2027-03-01", {1, 0});
    CHECK(late.delivery_date == day("2027-03-03"));
    CHECK(late.late.service_days == 1);
    CHECK(leg_names(late) == std::vector<std::string>{"packed", "drive", "counter", "pick-up truck",
                                                      "flight to hub", "hub sort", "wait after hub sort",
                                                      "hub sort", "flight to destination", "station", "van",
                                                      "doorstep"});
    CHECK(end_of(late, "flight to hub", kStLouis) == "Tue 2 Mar 01:15");
    CHECK(end_of(late, "hub sort", kStLouis) == "Tue 2 Mar 04:00");
    CHECK(end_of(late, "wait after hub sort", kStLouis) == "Wed 3 Mar 01:15");
    CHECK(end_of(late, "hub sort", kStLouis, 2) == "Wed 3 Mar 04:00");
    CHECK(end_of(late, "flight to destination", kNewYork) == "Wed 3 Mar 06:30");
    CHECK(end_of(late, "station", kNewYork) == "Wed 3 Mar 08:15");
    CHECK(end_of(late, "doorstep", kNewYork) == "Wed 3 Mar 10:35");
}

TEST_CASE("A parcel that misses its van waits at the station until that works again") {
    const Trip late = trip(services().find("night-air"), kNewYork, "2027-03-01", {1, 1});
    CHECK(end_of(late, "station", kNewYork) == "Tue 2 Mar 08:15");
    CHECK(end_of(late, "wait after station", kNewYork) == "Wed 3 Mar 06:30");
    CHECK(end_of(late, "station", kNewYork, 2) == "Wed 3 Mar 08:15");
    CHECK(end_of(late, "van", kNewYork) == "Wed 3 Mar 09:50");
}

TEST_CASE("A parcel that comes back from the round stays in the van") {
    const Trip late = trip(services().find("night-air"), kNewYork, "2027-03-01", {1, 2});
    const Leg& waiting = late.legs.at(9);
    CHECK(waiting.name == "wait after van");
    CHECK(settings().at(waiting.setting).name == "vehicle");
    CHECK(format_local(find_zone(kNewYork.zone), waiting.start) == "Tue 2 Mar 09:50");
    CHECK(format_local(find_zone(kNewYork.zone), waiting.end) == "Wed 3 Mar 08:15");
    CHECK(end_of(late, "van", kNewYork, 2) == "Wed 3 Mar 09:50");
}

TEST_CASE("A leg in vain and the wait and the leg anew are parts of one leg of the on-time trip") {
    const Service& service = services().find("night-air");
    const Trip on_time = trip(service, kNewYork, "2027-03-01");
    const Trip late = trip(service, kNewYork, "2027-03-01", {1, 0});
    for (const std::size_t i : {5u, 6u, 7u}) CHECK(late.legs[i].part == 5);
    CHECK(on_time.legs[5].name == "hub sort");
    CHECK(late.legs[8].part == 6);
    CHECK(late.legs.back().part == on_time.legs.size() - 1);
}

TEST_CASE("A Friday parcel that misses its van stays at the station another night and not in the van") {
    // the station's leg, from Saturday on, is longer than the day that is lost
    const Service& service = services().find("night-air");
    for (const int days : {1, 2}) {
        const Trip late = trip(service, kNewYork, "2027-03-05", {days, 1});
        CHECK(leg_names(late) == leg_names(trip(service, kNewYork, "2027-03-05")));
        CHECK(end_of(late, "flight to destination", kNewYork) == "Sat 6 Mar 06:30");
        CHECK(end_of(late, "station", kNewYork) == (days == 1 ? "Tue 9 Mar 08:15" : "Wed 10 Mar 08:15"));
        CHECK(end_of(late, "van", kNewYork) == (days == 1 ? "Tue 9 Mar 09:50" : "Wed 10 Mar 09:50"));
    }
}

TEST_CASE("Lateness does not move the promise") {
    const auto& service = services().find("night-air");
    const Instant promised = trip(service, kNewYork, "2027-03-01").promised;
    for (std::size_t wait = 0; wait < service.waits.size(); ++wait)
        CHECK(trip(service, kNewYork, "2027-03-01", {2, wait}).promised == promised);
}

TEST_CASE("A Thursday parcel late by one service day comes on Monday") {
    const auto& service = services().find("night-air");
    CHECK(trip(service, kNewYork, "2027-03-04", {1, 1}).delivery_date == day("2027-03-08"));
    CHECK(trip(service, kNewYork, "2027-03-04", {2, 1}).delivery_date == day("2027-03-09"));
}

TEST_CASE("Legs counted from the ship day move with a late parcel from the leg that it waits after on") {
    Service service = every_day_service();
    service.waits = {{1, 1, 0, "wait"}};  // linehaul, which ends at 02:30 one day after the ship day
    const Trip late = trip(service, kNewYork, "2027-04-05", {2, 0});
    CHECK(end_of(late, "counter", kElPaso) == "Mon 5 Apr 20:00");
    CHECK(end_of(late, "linehaul", kNewYork) == "Tue 6 Apr 02:30");
    CHECK(end_of(late, "wait", kElPaso) == "Wed 7 Apr 20:00");
    CHECK(end_of(late, "linehaul", kNewYork, 2) == "Thu 8 Apr 02:30");
    CHECK(end_of(late, "station", kNewYork) == "Thu 8 Apr 08:00");
}

TEST_CASE("Legs before the one that is waited after stay even when they are counted from the delivery day") {
    Service service = every_day_service();
    service.waits = {{2, 1, 0, "wait"}};
    service.legs[1].end.from = LegEnd::From::delivery_day;
    service.legs[1].end.plus_days = 0;
    const Trip late = trip(service, kNewYork, "2027-04-05", {2, 0});
    CHECK(end_of(late, "linehaul", kNewYork) == "Tue 6 Apr 02:30");
    CHECK(end_of(late, "station", kNewYork, 2) == "Thu 8 Apr 08:00");
}

TEST_CASE("In the night the clocks go forward a trip is an hour shorter") {
    const Service service = every_day_service();
    const auto night = [&](const char* ship_date) {
        const Trip laid = trip(service, kNewYork, ship_date);
        return laid.legs[4].end - laid.legs[2].end;  // station end - counter end
    };
    CHECK(night("2027-03-12") == hours{10});
    CHECK(night("2027-03-13") == hours{9});
    // Sunday evening in El Paso to Monday morning in New York: both have changed by then
    CHECK(night("2027-03-14") == hours{10});
    CHECK(night("2027-11-06") == hours{11});
    CHECK(night("2027-11-07") == hours{10});
}

TEST_CASE("A leg that ends in the hour the clocks skip ends at its close") {
    const Trip laid = trip(every_day_service(), kNewYork, "2027-03-13");
    CHECK(format_instant(laid.legs[3].end) == "2027-03-14T07:00:00Z");  // 02:30 does not exist; 03:00 EDT
}

TEST_CASE("A weekend with a clock change keeps the clock times of a waiting parcel") {
    const Trip spring = trip(services().find("night-air"), kNewYork, "2027-03-12");
    CHECK(end_of(spring, "van", kNewYork) == "Mon 15 Mar 09:50");
    // 15:10 in Las Cruces is 17:10 in New York; from there to Monday 10:35, less the hour that is skipped
    CHECK(spring.end() - spring.packed == hours{72} - hours{6} - minutes{35} - hours{1});
}

TEST_CASE("A parcel is refused on days that are closed or not accepted") {
    const Service& service = services().find("night-air");
    CHECK(refusal(service, "2027-03-06", kLongBefore) == "Night accepts no parcels on Sat 6 Mar");
    CHECK(refusal(service, "2027-05-31", kLongBefore) ==
          "Northline Parcel is closed on Mon 31 May (Memorial Day)");
}

TEST_CASE("The cut-off counts on the clock of the counter") {
    const Service& service = services().find("night-air");
    CHECK(refusal(service, "2027-03-01", at("2027-03-02T00:30:01Z")) ==
          "the cut-off of Night on Mon 1 Mar at 17:30 has passed");
    CHECK(refusal(service, "2027-03-01", at("2027-03-02T06:59:59Z")) ==
          "the cut-off of Night on Mon 1 Mar at 17:30 has passed");
}

TEST_CASE("Packing and the drive must still fit before the cut-off") {
    const Service& service = services().find("night-air");  // 30 minutes to pack and leave, 50 to drive
    CHECK(refusal(service, "2027-03-01", at("2027-03-01T23:10:00Z")).empty());  // at the counter at 17:30
    CHECK(refusal(service, "2027-03-01", at("2027-03-01T23:30:00Z")) ==
          "too late for Night on Mon 1 Mar: packing and the drive take until 17:50, the cut-off is at "
          "17:30");
}

TEST_CASE("Late in the day the box is closed now and not at the hour that was planned") {
    const Service& service = services().find("night-air");
    const Instant now = at("2027-03-01T22:40:00Z");  // 15:40; planned was 15:10
    const auto laid = route_to(service, kNewYork).lay(day("2027-03-01"), now);
    const Trip& late_start = std::get<Trip>(laid);
    CHECK(late_start.packed == now);
    CHECK(late_start.handed_over == now + minutes(80));
}

TEST_CASE("Yesterday at the counter is in the past though it is still today elsewhere") {
    const Service& service = services().find("night-air");
    CHECK(refusal(service, "2027-03-01", at("2027-03-02T07:00:00Z")) == "Mon 1 Mar is in the past");
}

TEST_CASE("A service whose legs do not fit a lane cannot be used there and says which leg") {
    Service service = every_day_service();
    service.legs[1].end.plus_days = 0;
    service.legs[1].end.clock =
        minutes{21 * 60};  // 21:00 in New York is 19:00 in El Paso, before the counter's 20:00
    const NoTrip none = no_trip(service, "2027-03-01");
    CHECK(none.reason ==
          "Daily cannot be laid to New York NY: its leg 'linehaul' would end Mon 1 Mar 21:00, before it "
          "starts Mon 1 Mar 22:00; look at its clock times and at the time zones of the places");
    CHECK(none.brief == "its legs do not fit this lane");
    CHECK_NOTHROW(trip(service, kLosAngeles, "2027-03-01"));
}

TEST_CASE("A service that cannot keep its promise on a lane cannot be used there and says when it comes") {
    Service service = every_day_service();
    service.legs[2].end = service.legs[1].end;
    service.legs[2].end.at =
        Role::counter;  // 09:00 in El Paso is 11:00 in New York, after the promised 10:30
    service.legs[2].end.clock = minutes{9 * 60};
    const NoTrip none = no_trip(service, "2027-03-01");
    CHECK(none.brief == "its legs do not keep the promise");
    CHECK(none.reason ==
          "Daily cannot keep its promise to New York NY: its legs bring the parcel Tue 2 Mar 11:00, the "
          "promise is Tue 2 Mar 10:30");
    CHECK_NOTHROW(trip(service, kLosAngeles, "2027-03-01"));  // 08:00 there
}

TEST_CASE("A service that never delivers is reported and not searched for ever") {
    Service service = every_day_service();
    service.delivers.fill(false);
    CHECK(delivery_day_after(service, day("2027-03-01"), 1) == std::nullopt);
    CHECK(refusal(service, "2027-03-01") == "Daily has no 1 day of delivery in the 60 days after Mon 1 Mar");
}

TEST_CASE("Delivery days are counted from the day after") {
    const Service& service = services().find("night-air");
    CHECK(delivery_day_after(service, day("2027-03-05"), 1) == day("2027-03-08"));
    CHECK(delivery_day_after(service, day("2027-03-05"), 2) == day("2027-03-09"));
    CHECK(delivery_day_after(service, day("2027-03-06"), 1) == day("2027-03-08"));
}
