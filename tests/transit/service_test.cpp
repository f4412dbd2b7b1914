#include "fixtures.hpp"

#include <cmath>

using namespace mildway;
using namespace mildway::transit;
using namespace mildway::transit::fixtures;

TEST_CASE("A weekday factor multiplies the odds of being late and keeps the shares") {
    Service service = every_day_service();
    service.late = {0.16, 0.04};              // odds 0.25
    service.late_factor_by_weekday[1] = 2.0;  // Monday: odds 0.5, chance a third
    const LateOdds monday = late_odds(service, day("2027-03-01"));
    CHECK(monday.one_day + monday.more_days == Approx(1.0 / 3).margin(1e-12));
    CHECK(monday.one_day / monday.more_days == Approx(4).margin(1e-9));
    CHECK(monday.on_time() == Approx(2.0 / 3).margin(1e-12));
    const LateOdds tuesday = late_odds(service, day("2027-03-02"));
    CHECK(tuesday.one_day == Approx(0.16).margin(1e-12));
}

TEST_CASE("Each weekday has its own factor") {
    Service service = every_day_service();
    service.late = {0.1, 0};
    service.late_factor_by_weekday = {1, 2, 3, 4, 5, 6, 7};  // Sunday first
    const char* sunday_to_saturday[] = {"2027-02-28", "2027-03-01", "2027-03-02", "2027-03-03",
                                        "2027-03-04", "2027-03-05", "2027-03-06"};
    for (int i = 0; i < 7; ++i) {
        INFO(sunday_to_saturday[i]);
        const double odds = (i + 1) * 0.1 / 0.9;
        CHECK(late_odds(service, day(sunday_to_saturday[i])).one_day ==
              Approx(odds / (1 + odds)).margin(1e-12));
    }
}

TEST_CASE("However large the factor a parcel stays on time in one case of ten") {
    Service service = every_day_service();
    service.late = {0.4, 0.4};
    service.late_factor_by_weekday.fill(50);
    CHECK(late_odds(service, day("2027-03-01")).on_time() == Approx(0.1).margin(1e-12));
}

TEST_CASE("A service that is never late stays so whatever the factor") {
    Service service = every_day_service();
    service.late = {0, 0};
    service.late_factor_by_weekday.fill(3);
    CHECK(late_odds(service, day("2027-03-01")).on_time() == 1.0);
}

TEST_CASE("A factor of zero takes all lateness away") {
    Service service = every_day_service();
    service.late_factor_by_weekday.fill(0);
    CHECK(late_odds(service, day("2027-03-01")).on_time() == 1.0);
}

TEST_CASE("A service is found by its id and a slip is answered with the nearest") {
    CHECK(services().find("night-air").label == "Night");
    CHECK_THROWS_AS(services().find("night-aire"), UsageError);
    CHECK_THROWS_WITH(services().find("night-aire"), Catch::Contains("did you mean 'night-air'?"));
}

TEST_CASE("The starter chances of lateness are those of published on-time rates") {
    // express parcels outside peak weeks run 95 to 99 % on time, 2018-2025, weather left out (published
    // rates)
    for (const Service& service : services().all()) {
        CHECK(service.late.on_time() >= 0.95);
        CHECK(service.late.on_time() <= 0.99);
    }
}

TEST_CASE("The starter van comes after its promise in about one of fifty cases") {
    // a published sample of 500,000 parcels: 6.9 % late by the clock, 28 % of those on the day itself
    const Service& service = services().find("night-air");
    const LegPlan& van = service.legs[6];
    REQUIRE(van.name == "van");
    const double margin_minutes = static_cast<double>((service.promised_by - van.end.clock).count());
    const double late = 0.5 * std::erfc(margin_minutes / van.end.spread_minutes / std::sqrt(2.0));
    CHECK(late == Approx(0.069 * 0.28).margin(0.005));
}

TEST_CASE("Roles are named as the config names them") {
    CHECK(role_name(Role::origin) == "origin");
    CHECK(role_name(Role::counter) == "counter");
    CHECK(role_name(Role::hub) == "hub");
    CHECK(role_name(Role::second_hub) == "second-hub");
    CHECK(role_name(Role::destination) == "destination");
}

TEST_CASE("Peak weeks multiply the odds of being late besides the weekday") {
    const Service& service = services().find("night-air");  // 3.5 % late; Mondays 1.2, peak weeks 1.7
    const auto late = [&](const char* ship_date) { return late_odds(service, day(ship_date)).late(); };
    const auto with = [](double factor) {
        const double odds = factor * 0.035 / 0.965;
        return odds / (1 + odds);
    };
    CHECK(late("2026-11-18") == Approx(0.035).margin(1e-12));  // Wednesday of the week before
    CHECK(late("2026-12-09") == Approx(with(1.7)).margin(1e-12));
    CHECK(late("2026-11-23") == Approx(with(1.7 * 1.2)).margin(1e-12));  // Monday before Thanksgiving
    CHECK(late("2026-12-28") == Approx(with(1.2 * 1.2)).margin(1e-12));  // Monday after Christmas
}

TEST_CASE("The first day accepted after a holiday has odds of its own") {
    const Service& service = services().find("night-air");
    const auto factor = [&](const char* ship_date) {
        const double late = late_odds(service, day(ship_date)).late();
        return late / (1 - late) / (0.035 / 0.965);
    };
    // Labor Day is Monday 7 September 2026
    CHECK(factor("2026-09-04") == Approx(1).margin(1e-9));
    CHECK(factor("2026-09-08") == Approx(1.2).margin(1e-9));
    CHECK(factor("2026-09-09") == Approx(1).margin(1e-9));
    // Independence Day 2026 is a Saturday, kept on Friday 3 July: Monday is the first day after it
    CHECK(factor("2026-07-06") == Approx(1.2 * 1.2).margin(1e-9));
}

TEST_CASE("A weekend without a holiday is no break") {
    Service service = every_day_service();
    service.accepts = {false, true, true, true, true, true, false};
    service.late = {0.1, 0};
    service.late_factor_after_holiday = 3;
    CHECK(late_odds(service, day("2027-03-08")).late() == Approx(0.1).margin(1e-12));
}

TEST_CASE("Peak weeks cost a surcharge besides what the options cost") {
    CHECK(extras_usd(services().find("night-air"), day("2026-11-18")) == 0);
    CHECK(extras_usd(services().find("night-air"), day("2026-12-09")) == 3);
    CHECK(extras_usd(services().find("night-air+held"), day("2026-11-18")) == -2);
    CHECK(extras_usd(services().find("night-air+held"), day("2026-12-09")) == 1);
    CHECK(extras_usd(services().find("night-air+saturday"), day("2026-12-09")) == 19);
}

TEST_CASE("An odds factor of one changes nothing") {
    const LateOdds same = with_odds_factor({0.03, 0.01}, 1);
    CHECK(same.one_day == Approx(0.03).margin(1e-15));
    CHECK(same.more_days == Approx(0.01).margin(1e-15));
}

TEST_CASE("Standing where a leg ends is being there or a share of the way along") {
    using enum Role;
    const auto stands = [](const Stretch& s, Role from, Role to, double share) {
        return s.from == from && s.to == to && s.share_at(0) == share && s.share_at(1) == share;
    };
    CHECK(stand_at_end({counter, counter}).from == counter);
    CHECK(stand_at_end({counter, destination}).from == destination);
    CHECK(stand_at_end({counter, destination}).to == destination);
    CHECK(stands(stand_at_end({counter, destination, 0.1, 0.4}), counter, destination, 0.4));
    CHECK(stands(stand_at_end({counter, destination, 0.4, 0.4}), counter, destination, 0.4));
}

TEST_CASE("A lane holds the hubs that its service passes and no others") {
    const Start start{kLasCruces, kElPaso};
    const Lane past_one = lane_of(services().find("night-air"), start, kNewYork);
    CHECK(past_one.at(Role::hub).name == "St. Louis MO");
    CHECK_FALSE(past_one.has(Role::second_hub));
    const Lane past_none = lane_of(services().find("road"), start, kNewYork);
    CHECK_FALSE(past_none.has(Role::hub));
    CHECK(past_none.at(Role::origin).name == "Las Cruces NM");
    CHECK(past_none.at(Role::counter).name == "El Paso TX");
    CHECK(past_none.at(Role::destination).name == "New York NY");
}
