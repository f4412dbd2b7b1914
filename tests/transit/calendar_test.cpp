// A carrier's calendar, day by day, and the keys it is read from.
#include "mildway/transit/calendar.hpp"

#include "catch.hpp"

#include <optional>
#include <stdexcept>

using namespace mildway;
using namespace mildway::transit;

namespace {

Date day(const char* text) {
    return parse_date(text).value();
}

Holidays holidays() {
    return Holidays::read(ConfigNode::parse("holidays.json", R"({"holidays": [
        {"id": "new-year", "name": "New Year", "month": 1, "day": 1, "observed": "nearest-weekday", "source": "test"},
        {"id": "first-of-year", "name": "1 January", "month": 1, "day": 1, "source": "test"},
        {"id": "leap-day", "name": "Leap Day", "month": 2, "day": 29, "source": "test"},
        {"id": "spring", "name": "Spring", "month": 4, "day": 1, "source": "test"},
        {"id": "harvest", "name": "Harvest", "month": 11, "weekday": "Thu", "nth": 4, "source": "test"},
        {"id": "before-harvest", "name": "Harvest Monday", "month": 11, "weekday": "Thu", "nth": 4, "plus_days": -3, "source": "test"},
        {"id": "eve", "name": "The Eve", "month": 12, "day": 24, "source": "test"},
        {"id": "midwinter", "name": "Midwinter", "month": 12, "day": 25, "source": "test"},
        {"id": "before-new-year", "name": "Old Year", "month": 1, "day": 1, "plus_days": -1, "source": "test"},
        {"id": "after-eve", "name": "The Week After", "month": 12, "day": 24, "plus_days": 10, "source": "test"},
        {"id": "twelfth", "name": "Twelfth", "month": 1, "day": 6, "source": "test"},
        {"id": "fair", "name": "The Fair", "dates": ["2027-08-14"], "source": "test"}]})"));
}

Calendar calendar(const std::string& keys) {
    return read_calendar(ConfigNode::parse("services.json", "{" + keys + "}"), holidays());
}

std::string complaint(const std::string& keys) {
    try {
        (void)calendar(keys);
    } catch (const InputError& error) {
        return error.what();
    }
    return "";
}

std::string holiday(const Calendar& calendar, const char* on) {
    const std::string* name = calendar.holiday_on(day(on));
    return name == nullptr ? "" : *name;
}

std::string early(const Calendar& calendar, const char* on) {
    const EarlyClosing* closing = calendar.early_closing_on(day(on));
    return closing == nullptr ? "" : closing->name;
}

std::string peak(const Calendar& calendar, const char* on) {
    const PeakWeeks* weeks = calendar.peak_on(day(on));
    return weeks == nullptr ? "" : weeks->name;
}

/// Peak weeks named "peak" between two holidays.
std::string peak_keys(const std::string& from, const std::string& until) {
    return R"("peak_weeks": [{"name": "peak", "from": ")" + from + R"(", "until": ")" + until +
           R"(", "late_odds_factor": 1.7}])";
}

}  // namespace

TEST_CASE("Without a calendar a carrier is never closed and never busy") {
    const Calendar calendar;
    CHECK(holiday(calendar, "2027-12-25").empty());
    CHECK(early(calendar, "2027-12-24").empty());
    CHECK(peak(calendar, "2027-12-20").empty());
}

TEST_CASE("A carrier is closed on its holidays and dates by name") {
    const Calendar closed = calendar(R"("closed_on": ["harvest", "fair"], "closed": ["2027-06-05"])");
    CHECK(holiday(closed, "2027-11-25") == "Harvest");
    CHECK(holiday(closed, "2028-11-23") == "Harvest");
    CHECK(holiday(closed, "2027-08-14") == "The Fair");  // a Saturday
    CHECK(holiday(closed, "2027-06-05") == "by its calendar");
    CHECK(holiday(closed, "2027-11-26").empty());
    CHECK(holiday(closed, "2028-06-05").empty());
}

TEST_CASE("A holiday shifted into the year before closes the day on which it is kept") {
    const Calendar closed = calendar(R"("closed_on": ["new-year"])");
    CHECK(holiday(closed, "2021-12-31") == "New Year");  // 1 January 2022 is a Saturday
    CHECK(holiday(closed, "2022-01-01").empty());
    CHECK(holiday(closed, "2023-01-02") == "New Year");  // 1 January 2023 is a Sunday
}

TEST_CASE("The date itself can be closed besides the day on which it is kept") {
    const Calendar closed = calendar(R"("closed_on": ["new-year", "first-of-year"])");
    CHECK(holiday(closed, "2021-12-31") == "New Year");
    CHECK(holiday(closed, "2022-01-01") == "1 January");
    CHECK(holiday(closed, "2025-01-01") == "New Year");  // both; the first listed
}

TEST_CASE("A leap day is closed in leap years") {
    const Calendar closed = calendar(R"("closed_on": ["leap-day"])");
    CHECK(holiday(closed, "2028-02-29") == "Leap Day");
    CHECK(holiday(closed, "2027-02-28").empty());
    CHECK(holiday(closed, "2027-03-01").empty());
}

TEST_CASE("The calendar reaches from 2020 to 2037 and is closed beyond") {
    const Calendar open = calendar("");
    CHECK(holiday(open, "2019-12-31") == "beyond the calendar");
    CHECK(holiday(open, "2020-01-01").empty());
    CHECK(holiday(open, "2037-12-31").empty());
    CHECK(holiday(open, "2038-01-01") == "beyond the calendar");
    const Calendar busy = calendar(peak_keys("eve", "twelfth") +
                                   R"(, "early_closings": [{"day": "twelfth", "cut_off": "12:00"}])");
    CHECK(peak(busy, "2020-01-06") == "peak");  // since 24 December 2019
    CHECK(peak(busy, "2037-12-31") == "peak");
    CHECK(peak(busy, "2038-01-06").empty());
    CHECK(early(busy, "2038-01-06").empty());
}

TEST_CASE("Days of the years beyond the calendar count when they are kept within it") {
    const Calendar closed = calendar(R"("closed_on": ["before-new-year", "after-eve"])");
    CHECK(holiday(closed, "2037-12-31") == "Old Year");        // counted back from 1 January 2038
    CHECK(holiday(closed, "2020-01-03") == "The Week After");  // counted on from 24 December 2019
}

TEST_CASE("On a day with early closings the earliest counts") {
    const Calendar closing = calendar(R"("early_closings": [
        {"day": "eve", "cut_off": "14:00"}, {"day": "harvest", "cut_off": "12:30"}, {"day": "eve", "cut_off": "13:00"},
        {"day": "eve", "cut_off": "15:00"}])");
    REQUIRE(closing.early_closing_on(day("2027-12-24")) != nullptr);
    CHECK(closing.early_closing_on(day("2027-12-24"))->cut_off == minutes{13 * 60});
    CHECK(early(closing, "2027-12-24") == "The Eve");
    CHECK(early(closing, "2027-11-25") == "Harvest");
    CHECK(early(closing, "2027-12-23").empty());
}

TEST_CASE("Peak weeks reach from their first day to their last and both count") {
    const Calendar busy = calendar(peak_keys("before-harvest", "eve"));
    // the fourth Thursday of November 2027 is the 25th, of 2028 the 23rd
    CHECK(peak(busy, "2027-11-21").empty());
    CHECK(peak(busy, "2027-11-22") == "peak");
    CHECK(peak(busy, "2027-12-24") == "peak");
    CHECK(peak(busy, "2027-12-25").empty());
    CHECK(peak(busy, "2028-11-19").empty());
    CHECK(peak(busy, "2028-11-20") == "peak");
}

TEST_CASE("Peak weeks may last over the turn of the year") {
    const Calendar busy = calendar(peak_keys("eve", "twelfth"));
    CHECK(peak(busy, "2026-12-23").empty());
    CHECK(peak(busy, "2026-12-24") == "peak");
    CHECK(peak(busy, "2026-12-31") == "peak");
    CHECK(peak(busy, "2027-01-06") == "peak");
    CHECK(peak(busy, "2027-01-07").empty());
    CHECK(peak(busy, "2027-07-01").empty());
}

TEST_CASE("Peak weeks that end on a day kept in the old year end there") {
    const Calendar busy = calendar(peak_keys("eve", "new-year"));
    CHECK(peak(busy, "2021-12-31") == "peak");  // New Year 2022 is kept here
    CHECK(peak(busy, "2022-01-01").empty());
    CHECK(peak(busy, "2022-12-31") == "peak");
    CHECK(peak(busy, "2023-01-02") == "peak");
    CHECK(peak(busy, "2023-01-03").empty());
}

TEST_CASE("Peak weeks that begin on a day kept in the old year begin there") {
    const Calendar busy = calendar(peak_keys("new-year", "twelfth"));
    CHECK(peak(busy, "2021-12-30").empty());
    CHECK(peak(busy, "2021-12-31") == "peak");
    CHECK(peak(busy, "2022-01-06") == "peak");
    CHECK(peak(busy, "2022-01-07").empty());
    CHECK(peak(busy, "2022-12-31").empty());  // New Year 2023 is kept on 2 January
}

TEST_CASE("Peak weeks may end on a day that is counted on from the old year") {
    const Calendar busy = calendar(peak_keys("first-of-year", "after-eve"));  // 24 December and ten days
    CHECK(peak(busy, "2026-12-31").empty());
    CHECK(peak(busy, "2027-01-01") == "peak");
    CHECK(peak(busy, "2027-01-03") == "peak");
    CHECK(peak(busy, "2027-01-04").empty());
}

TEST_CASE("Peak weeks of one day are that day") {
    const Calendar busy = calendar(peak_keys("eve", "eve"));
    CHECK(peak(busy, "2027-12-23").empty());
    CHECK(peak(busy, "2027-12-24") == "peak");
    CHECK(peak(busy, "2027-12-25").empty());
}

TEST_CASE("Of peak weeks that overlap the first listed count") {
    const Calendar busy = calendar(R"("peak_weeks": [
        {"name": "worst days", "from": "eve", "until": "midwinter", "late_odds_factor": 3, "surcharge_usd": 6.5},
        {"name": "season", "from": "harvest", "until": "twelfth", "late_odds_factor": 0.5}])");
    CHECK(peak(busy, "2027-12-23") == "season");
    CHECK(peak(busy, "2027-12-24") == "worst days");
    CHECK(peak(busy, "2027-12-26") == "season");
    REQUIRE(busy.peak_on(day("2027-12-24")) != nullptr);
    CHECK(busy.peak_on(day("2027-12-24"))->late_odds_factor == 3);
    CHECK(busy.peak_on(day("2027-12-24"))->surcharge_usd == 6.5);
    REQUIRE(busy.peak_on(day("2027-12-23")) != nullptr);
    CHECK(busy.peak_on(day("2027-12-23"))->late_odds_factor == 0.5);
    CHECK(busy.peak_on(day("2027-12-23"))->surcharge_usd == 0);
}

TEST_CASE("What a copied calendar answers is its own") {
    std::optional<Calendar> original = calendar(R"("closed_on": ["harvest"])");
    const Calendar copy = *original;
    original.reset();
    CHECK(holiday(copy, "2027-11-25") == "Harvest");
}

TEST_CASE("A holiday that is not in the list is answered with the nearest") {
    const std::string known =
        "(known: new-year, first-of-year, leap-day, spring, harvest, before-harvest, eve, midwinter, "
        "before-new-year, after-eve, twelfth, fair)";
    CHECK(complaint(R"("closed_on": ["harvest", "midwintr"])") ==
          "services.json:1: /closed_on: no holiday is called 'midwintr'; did you mean 'midwinter'? " + known);
    CHECK(complaint(R"("early_closings": [{"day": "Eve", "cut_off": "14:00"}])") ==
          "services.json:1: /early_closings/0/day: no holiday is called 'Eve'; did you mean 'eve'? " + known);
    CHECK(complaint(peak_keys("easter", "twelfth")) ==
          "services.json:1: /peak_weeks/0/from: no holiday is called 'easter' " + known);
    CHECK(complaint(peak_keys("eve", "twelth")) ==
          "services.json:1: /peak_weeks/0/until: no holiday is called 'twelth'; did you mean 'twelfth'? " +
              known);
}

TEST_CASE("Closed days that are no dates or come twice are refused") {
    CHECK(complaint(R"("closed": ["31 May 2027"])") ==
          "services.json:1: /closed: holds '31 May 2027'; expected dates like 2027-05-31");
    CHECK(complaint(R"("closed": ["0227-05-31"])") ==
          "services.json:1: /closed: holds '0227-05-31'; expected dates from 2020 to 2037");
    CHECK(complaint(R"("closed_on": ["eve", "eve"])") ==
          "services.json:1: /closed_on: holds 'eve' twice; expected each holiday once");
    CHECK(complaint(R"("closed": [])").empty());
}

TEST_CASE("An early closing needs a clock time and nothing else") {
    CHECK(complaint(R"("early_closings": [{"day": "eve", "cut_off": "2 pm"}])") ==
          "services.json:1: /early_closings/0/cut_off: is '2 pm'; expected a local clock time like 17:30");
    CHECK(complaint(R"("early_closings": [{"day": "eve"}])") ==
          "services.json:1: /early_closings/0/cut_off: is missing; expected text in quotes");
    CHECK(complaint(R"("early_closings": [{"day": "eve", "cut_off": "14:00", "cutoff": "13:00"}])") ==
          "services.json:1: /early_closings/0/cutoff: is not a key mildway knows here; did you mean "
          "'cut_off'?");
}

TEST_CASE("A factor or surcharge of peak weeks out of range is refused") {
    const auto with = [](const std::string& keys) {
        return complaint(R"("peak_weeks": [{"name": "peak", "from": "eve", "until": "twelfth", )" + keys +
                         "}]");
    };
    CHECK(with(R"("late_odds_factor": -1)") ==
          "services.json:1: /peak_weeks/0/late_odds_factor: is -1; expected a number from 0.1 to 50");
    CHECK(with(R"("late_odds_factor": 51)") ==
          "services.json:1: /peak_weeks/0/late_odds_factor: is 51; expected a number from 0.1 to 50");
    CHECK(with(R"("surcharge_usd": 3)") ==
          "services.json:1: /peak_weeks/0/late_odds_factor: is missing; expected a number");
    CHECK(with(R"("late_odds_factor": 2, "surcharge_usd": -3)") ==
          "services.json:1: /peak_weeks/0/surcharge_usd: is -3; expected a number from 0 to 1000");
    CHECK(with(R"("late_odds_factor": 2, "surcharge": 3)") ==
          "services.json:1: /peak_weeks/0/surcharge: is not a key mildway knows here");
}

TEST_CASE("Peak weeks with their ends exchanged are refused and not taken for most of the year") {
    CHECK(
        complaint(peak_keys("eve", "harvest")) ==
        "services.json:1: /peak_weeks/0/until: gives no day within 183 days of 2019-12-24, when these weeks "
        "begin; were 'from' and 'until' exchanged?");
}

TEST_CASE("Peak weeks until a day that not each year has are refused") {
    CHECK(
        complaint(peak_keys("twelfth", "leap-day")) ==
        "services.json:1: /peak_weeks/0/until: gives no day within 183 days of 2019-01-06, when these weeks "
        "begin; were 'from' and 'until' exchanged?");
}

TEST_CASE("More holidays than a calendar can tell apart are refused") {
    const auto closings = [](int count) {
        std::string list;
        for (int i = 0; i < count; ++i)
            list += std::string(i == 0 ? "" : ",") + R"({"day": "eve", "cut_off": "14:00"})";
        return complaint(R"("early_closings": [)" + list + "]");
    };
    CHECK(closings(255).empty());
    CHECK(closings(256) == "services.json:1: /early_closings: holds 256 entries; expected at most 255");
}

TEST_CASE("A calendar made of too many entries throws instead of taking one for another") {
    CalendarPlan plan;
    plan.early_closings.resize(256);
    CHECK_THROWS_AS(Calendar(plan), std::length_error);
}

TEST_CASE("Weekdays are named by three letters") {
    const auto read = [](const std::string& list) {
        return read_weekdays(ConfigNode::parse("services.json", R"({"accepts": )" + list + "}"), "accepts");
    };
    CHECK(read(R"(["Sun", "Wed"])") == WeekdaySet{true, false, false, true, false, false, false});
    CHECK_THROWS_WITH(read(R"(["Monday"])"),
                      "services.json:1: /accepts: no weekday is called 'Monday' "
                      "(known: Sun, Mon, Tue, Wed, Thu, Fri, Sat)");
    CHECK_THROWS_WITH(
        read("[]"),
        R"(services.json:1: /accepts: is empty; expected at least one weekday, e.g. ["Mon", "Tue"])");
}
