#include "mildway/weather/gridpoint.hpp"

#include "catch.hpp"

#include <string>

using namespace mildway;
using namespace mildway::weather;

TEST_CASE("durations of weeks days hours minutes and seconds are read") {
    const auto [text, expected] = GENERATE(table<std::string, seconds>({
        {"PT6H", hours(6)},
        {"P1DT3H", hours(27)},
        {"P8D", hours(192)},
        {"P2W", hours(336)},
        {"PT90M", minutes(90)},
        {"PT1H30M15S", hours(1) + minutes(30) + seconds(15)},
    }));
    CHECK(parse_duration(text) == expected);
}

TEST_CASE("a duration that cannot be trusted is refused") {
    const std::string text = GENERATE("", "P", "PT", "6H", "PT6", "P1M", "P1Y", "PT1.5H", "P3H", "PT6HT",
                                      "PT1M1H", "P-1D", "PT9999999H", "PT6H ");
    INFO(text);
    CHECK_THROWS_AS(parse_duration(text), std::invalid_argument);
}

TEST_CASE("a month before the T is not taken for a minute") {
    CHECK_THROWS_WITH(parse_duration("P1M"), Catch::Contains("no fixed length"));
    CHECK(parse_duration("PT1M") == minutes(1));
}

TEST_CASE("an interval is a start and a duration or an end") {
    const std::string text =
        GENERATE("2027-03-01T06:00:00+00:00/PT3H", "2027-03-01T06:00:00Z/PT3H",
                 "2027-03-01T00:00:00-06:00/PT3H", "2027-03-01T06:00:00Z/2027-03-01T09:00:00Z");
    const Interval interval = parse_interval(text);
    CHECK(format_instant(interval.start) == "2027-03-01T06:00:00Z");
    CHECK(interval.length == hours(3));
}

TEST_CASE("an interval that says nothing definite is refused") {
    const std::string text = GENERATE(
        "2027-03-01T06:00:00+00:00", "NOW/PT3H", "PT3H/2027-03-01T06:00:00Z", "2027-03-01T06:00:00/PT3H",
        "2027-02-30T06:00:00+00:00/PT3H", "2027-03-01T24:00:00+00:00/PT3H", "2027-03-01T06:00:00+00:00/PT0H",
        "2027-03-01T06:00:00Z/2027-03-01T05:00:00Z", "2027-03-01T06:00:00+00:00/");
    INFO(text);
    CHECK_THROWS_AS(parse_interval(text), std::invalid_argument);
}
