// Late parcels by where they wait: strata, their weights, and what falls on which leg. In the small world a
// parcel is packed at 21:30 UTC on Monday and out of the box at 15:00 UTC on Tuesday, 17.5 h later; a day
// late means 24 h more.
#include "catch.hpp"
#include "small_world.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>

using namespace mildway;
using namespace mildway::odds;
using testing::SmallWorld;

namespace {

/// Never too cold in a world above 0 degC, always too warm: hours in the box are hours outside the band.
const care::Species kAlwaysWarm = testing::species_with({-30, -20}, {-40, 90});

/// So few that every stratum is one round of scenarios, the same ones.
constexpr std::uint32_t kOneRoundEach = 256;

constexpr const char* kYardAndHall =
    R"([{"after": "hall", "share": 0.25}, {"after": "yard", "share": 0.75, "setting": "outdoors"}])";

/// Quantiles are as fine as a cell of their range, here 48 h.
constexpr double kCell_h = 0.05;

Assessment assess(const SmallWorld& world, const TripCases& cases,
                  const care::Species& species = kAlwaysWarm) {
    std::vector<BoxModel> boxes;
    boxes.push_back(world.box("small-38"));
    return assess_trip(cases, world.world(), boxes, species).front();
}

/// The first wait's cases only.
TripCases waiting_once(TripCases cases) {
    cases.one_late.resize(1);
    cases.two_late.resize(1);
    cases.wait_shares = {1};
    return cases;
}

/// The first wait's cases twice, with these shares.
TripCases waiting_twice(const TripCases& cases, double share) {
    TripCases twice = waiting_once(cases);
    twice.one_late.push_back(twice.one_late.front());
    twice.two_late.push_back(twice.two_late.front());
    twice.wait_shares = {share, 1 - share};
    return twice;
}

void check_same(const Figures& a, const Figures& b) {
    CHECK(a.hours_outside.value == Approx(b.hours_outside.value).epsilon(1e-12));
    CHECK(a.hours_p90 == b.hours_p90);
    CHECK(a.chance_outside.value == Approx(b.chance_outside.value).margin(1e-12));
    CHECK(a.chance_harm.value == Approx(b.chance_harm.value).margin(1e-12));
    CHECK(a.coldest_c.p5 == b.coldest_c.p5);
    CHECK(a.coldest_c.p50 == b.coldest_c.p50);
    CHECK(a.warmest_c.p95 == b.warmest_c.p95);
}

}  // namespace

TEST_CASE("two waits at the same place and time are as good as one") {
    const SmallWorld world({.outside_c = 9, .scenarios = kOneRoundEach, .leg_spread_minutes = 30});
    const auto species = testing::species_with({9, 30}, {5, 40});
    const Assessment once = assess(world, waiting_once(world.cases()), species);
    REQUIRE(once.all->hours_outside.value > 0.5);
    for (const double share : {0.5, 0.2, 0.001}) {
        CAPTURE(share);
        const Assessment twice = assess(world, waiting_twice(world.cases(), share), species);
        check_same(*twice.all, *once.all);
        check_same(*twice.if_late_one_day, *once.if_late_one_day);
    }
}

TEST_CASE("a wait of no share has no part in any figure") {
    const SmallWorld world({.scenarios = kOneRoundEach, .waits = kYardAndHall});
    TripCases cases = world.cases();
    cases.wait_shares = {0, 1};
    TripCases alone = cases;
    alone.one_late = {cases.one_late[1]};
    alone.two_late = {cases.two_late[1]};
    alone.wait_shares = {1};
    const Assessment with = assess(world, cases), without = assess(world, alone);
    check_same(*with.all, *without.all);
    check_same(*with.if_late_one_day, *without.if_late_one_day);
}

TEST_CASE("figures move with the shares of the waits in proportion") {
    // after the hall, kept at 15 degC, or after the yard at 0 degC
    const SmallWorld world(
        {.cold_room_c = 15, .outside_c = 0, .scenarios = kOneRoundEach, .waits = kYardAndHall});
    const auto species = testing::species_with({12, 30}, {5, 40});
    const auto hours = [&](double in_hall) {
        TripCases cases = world.cases();
        cases.wait_shares = {in_hall, 1 - in_hall};
        const Assessment assessed = assess(world, cases, species);
        return std::pair(assessed.all->hours_cold, assessed.if_late_one_day->hours_cold);
    };
    const auto [all_hall, late_hall] = hours(1);
    const auto [all_yard, late_yard] = hours(0);
    CHECK(late_yard > late_hall + 10);
    CHECK(all_yard > all_hall + 1);
    for (const double share : {0.2, 0.5, 0.9}) {
        const auto [all, late] = hours(share);
        CHECK(all == Approx(share * all_hall + (1 - share) * all_yard).epsilon(1e-9));
        CHECK(late == Approx(share * late_hall + (1 - share) * late_yard).epsilon(1e-9));
    }
}

TEST_CASE("the cases of a day hold every wait on both late days with the shares of the service") {
    const SmallWorld world({.late_one_day = 0.1, .late_more_days = 0.02, .waits = kYardAndHall});
    const TripCases cases = world.cases();
    CHECK(cases.on_time.late.service_days == 0);
    REQUIRE(cases.one_late.size() == 2);
    REQUIRE(cases.two_late.size() == 2);
    for (const std::size_t wait : {0u, 1u}) {
        CHECK(cases.one_late[wait].late.service_days == 1);
        CHECK(cases.two_late[wait].late.service_days == 2);
        CHECK(cases.one_late[wait].late.wait == wait);
    }
    CHECK(cases.wait_shares == std::vector<double>{0.25, 0.75});
    CHECK(cases.odds.one_day == Approx(0.1).margin(1e-12));
    CHECK(cases.odds.more_days == Approx(0.02).margin(1e-12));
}

TEST_CASE("a day without a trip on time has no cases and the reason of the trip") {
    const SmallWorld world({});
    const Place home{"Home", 40, -105, "America/Denver", Climate::elsewhere};
    const transit::Route route(world.service(), world.settings(),
                               transit::lane_of(world.service(), {home, home}, home),
                               {minutes(60), minutes(30)});
    const auto cases = lay_cases(route, Date{date::year{2027} / 3 / 6}, testing::at("2027-03-01T00:00:00Z"));
    REQUIRE(std::holds_alternative<transit::NoTrip>(cases));
    CHECK(std::get<transit::NoTrip>(cases).reason == "Plain accepts no parcels on Sat 6 Mar");
}

TEST_CASE("the odds of the cases are those the figures are weighed by") {
    // whoever weighed hazards changes the odds of the cases, not the service's
    const SmallWorld world({.late_one_day = 0.1, .late_more_days = 0.05});
    for (const transit::LateOdds odds : {transit::LateOdds{0.5, 0}, transit::LateOdds{0.2, 0.3}}) {
        TripCases cases = world.cases();
        cases.odds = odds;
        const Assessment assessed = assess(world, cases);
        CHECK(assessed.late.one_day == odds.one_day);
        CHECK(assessed.late.more_days == odds.more_days);
        CHECK(assessed.all->hours_outside.value ==
              Approx(17.5 + 24 * odds.one_day + 48 * odds.more_days).epsilon(1e-4));
    }
}

TEST_CASE("hours in the box are those from closing it to the buyer") {
    const SmallWorld world({.late_one_day = 0.1, .late_more_days = 0.02});
    const Assessment assessed = assess(world, world.cases());
    CHECK(assessed.in_box_h.p5 == Approx(17.5).margin(kCell_h));
    CHECK(assessed.in_box_h.p50 == Approx(17.5).margin(kCell_h));
    CHECK(assessed.in_box_h.p95 == Approx(41.5).margin(kCell_h));  // one parcel in ten is a day late
    CHECK(assessed.late_in_box_h.p5 == Approx(41.5).margin(kCell_h));
    CHECK(assessed.late_in_box_h.p95 == Approx(41.5).margin(kCell_h));
}

TEST_CASE("hours in the box weigh every wait alike when none is longer than another") {
    const SmallWorld world({.late_one_day = 0.04, .late_more_days = 0.02, .waits = kYardAndHall});
    const Assessment assessed = assess(world, world.cases());
    CHECK(assessed.in_box_h.p95 == Approx(41.5).margin(kCell_h));
    CHECK(assessed.late_in_box_h.p5 == Approx(41.5).margin(kCell_h));
    CHECK(assessed.late_in_box_h.p95 == Approx(41.5).margin(kCell_h));
}

TEST_CASE("hours of a leg in vain and the wait and the leg anew fall on the leg of the on-time trip") {
    const SmallWorld world({.late_one_day = 0.1, .late_more_days = 0.05});
    const Assessment assessed = assess(world, world.cases());
    std::vector<std::string> names;
    for (const LegShare& leg : assessed.legs) names.push_back(leg.leg);
    CHECK(names == std::vector<std::string>{"packed", "drive", "hall", "yard", "porch"});
    // the yard from 03:00 to 14:00 UTC, and the days lost
    CHECK(assessed.legs[3].hours_warm == Approx(11 + 24 * 0.1 + 48 * 0.05).epsilon(1e-3));
    CHECK(assessed.legs[4].hours_warm == Approx(1).epsilon(1e-3));
}

TEST_CASE("hours by leg sum to the hours outside whatever the waits") {
    for (const char* waits : {R"([{"after": "yard"}])", R"([{"after": "hall"}])", kYardAndHall}) {
        CAPTURE(waits);
        const SmallWorld world(
            {.cold_room_c = 11, .outside_c = 9, .scenarios = 2048, .leg_spread_minutes = 40, .waits = waits});
        const Assessment assessed = assess(world, world.cases(), testing::species_with({10, 12}, {5, 40}));
        double cold_h = 0, warm_h = 0;
        for (const LegShare& leg : assessed.legs) {
            cold_h += leg.hours_cold;
            warm_h += leg.hours_warm;
        }
        CHECK(cold_h > 1);
        CHECK(warm_h > 1);
        CHECK(cold_h == Approx(assessed.all->hours_cold).epsilon(1e-4));
        CHECK(warm_h == Approx(assessed.all->hours_warm).epsilon(1e-4));
    }
}

TEST_CASE("weather is needed to the latest end of any case and of those with a chance") {
    const SmallWorld world({.leg_spread_minutes = 20, .waits = kYardAndHall});
    TripCases cases = world.cases();
    Instant last = latest_end(cases.on_time);
    for (const auto* trips : {&cases.one_late, &cases.two_late}) {
        for (const transit::Trip& trip : *trips) {
            CHECK(latest_end(cases) >= latest_end(trip));
            last = std::max(last, latest_end(trip));
        }
    }
    CHECK(latest_end(cases) == last);
    CHECK(latest_likely_end(cases) == last);
    cases.odds = {0.1, 0};
    CHECK(latest_likely_end(cases) == std::max(latest_end(cases.one_late[0]), latest_end(cases.one_late[1])));
    cases.odds = {0, 0};
    CHECK(latest_likely_end(cases) == latest_end(cases.on_time));
}
