// The federal holidays of config/holidays.json against two lists that do not know of each other.
#include "mildway/base/csv.hpp"
#include "mildway/base/files.hpp"
#include "mildway/transit/calendar.hpp"

#include "catch.hpp"

#include <algorithm>
#include <array>
#include <filesystem>
#include <map>
#include <string>
#include <utility>

using namespace mildway;
using namespace mildway::transit;

namespace {

/// Dates on which the holiday is kept, one for each year from 2021 to 2030.
struct Published {
    const char* id;
    std::array<const char*, 10> kept;
};

/// US Office of Personnel Management, "Federal Holidays", 2021 to 2030, from memory. Written down before any
/// program had worked them out.
const Published kOpm[] = {
    {"new-years-day",
     {"2021-01-01", "2021-12-31", "2023-01-02", "2024-01-01", "2025-01-01", "2026-01-01", "2027-01-01",
      "2027-12-31", "2029-01-01", "2030-01-01"}},
    {"martin-luther-king-day",
     {"2021-01-18", "2022-01-17", "2023-01-16", "2024-01-15", "2025-01-20", "2026-01-19", "2027-01-18",
      "2028-01-17", "2029-01-15", "2030-01-21"}},
    {"washingtons-birthday",
     {"2021-02-15", "2022-02-21", "2023-02-20", "2024-02-19", "2025-02-17", "2026-02-16", "2027-02-15",
      "2028-02-21", "2029-02-19", "2030-02-18"}},
    {"memorial-day",
     {"2021-05-31", "2022-05-30", "2023-05-29", "2024-05-27", "2025-05-26", "2026-05-25", "2027-05-31",
      "2028-05-29", "2029-05-28", "2030-05-27"}},
    {"juneteenth",
     {"2021-06-18", "2022-06-20", "2023-06-19", "2024-06-19", "2025-06-19", "2026-06-19", "2027-06-18",
      "2028-06-19", "2029-06-19", "2030-06-19"}},
    {"independence-day",
     {"2021-07-05", "2022-07-04", "2023-07-04", "2024-07-04", "2025-07-04", "2026-07-03", "2027-07-05",
      "2028-07-04", "2029-07-04", "2030-07-04"}},
    {"labor-day",
     {"2021-09-06", "2022-09-05", "2023-09-04", "2024-09-02", "2025-09-01", "2026-09-07", "2027-09-06",
      "2028-09-04", "2029-09-03", "2030-09-02"}},
    {"columbus-day",
     {"2021-10-11", "2022-10-10", "2023-10-09", "2024-10-14", "2025-10-13", "2026-10-12", "2027-10-11",
      "2028-10-09", "2029-10-08", "2030-10-14"}},
    {"veterans-day",
     {"2021-11-11", "2022-11-11", "2023-11-10", "2024-11-11", "2025-11-11", "2026-11-11", "2027-11-11",
      "2028-11-10", "2029-11-12", "2030-11-11"}},
    {"thanksgiving",
     {"2021-11-25", "2022-11-24", "2023-11-23", "2024-11-28", "2025-11-27", "2026-11-26", "2027-11-25",
      "2028-11-23", "2029-11-22", "2030-11-28"}},
    {"christmas-day",
     {"2021-12-24", "2022-12-26", "2023-12-25", "2024-12-25", "2025-12-25", "2026-12-25", "2027-12-24",
      "2028-12-25", "2029-12-25", "2030-12-25"}},
};

/// What fixtures/calendar/us_federal_holidays_2021_2030.csv calls them.
const std::map<std::string, std::string> kIdByLibraryName{
    {"New Year's Day", "new-years-day"},
    {"Birthday of Martin Luther King, Jr.", "martin-luther-king-day"},
    {"Washington's Birthday", "washingtons-birthday"},
    {"Memorial Day", "memorial-day"},
    {"Juneteenth National Independence Day", "juneteenth"},
    {"Independence Day", "independence-day"},
    {"Labor Day", "labor-day"},
    {"Columbus Day", "columbus-day"},
    {"Veterans Day", "veterans-day"},
    {"Thanksgiving Day", "thanksgiving"},
    {"Christmas Day", "christmas-day"},
};

const std::filesystem::path kSource{MILDWAY_SOURCE_DIR};

Holidays starter_holidays() {
    return Holidays::read(ConfigNode::load(kSource / "config/holidays.json"));
}

std::vector<std::string> texts(const std::vector<Date>& days) {
    std::vector<std::string> all;
    for (const Date day : days) all.push_back(format_date(day));
    return all;
}

/// Pairs of date and id, sorted, as the library has them.
std::vector<std::pair<std::string, std::string>> days_of_library() {
    const std::string bytes =
        read_file(kSource / "fixtures/calendar/us_federal_holidays_2021_2030.csv", 1 << 16);
    CsvReader reader("us_federal_holidays_2021_2030.csv", csv_text("fixture", bytes), {});
    std::vector<std::pair<std::string, std::string>> days;
    CsvRecord record;
    REQUIRE(reader.next(record));  // the names of the columns
    while (reader.next(record))
        days.emplace_back(record.cells.at(0), kIdByLibraryName.at(record.cells.at(1)));
    std::sort(days.begin(), days.end());
    return days;
}

}  // namespace

TEST_CASE("Federal holidays are kept on the days that the Office of Personnel Management publishes") {
    const Holidays holidays = starter_holidays();
    for (const Published& published : kOpm) {
        const Holiday* holiday = holidays.find(published.id);
        REQUIRE(holiday != nullptr);
        for (std::size_t i = 0; i < published.kept.size(); ++i) {
            const date::year year{2021 + static_cast<int>(i)};
            INFO(published.id << " of " << static_cast<int>(year));
            CHECK(texts(kept_days(holiday->rule, year)) == std::vector<std::string>{published.kept[i]});
        }
    }
}

TEST_CASE("Federal holidays are kept on the days that an independent library works out") {
    const Holidays holidays = starter_holidays();
    std::vector<std::pair<std::string, std::string>> ours;
    for (const auto& [name, id] : kIdByLibraryName) {
        REQUIRE(holidays.find(id) != nullptr);
        for (int year = 2021; year <= 2030; ++year) {
            for (const auto& day : texts(kept_days(holidays.find(id)->rule, date::year{year})))
                ours.emplace_back(day, id);
        }
    }
    std::sort(ours.begin(), ours.end());
    CHECK(ours == days_of_library());
}

TEST_CASE("Federal holidays are kept within a day of the date in the law and never on a weekend") {
    // 5 USC 6103: the holidays of a date
    const std::pair<const char*, date::month_day> by_law[] = {
        {"new-years-day", date::January / 1},   {"juneteenth", date::June / 19},
        {"independence-day", date::July / 4},   {"veterans-day", date::November / 11},
        {"christmas-day", date::December / 25},
    };
    const Holidays holidays = starter_holidays();
    for (const auto& [id, month_day] : by_law) {
        const DayRule& rule = holidays.find(id)->rule;
        for (date::year year = kFirstCalendarYear; year <= kLastCalendarYear; ++year) {
            const std::vector<Date> kept = kept_days(rule, year);
            REQUIRE(kept.size() == 1);
            INFO(id << " kept on " << format_date(kept[0]));
            const date::sys_days day(kept[0]);
            CHECK(date::weekday(day) != date::Saturday);
            CHECK(date::weekday(day) != date::Sunday);
            CHECK(date::abs(day - date::sys_days(year / month_day)) <= date::days{1});
        }
    }
}

TEST_CASE("Federal holidays of a weekday lie in the week of the month that the law names") {
    // 5 USC 6103. The n-th of a weekday is one of the seven days up to the day 7 n; the last, of the last
    // seven
    struct Law {
        const char* id;
        date::month month;
        date::weekday weekday;
        unsigned first_day;
        unsigned last_day;
    };
    const Law laws[] = {
        {"martin-luther-king-day", date::January, date::Monday, 15, 21},
        {"washingtons-birthday", date::February, date::Monday, 15, 21},
        {"memorial-day", date::May, date::Monday, 25, 31},
        {"labor-day", date::September, date::Monday, 1, 7},
        {"columbus-day", date::October, date::Monday, 8, 14},
        {"thanksgiving", date::November, date::Thursday, 22, 28},
    };
    const Holidays holidays = starter_holidays();
    for (const Law& law : laws) {
        for (date::year year = kFirstCalendarYear; year <= kLastCalendarYear; ++year) {
            const std::vector<Date> kept = kept_days(holidays.find(law.id)->rule, year);
            REQUIRE(kept.size() == 1);
            INFO(law.id << " kept on " << format_date(kept[0]));
            CHECK(kept[0].month() == law.month);
            CHECK(date::weekday(date::sys_days(kept[0])) == law.weekday);
            const auto day = static_cast<unsigned>(kept[0].day());
            CHECK(day >= law.first_day);
            CHECK(day <= law.last_day);
        }
    }
}

TEST_CASE("The Friday after Thanksgiving is not always the fourth Friday") {
    // November 2024 began on a Friday; Thanksgiving Day was the 28th (Office of Personnel Management)
    const Holidays holidays = starter_holidays();
    CHECK(texts(kept_days(holidays.find("day-after-thanksgiving")->rule, date::year{2024})) ==
          std::vector<std::string>{"2024-11-29"});
    CHECK(texts(kept_days(holidays.find("monday-before-thanksgiving")->rule, date::year{2024})) ==
          std::vector<std::string>{"2024-11-25"});
}
