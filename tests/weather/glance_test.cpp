#include "mildway/weather/glance.hpp"

#include "catch.hpp"
#include "made_outlook.hpp"

#include <limits>

using namespace mildway;
using namespace mildway::weather;
using testing::made_issue;
using testing::made_place;
using testing::steady;

namespace {

constexpr double kUnknown = std::numeric_limits<double>::quiet_NaN();

/// 04:00 local on a Monday.
Glance glance_of(Outlook outlook, int days = 3, unsigned threads = 1) {
    return make_glance(made_place(), std::move(outlook), made_issue(), hours(12), {days, 512, 1, threads});
}

std::size_t hour_of(const char* time) {
    return static_cast<std::size_t>((*parse_instant(time) - made_issue()) / hours(1));
}

}  // namespace

TEST_CASE("a glance has one line for each local day") {
    const Glance glance = glance_of(steady("A", 5));
    REQUIRE(glance.days.size() == 3);
    CHECK(format_date(glance.days[0].day) == "2027-03-01");
    CHECK(glance.days[0].hours_known == 20);  // from 04:00
    CHECK(glance.days[1].hours_known == 24);
}

TEST_CASE("the fan lies about the forecast and in order") {
    const Glance glance = glance_of(steady("A", 5));
    for (const DayGlance& day : glance.days) {
        CHECK(day.low.p5_c < day.low.p50_c);
        CHECK(day.low.p50_c < day.high.p50_c);
        CHECK(day.high.p50_c < day.high.p95_c);
        CHECK(day.low.p95_c < day.high.p95_c);
    }
    for (const HourGlance& hour : glance.hours) {
        CHECK(hour.temp.p5_c < 5);
        CHECK(hour.temp.p95_c > 5);
    }
}

TEST_CASE("the fan widens with the days") {
    const Glance glance = glance_of(steady("A", 5), 6);
    const auto width = [](const DayGlance& day) { return day.high.p95_c - day.high.p5_c; };
    CHECK(width(glance.days[5]) > 1.3 * width(glance.days[1]));
}

TEST_CASE("days of which nothing is known are left out") {
    CHECK(glance_of(steady("A", 5, 30), 5).days.size() == 2);
}

TEST_CASE("totals of snow are given only when every hour of the day is known") {
    Outlook outlook = steady("A", -3);
    outlook.snow_mm_per_h.assign(144, 0.5);
    outlook.ice_mm_per_h.assign(144, 0.0);
    outlook.snow_mm_per_h[hour_of("2027-03-03T12:00:00Z")] = kUnknown;
    const Glance glance = glance_of(outlook);
    REQUIRE(glance.days[1].snow_mm);
    CHECK(*glance.days[1].snow_mm == Approx(12).margin(1e-9));
    CHECK_FALSE(glance.days[2].snow_mm);
    CHECK(*glance.days[2].ice_mm == 0);
}

TEST_CASE("the sky is that of the hours of daylight") {
    Outlook outlook = steady("A", 5);
    outlook.cloud_fraction.assign(144, 1.0);
    for (std::size_t hour = hour_of("2027-03-02T14:00:00Z"); hour <= hour_of("2027-03-03T00:00:00Z"); ++hour)
        outlook.cloud_fraction[hour] = 0.1;  // 08:00 to 18:00
    const Glance glance = glance_of(outlook);
    CHECK(*glance.days[1].cloud_fraction == Approx(0.1).margin(1e-9));
    CHECK(*glance.days[2].cloud_fraction == Approx(1).margin(1e-9));
}

TEST_CASE("layers that nobody has are empty and not zero") {
    const Glance glance = glance_of(steady("A", 5));
    CHECK_FALSE(glance.days[0].cloud_fraction);
    CHECK_FALSE(glance.days[0].gust_m_per_s);
    CHECK_FALSE(glance.days[0].snow_mm);
    CHECK_FALSE(glance.days[0].thunder_probability);
}

TEST_CASE("days on which the climate speaks are marked") {
    Outlook outlook = steady("A", 5);
    outlook.climate_from = *parse_instant("2027-03-03T20:00:00Z");
    const Glance glance = glance_of(outlook);
    CHECK_FALSE(glance.days[1].climate);
    CHECK(glance.days[2].climate);
}

TEST_CASE("a stale outlook is shown with its doubt") {
    Outlook outlook = steady("A", 5);
    outlook.issued -= hours(20);
    CHECK_THAT(glance_of(outlook).doubt, Catch::Contains("is stale"));
}

TEST_CASE("a day of 23 hours has 23") {
    Outlook outlook = steady("A", 5, 24 * 16);
    const Glance glance = glance_of(outlook, 14);
    CHECK(format_date(glance.days[13].day) == "2027-03-14");  // clocks go forward
    CHECK(glance.days[13].hours_known == 23);
}

TEST_CASE("a glance is the same on any number of threads") {
    const Glance one = glance_of(steady("A", 5), 3, 1);
    const Glance three = glance_of(steady("A", 5), 3, 3);
    REQUIRE(one.hours.size() == three.hours.size());
    for (std::size_t i = 0; i < one.hours.size(); ++i) {
        CHECK(one.hours[i].temp.p5_c == three.hours[i].temp.p5_c);
        CHECK(one.hours[i].temp.p95_c == three.hours[i].temp.p95_c);
    }
}
