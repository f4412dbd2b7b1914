// Days that come every year: by date, by weekday, by list; shifted from weekends into other years.
#include "mildway/transit/calendar.hpp"

#include "catch.hpp"

using namespace mildway;
using namespace mildway::transit;

namespace {

/// The rule in the keys of a JSON object.
DayRule rule(const std::string& keys) {
    return read_day_rule(ConfigNode::parse("holidays.json", "{" + keys + "}"));
}

/// "2027-05-31", or several with blanks between, or "".
std::string kept(const DayRule& rule, int year) {
    std::string all;
    for (const Date day : kept_days(rule, date::year{year}))
        all += (all.empty() ? "" : " ") + format_date(day);
    return all;
}

std::string kept(const std::string& keys, int year) {
    return kept(rule(keys), year);
}

std::string complaint(const std::string& keys) {
    try {
        (void)rule(keys);
    } catch (const InputError& error) {
        return error.what();
    }
    return "";
}

std::string complaint_about_file(const std::string& text) {
    try {
        (void)Holidays::read(ConfigNode::parse("holidays.json", text));
    } catch (const InputError& error) {
        return error.what();
    }
    return "";
}

// 4 July is a Saturday in 2026, a Sunday in 2027, a Tuesday in 2028
const std::string kFourthOfJuly = R"("month": 7, "day": 4)";

}  // namespace

TEST_CASE("A day of a fixed date is that date unless it is to be shifted") {
    CHECK(kept(kFourthOfJuly, 2026) == "2026-07-04");
    CHECK(kept(kFourthOfJuly + R"(, "observed": "as-it-falls")", 2027) == "2027-07-04");
}

TEST_CASE("The nearest weekday is the Friday before a Saturday and the Monday after a Sunday") {
    const DayRule shifted = rule(kFourthOfJuly + R"(, "observed": "nearest-weekday")");
    CHECK(kept(shifted, 2026) == "2026-07-03");
    CHECK(kept(shifted, 2027) == "2027-07-05");
    CHECK(kept(shifted, 2028) == "2028-07-04");
}

TEST_CASE("With Sunday to Monday a Saturday stays") {
    const DayRule shifted = rule(kFourthOfJuly + R"(, "observed": "sunday-to-monday")");
    CHECK(kept(shifted, 2026) == "2026-07-04");
    CHECK(kept(shifted, 2027) == "2027-07-05");
}

TEST_CASE("The day of one year may be kept in the year before") {
    const DayRule shifted = rule(R"("month": 1, "day": 1, "observed": "nearest-weekday")");
    CHECK(kept(shifted, 2022) == "2021-12-31");
    CHECK(kept(shifted, 2021) == "2021-01-01");
}

TEST_CASE("The day of one year may be kept in the year after") {
    CHECK(kept(R"("month": 12, "day": 31, "observed": "nearest-weekday")", 2028) == "2029-01-01");
    CHECK(kept(R"("month": 12, "day": 31, "plus_days": 1)", 2025) == "2026-01-01");
}

TEST_CASE("The day 29 February is met in leap years alone") {
    const DayRule leap = rule(R"("month": 2, "day": 29)");
    CHECK(kept(leap, 2027).empty());
    CHECK(kept(leap, 2028) == "2028-02-29");
}

TEST_CASE("The n-th weekday is counted from the first of the month and the last from its end") {
    CHECK(kept(R"("month": 9, "weekday": "Mon", "nth": 1)", 2026) == "2026-09-07");   // 1 September: Tuesday
    CHECK(kept(R"("month": 2, "weekday": "Mon", "nth": 1)", 2027) == "2027-02-01");   // a Monday itself
    CHECK(kept(R"("month": 5, "weekday": "Mon", "nth": -1)", 2027) == "2027-05-31");  // the fifth
    CHECK(kept(R"("month": 5, "weekday": "Mon", "nth": -1)", 2026) == "2026-05-25");  // the fourth
}

TEST_CASE("A month without a fifth of the weekday has no such day") {
    const DayRule fifth = rule(R"("month": 5, "weekday": "Mon", "nth": 5)");
    CHECK(kept(fifth, 2026).empty());
    CHECK(kept(fifth, 2027) == "2027-05-31");
}

TEST_CASE("Days are counted on from the day that is named") {
    const std::string thanksgiving = R"("month": 11, "weekday": "Thu", "nth": 4)";
    CHECK(kept(thanksgiving + R"(, "plus_days": 1)", 2024) == "2024-11-29");
    CHECK(kept(thanksgiving + R"(, "plus_days": -3)", 2024) == "2024-11-25");
    // to another month
    CHECK(kept(R"("month": 11, "weekday": "Thu", "nth": 4, "plus_days": 4)", 2024) == "2024-12-02");
}

TEST_CASE("The shift from a weekend comes after the days are counted on") {
    // 3 July 2026 is a Friday, the day after it a Saturday
    CHECK(kept(R"("month": 7, "day": 3, "plus_days": 1, "observed": "nearest-weekday")", 2026) ==
          "2026-07-03");
    // 4 July 2026 is a Saturday, two days on it is Monday
    CHECK(kept(kFourthOfJuly + R"(, "plus_days": 2, "observed": "nearest-weekday")", 2026) == "2026-07-06");
}

TEST_CASE("Listed days are those of the year in order and weekends or not") {
    const DayRule listed = rule(R"("dates": ["2027-12-26", "2026-04-04", "2027-03-27"])");
    CHECK(kept(listed, 2027) == "2027-03-27 2027-12-26");
    CHECK(kept(listed, 2026) == "2026-04-04");
    CHECK(kept(listed, 2028).empty());
}

TEST_CASE("A day must be named in one way and one only") {
    const std::string complaints[] = {
        complaint(R"("observed": "as-it-falls")"),
        complaint(R"("month": 7, "day": 4, "weekday": "Sat", "nth": 1)"),
        complaint(R"("month": 7, "day": 4, "nth": 1)"),
        complaint(R"("month": 7, "day": 4, "dates": ["2026-07-03"])"),
        complaint(R"("month": 7, "dates": ["2026-07-03"])"),
        complaint(R"("weekday": "Mon", "dates": ["2026-07-03"])"),
    };
    for (const std::string& each : complaints) {
        CHECK(each ==
              "holidays.json: expected one of: 'month' and 'day'; 'month', 'weekday' and 'nth'; or 'dates'");
    }
}

TEST_CASE("A day that misses a part says which") {
    CHECK(complaint(R"("month": 7)") == "holidays.json: /day: is missing; expected a number");
    CHECK(complaint(R"("day": 4)") == "holidays.json: /month: is missing; expected a number");
    CHECK(complaint(R"("month": 7, "weekday": "Mon")") ==
          "holidays.json: /nth: is missing; expected a number");
    CHECK(complaint(R"("month": 7, "nth": 1)") ==
          "holidays.json: /weekday: is missing; expected text in quotes");
    CHECK(complaint(R"("month": 7, "dya": 4)") ==
          "holidays.json:1: /dya: is not a key mildway knows here; did you mean 'day' (a number), which is "
          "missing?");
}

TEST_CASE("A day that no month has is refused") {
    CHECK(complaint(R"("month": 4, "day": 31)") ==
          "holidays.json:1: /day: is 31; expected a number from 1 to 30");
    CHECK(complaint(R"("month": 2, "day": 30)") ==
          "holidays.json:1: /day: is 30; expected a number from 1 to 29");
    CHECK(complaint(R"("month": 13, "day": 1)") ==
          "holidays.json:1: /month: is 13; expected a number from 1 to 12");
    CHECK(complaint(R"("month": 7, "day": 4.5)") == "holidays.json:1: /day: is 4.5; expected a whole number");
}

TEST_CASE("A weekday that is none and a count that is none are refused") {
    CHECK(complaint(R"("month": 7, "weekday": "Tues", "nth": 1)") ==
          "holidays.json:1: /weekday: no weekday is called 'Tues'; did you mean 'Tue'? "
          "(known: Sun, Mon, Tue, Wed, Thu, Fri, Sat)");
    CHECK(complaint(R"("month": 7, "weekday": "Tue", "nth": 0)") ==
          "holidays.json:1: /nth: is 0; expected 1 to 5, or -1 for the last of the month");
    CHECK(complaint(R"("month": 7, "weekday": "Tue", "nth": 6)") ==
          "holidays.json:1: /nth: is 6; expected a number from -1 to 5");
}

TEST_CASE("A shift that is none is refused") {
    CHECK(complaint(kFourthOfJuly + R"(, "observed": "friday")") ==
          "holidays.json:1: /observed: is 'friday'; expected one of: as-it-falls, nearest-weekday, "
          "sunday-to-monday");
    CHECK(complaint(kFourthOfJuly + R"(, "plus_days": 31)") ==
          "holidays.json:1: /plus_days: is 31; expected a number from -30 to 30");
}

TEST_CASE("Listed dates must lie in the years of the calendar and come once and stay as they are") {
    CHECK(complaint(R"("dates": ["2027-02-29"])") ==
          "holidays.json:1: /dates: holds '2027-02-29'; expected dates like 2027-05-31");
    CHECK(complaint(R"("dates": ["2019-12-31"])") ==
          "holidays.json:1: /dates: holds '2019-12-31'; expected dates from 2020 to 2037");
    CHECK(complaint(R"("dates": ["2038-01-01"])") ==
          "holidays.json:1: /dates: holds '2038-01-01'; expected dates from 2020 to 2037");
    CHECK(complaint(R"("dates": ["2027-05-31", "2026-05-25", "2027-05-31"])") ==
          "holidays.json:1: /dates: holds '2027-05-31' twice; expected each date once");
    CHECK(complaint(R"("dates": [])") ==
          R"(holidays.json:1: /dates: is empty; expected at least one date, e.g. ["2027-05-31"])");
    CHECK(complaint(R"("dates": ["2027-05-30"], "observed": "nearest-weekday")") ==
          "holidays.json:1: /observed: does not go with 'dates', which are the days as they are kept");
    CHECK(complaint(R"("dates": ["2027-05-30"], "plus_days": 1)") ==
          "holidays.json:1: /plus_days: does not go with 'dates', which are the days as they are kept");
}

TEST_CASE("Holidays are found by their ids") {
    const Holidays holidays = Holidays::read(ConfigNode::parse("holidays.json", R"({"holidays": [
        {"id": "may-day", "name": "May Day", "month": 5, "day": 1, "source": "made up for tests"},
        {"id": "fair", "name": "The fair", "dates": ["2027-08-14"], "source": "made up for tests"}]})"));
    CHECK(holidays.ids() == std::vector<std::string>{"may-day", "fair"});
    REQUIRE(holidays.find("fair") != nullptr);
    CHECK(holidays.find("fair")->name == "The fair");
    CHECK(kept(holidays.find("fair")->rule, 2027) == "2027-08-14");
    CHECK(holidays.find("fairs") == nullptr);
}

TEST_CASE("A holiday that comes twice or lacks its source or has a key too many is refused") {
    CHECK(complaint_about_file(R"({"holidays": [
        {"id": "a", "name": "A", "month": 5, "day": 1, "source": "made up"},
        {"id": "a", "name": "B", "month": 6, "day": 1, "source": "made up"}]})") ==
          "holidays.json:3: /holidays/1/id: is 'a' a second time; expected each id once");
    CHECK(complaint_about_file(R"({"holidays": [{"id": "a", "name": "A", "month": 5, "day": 1}]})") ==
          "holidays.json:1: /holidays/0/source: is missing; expected text in quotes");
    CHECK(
        complaint_about_file(
            R"({"holidays": [{"id": "a", "name": "A", "month": 5, "day": 1, "year": 2027, "source": "x"}]})") ==
        "holidays.json:1: /holidays/0/year: is not a key mildway knows here");
    CHECK(complaint_about_file(R"({"holidays": [{"id": "a", "name": "A", "source": "x"}]})") ==
          "holidays.json:1: /holidays/0: expected one of: 'month' and 'day'; 'month', 'weekday' and 'nth'; "
          "or 'dates'");
    CHECK(complaint_about_file("{}") == "holidays.json: /holidays: is missing; expected a list of objects");
}
