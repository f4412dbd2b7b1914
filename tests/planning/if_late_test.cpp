// What being late means beyond temperatures: civil days lost, and when warmers give out.
#include "mildway/planning/if_late.hpp"

#include "catch.hpp"
#include "plan_world.hpp"

using namespace mildway;
using namespace mildway::planning;
using testing::starter;

namespace {

odds::TripCases cases_of(const char* service, const char* ship_date) {
    const auto& found = starter().services.find(service);
    const transit::Route route(
        found, starter().settings,
        transit::lane_of(found, {starter().origin, starter().counter}, *starter().find_place("Albany NY")),
        starter().hand_over);
    return std::get<odds::TripCases>(
        odds::lay_cases(route, *parse_date(ship_date), *parse_instant("2026-01-02T00:00:00Z")));
}

IfLate late(const char* service, const char* ship_date, const char* packing = "small-38") {
    return if_late(starter().services.find(service), cases_of(service, ship_date),
                   starter().packings.find(packing), starter().supplies.warmers);
}

}  // namespace

TEST_CASE("a service day lost is a day within the week and more over a weekend or a holiday") {
    CHECK(late("night-air", "2027-03-01").days_later == 1);           // Tuesday, Wednesday
    CHECK(late("night-air", "2027-03-04").days_later == 3);           // Friday, Monday
    CHECK(late("night-air", "2027-03-05").days_later == 1);           // Monday, Tuesday
    CHECK(late("night-air", "2026-11-24").days_later == 2);           // Wednesday, Friday after Thanksgiving
    CHECK(late("night-air", "2026-11-25").days_later == 3);           // Friday, Monday
    CHECK(late("night-air", "2027-05-27").days_later == 4);           // Friday, Tuesday after Memorial Day
    CHECK(late("night-air+held", "2027-03-04").days_later == 1);      // Friday, Saturday
    CHECK(late("night-air+saturday", "2027-03-05").days_later == 2);  // Saturday, Monday
}

TEST_CASE("a parcel is trapped when more than a day is lost") {
    CHECK_FALSE(late("night-air", "2027-03-01").is_trapped());
    CHECK(late("night-air", "2027-03-04").is_trapped());
    CHECK(late("night-air", "2026-11-24").is_trapped());
}

TEST_CASE("the late trip told is the one that waits where most late parcels wait") {
    const IfLate told = late("night-air", "2027-03-01");
    CHECK(told.waits_in == "hub sort");
    CHECK(told.trip.late.service_days == 1);
    CHECK(told.trip.late.wait == 0);
    odds::TripCases snowed_in = cases_of("night-air", "2027-03-01");
    snowed_in.wait_shares = {0.1, 0.2, 0.7};  // weather may have moved them
    const IfLate moved = if_late(starter().services.find("night-air"), snowed_in,
                                 starter().packings.find("small-38"), starter().supplies.warmers);
    CHECK(moved.waits_in == "van");
    CHECK(moved.trip.late.wait == 2);
}

TEST_CASE("warmers are low when their table falls below half of its most and not before") {
    // 40 h warmer: most 2.1 W; 1.05 W between 2.0 at 26 h and 0 at 48 h, that is 36.45 h after opening,
    // which is 45 minutes before packing, at 15:10 in Las Cruces
    const IfLate told = late("night-air", "2027-03-01", "small-38-1w");
    REQUIRE(told.warmers_low.size() == 1);
    CHECK(told.warmers_low[0].label == "40-hour warmer");
    const Instant packed = *parse_instant("2027-03-01T22:10:00Z");
    CHECK(std::abs(in_hours(told.warmers_low[0].when - packed) - (36.45 - 0.75)) < 0.001);
    // 72 h warmer: most 1.5 W; 0.75 W between 1.45 at 48 h and 0 at 84 h
    const IfLate slow = late("night-air", "2027-03-01", "small-38-1s");
    CHECK(std::abs(in_hours(slow.warmers_low.at(0).when - packed) - (48 + 36 * 0.7 / 1.45 - 0.75)) < 0.001);
}

TEST_CASE("warmers of one kind are told once and a recipe without any has none") {
    CHECK(late("night-air", "2027-03-01", "small-38-2w").warmers_low.size() == 1);
    CHECK(late("night-air", "2027-03-01", "small-38").warmers_low.empty());
}

TEST_CASE("warmers opened long before packing are low at once and not earlier") {
    box::Packing old = starter().packings.find("small-38-1w");
    old.warmers[0].opened_before_packing_h = 60;
    const odds::TripCases cases = cases_of("night-air", "2027-03-01");
    const IfLate told = if_late(starter().services.find("night-air"), cases, old, starter().supplies.warmers);
    CHECK(told.warmers_low.at(0).when == cases.on_time.packed);
}
