#include "fixtures.hpp"

#include <cmath>

using namespace mildway;
using namespace mildway::transit;
using namespace mildway::transit::fixtures;

TEST_CASE("The billed mass is the larger of the mass and the volume") {
    Service service = every_day_service();
    service.price = {38, 4.4, 200};
    CHECK(carriage_usd(service, 2.0, 0.008) == Approx(38 + 4.4 * 2.0).margin(1e-9));
    CHECK(carriage_usd(service, 1.0, 0.020) == Approx(38 + 4.4 * 4.0).margin(1e-9));
    service.price.dimensional_kg_per_m3 = 0;
    CHECK(carriage_usd(service, 1.0, 0.020) == Approx(38 + 4.4).margin(1e-9));
}

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
    CHECK(services().find("night-air").label == "Night air");
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
    CHECK(role_name(Role::destination) == "destination");
}
