// Durations and intervals of ISO 8601, in the example forms of public documents that quote it (quoted from
// memory).
#include "mildway/weather/gridpoint.hpp"

#include "catch.hpp"

#include <string>

using namespace mildway;
using namespace mildway::weather;

TEST_CASE("durations are those of the examples of RFC 5545") {
    // IETF RFC 5545 (2009): section 3.3.6 says what the first two last; the others stand
    // in 3.8.2.5, 3.8.6.3, 3.6.6
    const auto [text, expected] = GENERATE(table<std::string, seconds>({
        {"P15DT5H0M20S", hours(15 * 24 + 5) + seconds(20)},
        {"P7W", hours(7 * 7 * 24)},
        {"PT1H0M0S", hours(1)},
        {"PT15M", minutes(15)},
        {"PT5M", minutes(5)},
    }));
    INFO(text);
    CHECK(parse_duration(text) == expected);
}

TEST_CASE("durations follow the grammar of RFC 3339 appendix A") {
    // IETF RFC 3339 (2002), appendix A, "ISO 8601 Collected ABNF": dur-time = "T" (dur-hour / dur-minute /
    // dur-second), dur-date = (dur-day / dur-month / dur-year) [dur-time], duration = "P" (dur-date /
    // dur-time / dur-week)
    const auto [text, expected] = GENERATE(table<std::string, seconds>({
        {"PT36H", hours(36)},
        {"P1DT12H", hours(36)},
        {"PT5S", seconds(5)},
        {"PT1M5S", seconds(65)},
        {"P3D", hours(72)},
        {"P2W", hours(336)},
    }));
    INFO(text);
    CHECK(parse_duration(text) == expected);
}

TEST_CASE("years and months are refused since they have no fixed length") {
    // "P18Y9M4DT11H9M8S": W3C XML Schema 1.1 Part 2, 3.3.6, after ISO 8601; "P1Y2M10DT2H30M": ISO
    // 8601-1:2019, 5.5.2.2 (from memory); "P1M": RFC 3339 appendix A, dur-month
    const std::string text =
        GENERATE("P18Y9M4DT11H9M8S", "P1Y2M10DT2H30M", "P1M", "P1Y", "P0Y1347M", "P2M10D");
    INFO(text);
    CHECK_THROWS_WITH(parse_duration(text), Catch::Contains("no fixed length"));
}

TEST_CASE("a month before the T and a minute behind it are told apart") {
    // ISO 8601-1:2019, 5.5.2.2 (from memory): "P1M" is a month, "PT1M" a minute
    CHECK_THROWS(parse_duration("P1M"));
    CHECK(parse_duration("PT1M") == minutes(1));
}

TEST_CASE("forms of duration that the standard allows but no answer uses are refused and not guessed") {
    // decimal fractions (ISO 8601-1:2019, 5.5.2.3, from memory), the alternative form P0003-06-04T12:30:05,
    // signs (RFC 5545 allows "+P7W", ISO 8601-2 "-P1D"), small letters
    const std::string text = GENERATE("PT0.5H", "PT1,5H", "P0003-06-04T12:30:05", "+P7W", "-PT15M", "pt1h");
    INFO(text);
    CHECK_THROWS_AS(parse_duration(text), std::invalid_argument);
}

TEST_CASE("an interval is a start and an end or a start and a duration") {
    // RFC 3339 appendix A: period-explicit = iso-date-time "/" iso-date-time, period-start = iso-date-time
    // "/" duration. The times are those of RFC 5545, 3.3.9: 19970101T180000Z/19970102T070000Z and .../PT5H30M
    const auto [text, length] = GENERATE(table<std::string, seconds>({
        {"1997-01-01T18:00:00Z/1997-01-02T07:00:00Z", hours(13)},
        {"1997-01-01T18:00:00Z/PT5H30M", minutes(330)},
    }));
    const Interval interval = parse_interval(text);
    CHECK(format_instant(interval.start) == "1997-01-01T18:00:00Z");
    CHECK(interval.length == length);
}

TEST_CASE("the times of an interval are those of the examples of RFC 3339") {
    // RFC 3339, section 5.8: "1996-12-19T16:39:57-08:00" is the same as "1996-12-20T00:39:57Z"
    CHECK(format_instant(parse_interval("1996-12-19T16:39:57-08:00/PT1H").start) == "1996-12-20T00:39:57Z");
    CHECK(parse_interval("1996-12-19T16:39:57-08:00/1996-12-20T01:39:57Z").length == hours(1));
}

TEST_CASE("a duration before an end is refused") {
    // RFC 3339 appendix A: period-end = duration "/" iso-date-time; the service's schema allows it, no answer
    // has it
    CHECK_THROWS_AS(parse_interval("PT1H/1996-12-20T00:39:57Z"), std::invalid_argument);
}

TEST_CASE("an interval without an offset is refused since it could be anywhere") {
    // ISO 8601-1:2019, 4.3.13 (from memory): without a designator it is local time of an unnamed place
    CHECK_THROWS_AS(parse_interval("1996-12-20T00:39:57/PT1H"), std::invalid_argument);
}

TEST_CASE("an interval of no length says nothing and is refused") {
    const std::string length = GENERATE("PT0S", "PT0H", "P0D", "P0W", "1996-12-20T00:39:57Z");
    INFO(length);
    CHECK_THROWS_WITH(parse_interval("1996-12-20T00:39:57Z/" + length),
                      Catch::Contains("longer than nothing"));
}

TEST_CASE("an interval from an unnamed now is refused") {
    CHECK_THROWS_AS(parse_interval("NOW/PT6H"), std::invalid_argument);
}

TEST_CASE("an interval of a month is refused") {
    CHECK_THROWS_WITH(parse_interval("1996-12-20T00:39:57Z/P1M"), Catch::Contains("no fixed length"));
}
