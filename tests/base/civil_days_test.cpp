// Civil clock times day after day: through clock changes, the leap day, zones without summer time and zones
// of half hours. Offsets and changes as zdump 2.36 prints them from the system's tz database (2026f).
#include "mildway/base/time.hpp"

#include "catch.hpp"

using namespace mildway;
using namespace date::literals;

namespace {

struct Stretch {
    const char* zone;
    Date first;
    int days;
};

// both clock changes of 2027 with three days on either side, and the leap day
const Stretch kStretches[] = {
    {"America/New_York", 2027_y / 3 / 11, 7},   {"America/New_York", 2027_y / 11 / 4, 7},
    {"America/Phoenix", 2027_y / 3 / 11, 7},    {"America/Phoenix", 2027_y / 11 / 4, 7},
    {"Asia/Kolkata", 2027_y / 3 / 11, 7},       {"Australia/Adelaide", 2027_y / 4 / 1, 7},
    {"Australia/Adelaide", 2027_y / 9 / 30, 7}, {"America/New_York", 2028_y / 2 / 27, 4},
    {"Australia/Adelaide", 2028_y / 2 / 27, 4},
};

Date after(Date first, int days) {
    return Date{date::sys_days(first) + date::days{days}};
}

std::string in_utc(const char* zone, Date day, const char* clock) {
    return format_instant(to_instant(find_zone(zone), day, parse_clock(clock).value()));
}

seconds length_of(const char* zone, Date day) {
    return to_instant(find_zone(zone), after(day, 1), minutes{0}) -
           to_instant(find_zone(zone), day, minutes{0});
}

}  // namespace

TEST_CASE("A clock time that exists reads the same every day on the clock it was made for") {
    for (const Stretch& stretch : kStretches) {
        for (int i = 0; i < stretch.days; ++i) {
            const Date day = after(stretch.first, i);
            for (const char* clock : {"00:00", "00:59", "04:00", "10:30", "17:30", "23:59"}) {
                const auto& zone = find_zone(stretch.zone);
                const Instant when = to_instant(zone, day, parse_clock(clock).value());
                INFO(stretch.zone << " " << format_date(day) << " " << clock);
                CHECK(local_date(zone, when) == day);
                CHECK(format_local_clock(zone, when) == clock);
            }
        }
    }
}

TEST_CASE("The day that loses an hour has 23 and the one that gains it 25") {
    CHECK(length_of("America/New_York", 2027_y / 3 / 13) == hours{24});
    CHECK(length_of("America/New_York", 2027_y / 3 / 14) == hours{23});
    CHECK(length_of("America/New_York", 2027_y / 3 / 15) == hours{24});
    CHECK(length_of("America/New_York", 2027_y / 11 / 7) == hours{25});
    CHECK(length_of("Australia/Adelaide", 2027_y / 4 / 4) == hours{25});  // the southern autumn
    CHECK(length_of("Australia/Adelaide", 2027_y / 10 / 3) == hours{23});
}

TEST_CASE("Half past five in New York keeps to the clock in the weeks of both changes") {
    CHECK(in_utc("America/New_York", 2027_y / 3 / 13, "17:30") == "2027-03-13T22:30:00Z");
    CHECK(in_utc("America/New_York", 2027_y / 3 / 14, "17:30") == "2027-03-14T21:30:00Z");
    CHECK(in_utc("America/New_York", 2027_y / 11 / 6, "17:30") == "2027-11-06T21:30:00Z");
    CHECK(in_utc("America/New_York", 2027_y / 11 / 7, "17:30") == "2027-11-07T22:30:00Z");
}

TEST_CASE("Arizona has no summer time") {
    for (const Date day : {2027_y / 1 / 15, 2027_y / 3 / 14, 2027_y / 7 / 15, 2027_y / 11 / 7}) {
        INFO(format_date(day));
        CHECK(in_utc("America/Phoenix", day, "02:30") == format_date(day) + "T09:30:00Z");
        CHECK(length_of("America/Phoenix", day) == hours{24});
    }
}

TEST_CASE("Half hours of offset are kept with and without summer time") {
    CHECK(in_utc("Asia/Kolkata", 2027_y / 3 / 1, "00:00") == "2027-02-28T18:30:00Z");
    CHECK(in_utc("Asia/Kolkata", 2027_y / 7 / 15, "17:30") == "2027-07-15T12:00:00Z");
    CHECK(in_utc("Australia/Adelaide", 2027_y / 7 / 15, "17:30") == "2027-07-15T08:00:00Z");  // +9:30
    CHECK(in_utc("Australia/Adelaide", 2027_y / 1 / 15, "17:30") == "2027-01-15T07:00:00Z");  // +10:30
    CHECK(in_utc("Australia/Adelaide", 2027_y / 10 / 3, "03:00") == "2027-10-02T16:30:00Z");  // changed
    CHECK(in_utc("Australia/Adelaide", 2027_y / 10 / 3, "02:30") == "2027-10-02T16:30:00Z");  // skipped
    CHECK(in_utc("Australia/Adelaide", 2027_y / 4 / 4, "02:30") == "2027-04-03T16:00:00Z");   // the first
    CHECK(in_utc("Australia/Adelaide", 2027_y / 4 / 4, "03:00") == "2027-04-03T17:30:00Z");   // changed
}

TEST_CASE("The leap day is a day of its own between 28 February and 1 March") {
    CHECK(after(2028_y / 2 / 28, 1) == 2028_y / 2 / 29);
    CHECK(after(2028_y / 2 / 28, 2) == 2028_y / 3 / 1);
    CHECK(in_utc("America/New_York", 2028_y / 2 / 29, "17:30") == "2028-02-29T22:30:00Z");
    CHECK(local_date(find_zone("Asia/Kolkata"), parse_instant("2028-02-29T18:29:59Z").value()) ==
          2028_y / 2 / 29);
    CHECK(local_date(find_zone("Asia/Kolkata"), parse_instant("2028-02-29T18:30:00Z").value()) ==
          2028_y / 3 / 1);
    CHECK(format_day(2028_y / 2 / 29) == "Tue 29 Feb");
}

TEST_CASE("A parcel from Phoenix to New York crosses a clock change that only one end has") {
    // handed over on a Saturday at 17:00, delivered on the Sunday at 10:30: New York's clock is two hours
    // ahead in winter and three in summer, and its clock on the Sunday counts
    const auto hours_between = [](Date ship, Date delivery) {
        return in_hours(to_instant(find_zone("America/New_York"), delivery, minutes{10 * 60 + 30}) -
                        to_instant(find_zone("America/Phoenix"), ship, minutes{17 * 60}));
    };
    CHECK(hours_between(2027_y / 1 / 16, 2027_y / 1 / 17) == Approx(15.5));
    CHECK(hours_between(2027_y / 3 / 13, 2027_y / 3 / 14) == Approx(14.5));
    CHECK(hours_between(2027_y / 7 / 17, 2027_y / 7 / 18) == Approx(14.5));
    CHECK(hours_between(2027_y / 11 / 6, 2027_y / 11 / 7) == Approx(15.5));
}
