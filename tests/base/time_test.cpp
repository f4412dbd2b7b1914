#include "mildway/base/time.hpp"

#include "mildway/base/errors.hpp"

#include "catch.hpp"

using namespace mildway;
using namespace date::literals;

namespace {

Instant utc(const char* text) {
    const auto instant = parse_instant(text);
    REQUIRE(instant);
    return *instant;
}

}  // namespace

TEST_CASE("An instant may end in Z or in an offset of either form") {
    const Instant noon = date::sys_days(2027_y / 3 / 1) + hours{12};
    CHECK(parse_instant("2027-03-01T12:00:00Z") == noon);
    CHECK(parse_instant("2027-03-01T05:00:00-07:00") == noon);
    CHECK(parse_instant("2027-03-01T17:30:00+05:30") == noon);
    CHECK(parse_instant("2027-03-01T12:00:00+00:00") == noon);
}

TEST_CASE("An instant with anything left over or left out is refused") {
    for (const char* text : {"2027-03-01T12:00:00Zx", "2027-03-01T12:00:00", "2027-03-01T12:00:00-07:00 ",
                             "2027-03-01", "", "2027-02-30T12:00:00Z", "2027-03-01T25:00:00Z", "noon"}) {
        INFO("'" << text << "'");
        CHECK_FALSE(parse_instant(text));
    }
}

TEST_CASE("A date must stand in the calendar and stand alone") {
    CHECK(parse_date("2027-03-01") == 2027_y / 3 / 1);
    CHECK(parse_date("2028-02-29") == 2028_y / 2 / 29);
    for (const char* text :
         {"2027-02-30", "2027-02-29", "2027-13-01", "2027-3-1", "2027-03-01x", "2027/03/01", ""}) {
        INFO("'" << text << "'");
        CHECK_FALSE(parse_date(text));
    }
}

TEST_CASE("A clock time has four digits and reaches to the end of the day") {
    CHECK(parse_clock("00:00") == minutes{0});
    CHECK(parse_clock("18:30") == minutes{18 * 60 + 30});
    CHECK(parse_clock("24:00") == minutes{24 * 60});
    for (const char* text : {"24:01", "12:60", "9:30", "09:3", "09.30", "-9:30", "09:30 ", ""}) {
        INFO("'" << text << "'");
        CHECK_FALSE(parse_clock(text));
    }
}

TEST_CASE("A time the clocks skip becomes the first instant after the gap") {
    // New York, Sunday 14 March 2027: 02:00 EST is followed by 03:00 EDT (15 USC 260a: second Sunday in
    // March)
    const auto& zone = find_zone("America/New_York");
    CHECK(to_instant(zone, 2027_y / 3 / 14, minutes{119}) == utc("2027-03-14T06:59:00Z"));
    CHECK(to_instant(zone, 2027_y / 3 / 14, minutes{120}) == utc("2027-03-14T07:00:00Z"));
    CHECK(to_instant(zone, 2027_y / 3 / 14, minutes{150}) == utc("2027-03-14T07:00:00Z"));
    CHECK(to_instant(zone, 2027_y / 3 / 14, minutes{180}) == utc("2027-03-14T07:00:00Z"));
}

TEST_CASE("A time that happens twice becomes the earlier one") {
    // New York, Sunday 7 November 2027: 02:00 EDT is followed by 01:00 EST (first Sunday in November)
    const auto& zone = find_zone("America/New_York");
    CHECK(to_instant(zone, 2027_y / 11 / 7, minutes{90}) == utc("2027-11-07T05:30:00Z"));
    CHECK(to_instant(zone, 2027_y / 11 / 7, minutes{120}) == utc("2027-11-07T07:00:00Z"));
}

TEST_CASE("The end of the day is the start of the next one") {
    const auto& zone = find_zone("America/Denver");
    CHECK(to_instant(zone, 2027_y / 3 / 1, minutes{24 * 60}) == to_instant(zone, 2027_y / 3 / 2, minutes{0}));
}

TEST_CASE("The local date and hour belong to the zone") {
    const Instant when = utc("2027-03-01T06:30:00Z");
    CHECK(local_date(find_zone("America/Denver"), when) == 2027_y / 2 / 28);
    CHECK(local_date(find_zone("America/New_York"), when) == 2027_y / 3 / 1);
    CHECK(local_hour(find_zone("America/Denver"), when) == Approx(23.5).margin(1e-12));
    CHECK(local_hour(find_zone("America/New_York"), when) == Approx(1.5).margin(1e-12));
}

TEST_CASE("Only region and city names are zones") {
    CHECK_THROWS_AS(find_zone("EST"), UsageError);
    CHECK_THROWS_AS(find_zone(""), UsageError);
    CHECK_THROWS_WITH(find_zone("America/Denvr"),
                      "the system's tz database has no time zone 'America/Denvr'");
}

TEST_CASE("Times are written for a person in the zone they belong to") {
    const Instant when = utc("2027-03-01T13:05:00Z");
    const auto& zone = find_zone("America/Denver");
    CHECK(format_local(zone, when) == "Mon 1 Mar 06:05");
    CHECK(format_local_clock(zone, when) == "06:05");
    CHECK(format_day(2027_y / 12 / 31) == "Fri 31 Dec");
    CHECK(format_date(2027_y / 3 / 1) == "2027-03-01");
}

TEST_CASE("What is written as an instant reads back as the same instant") {
    for (const char* text : {"2027-03-01T13:05:00Z", "1999-12-31T23:59:59Z", "2028-02-29T00:00:00Z"}) {
        CHECK(format_instant(utc(text)) == text);
    }
}
