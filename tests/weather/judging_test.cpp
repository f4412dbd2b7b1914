#include "mildway/weather/judging.hpp"

#include "catch.hpp"
#include "made_outlook.hpp"

#include <limits>

using namespace mildway;
using namespace mildway::weather;
using testing::made_issue;
using testing::made_place;
using testing::steady;

namespace {

Outlook at_cell(double latitude_deg) {
    Outlook outlook = steady("a grid", 5);
    outlook.cell_latitude_deg = latitude_deg;
    outlook.cell_longitude_deg = made_place().longitude_deg;
    return outlook;
}

Outlook at_height(double cell_m) {
    Outlook outlook = steady("a grid", 5);
    outlook.cell_elevation_m = cell_m;
    return outlook;
}

Place place_at_height(double elevation_m) {
    Place place = made_place();
    place.elevation_m = elevation_m;
    return place;
}

}  // namespace

TEST_CASE("a cell over the place is not worth a word") {
    Outlook outlook = at_cell(46.80);
    judge(outlook, made_place());
    CHECK(outlook.findings.empty());
    CHECK(outlook.doubt.empty());
}

TEST_CASE("a cell some way off is told") {
    Outlook outlook = at_cell(47.06);
    judge(outlook, made_place());
    REQUIRE(outlook.findings.size() == 1);
    CHECK(outlook.findings.front() == "the forecast of a grid is for a point 30 km away");
    CHECK(outlook.doubt.empty());
}

TEST_CASE("a cell of another region must not be used") {
    Outlook outlook = at_cell(48.0);
    judge(outlook, made_place());
    CHECK_THAT(outlook.doubt, Catch::Contains("km away from Duluth MN"));
}

TEST_CASE("a forecast for a mountain is warmed for the valley by the standard lapse rate") {
    // ICAO standard atmosphere: 6.5 K for each km
    Outlook outlook = at_height(1200);
    judge(outlook, place_at_height(200));
    CHECK(outlook.temp_c.front().front() == Approx(11.5).margin(1e-9));
    REQUIRE(outlook.findings.size() == 1);
    CHECK_THAT(outlook.findings.front(), Catch::Contains("1000 m above the place: +6.5 K added"));
}

TEST_CASE("a correction for height brings an error of its own") {
    Outlook outlook = at_height(1200);
    judge(outlook, place_at_height(200));
    REQUIRE(outlook.extra_error_k.size() == outlook.hour_count());
    CHECK(outlook.extra_error_k.front() == Approx(0.25 * 6.5).margin(1e-9));
}

TEST_CASE("a small difference in height is corrected without a word") {
    Outlook outlook = at_height(250);
    judge(outlook, place_at_height(200));
    CHECK(outlook.temp_c.front().front() == Approx(5.325).margin(1e-9));
    CHECK(outlook.findings.empty());
}

TEST_CASE("without both heights nothing is corrected") {
    Outlook outlook = at_height(1200);
    judge(outlook, made_place());
    CHECK(outlook.temp_c.front().front() == 5);
}

TEST_CASE("a point that counts as water is told") {
    Outlook outlook = steady("a grid", 5);
    outlook.at_sea = true;
    judge(outlook, made_place());
    REQUIRE(outlook.findings.size() == 1);
    CHECK_THAT(outlook.findings.front(), Catch::Contains("counts this point as water"));
}

TEST_CASE("a series that stops early is told") {
    Outlook outlook = steady("a grid", 5, 31);
    judge(outlook, made_place());
    REQUIRE(outlook.findings.size() == 1);
    CHECK(outlook.findings.front() == "the forecast of a grid stops early, 30 hours after it was issued");
}

TEST_CASE("a series that knows nothing must not be used") {
    Outlook outlook = steady("a grid", std::numeric_limits<double>::quiet_NaN());
    judge(outlook, made_place());
    CHECK(outlook.doubt == "a grid gives no temperature at any hour");
    Outlook empty;
    empty.source = "a grid";
    judge(empty, made_place());
    CHECK(empty.doubt == "a grid gives no temperature at any hour");
}

TEST_CASE("the age at which a forecast is stale is inclusive") {
    const Outlook outlook = steady("a grid", 5);
    CHECK(doubt_about(outlook, made_place(), made_issue() + hours(12), hours(12)).empty());
    CHECK_THAT(doubt_about(outlook, made_place(), made_issue() + hours(12) + seconds(1), hours(12)),
               Catch::Contains("is stale"));
}

TEST_CASE("a forecast from later than now is doubted beyond a little slack") {
    const Outlook outlook = steady("a grid", 5);
    CHECK(doubt_about(outlook, made_place(), made_issue() - hours(1), hours(12)).empty());
    CHECK_THAT(doubt_about(outlook, made_place(), made_issue() - hours(1) - seconds(1), hours(12)),
               Catch::Contains("later than now"));
}

TEST_CASE("the doubt of an outlook itself comes first") {
    Outlook outlook = steady("a grid", 5);
    outlook.doubt = "it is for the moon";
    CHECK(doubt_about(outlook, made_place(), made_issue() + hours(99), hours(12)) == "it is for the moon");
}

TEST_CASE("heights that cannot both be right must not be used") {
    Outlook outlook = at_height(1610);
    judge(outlook, place_at_height(5280));  // feet for metres
    CHECK_THAT(outlook.doubt,
               Catch::Contains("as the height of Duluth MN") && Catch::Contains("one is wrong"));
    CHECK(outlook.temp_c.front().front() == 5);
}

TEST_CASE("a correction that makes impossible air is noticed") {
    Outlook outlook = steady("a grid", 55);
    outlook.cell_elevation_m = 1400;
    judge(outlook, place_at_height(100));
    CHECK_THAT(outlook.doubt, Catch::Contains("outside what air can be"));
}
