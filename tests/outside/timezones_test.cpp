// Zone offsets against the C library's own reading of the system's tz database.
#include "mildway/base/time.hpp"

#include "catch.hpp"

#include <stdlib.h>
#include <time.h>

using namespace mildway;

namespace {

/// Sets TZ for as long as it lives.
class ClockOf {
public:
    explicit ClockOf(const char* zone) {
        if (const char* old = ::getenv("TZ")) old_ = old;
        ::setenv("TZ", zone, 1);
        ::tzset();
    }
    ~ClockOf() {
        old_.empty() ? ::unsetenv("TZ") : ::setenv("TZ", old_.c_str(), 1);
        ::tzset();
    }
    ClockOf(const ClockOf&) = delete;
    ClockOf& operator=(const ClockOf&) = delete;

    [[nodiscard]] static long offset_s(Instant when) {
        const time_t seconds_utc = when.time_since_epoch().count();
        struct tm local {};
        REQUIRE(::localtime_r(&seconds_utc, &local) != nullptr);
        return local.tm_gmtoff;
    }

private:
    std::string old_;
};

Instant utc(const char* text) {
    return parse_instant(text).value();
}

const char* const kZones[] = {
    "America/New_York",    "America/Chicago",     "America/Denver",
    "America/Los_Angeles", "America/Phoenix",     "America/Anchorage",
    "Pacific/Honolulu",    "America/Boise",       "America/Indiana/Indianapolis",
    "America/St_Johns",    "America/Puerto_Rico", "Europe/London",
    "Asia/Kolkata",        "Australia/Lord_Howe",
};

// either side of both clock changes of 2027 in New York and in Los Angeles, midsummer, midwinter, and years
// ahead
const char* const kInstants[] = {
    "2027-03-14T06:59:59Z", "2027-03-14T07:00:00Z", "2027-03-14T09:59:59Z", "2027-03-14T10:00:00Z",
    "2027-11-07T05:59:59Z", "2027-11-07T06:00:00Z", "2027-11-07T08:59:59Z", "2027-11-07T09:00:00Z",
    "2027-01-15T12:00:00Z", "2027-07-15T12:00:00Z", "2029-07-15T12:00:00Z", "2036-01-15T12:00:00Z",
};

}  // namespace

TEST_CASE("Zone offsets are those of the C library through clock changes and years ahead") {
    for (const char* name : kZones) {
        const ClockOf clock(name);
        for (const char* instant : kInstants) {
            INFO(name << " at " << instant);
            CHECK(find_zone(name).get_info(utc(instant)).offset.count() == ClockOf::offset_s(utc(instant)));
        }
    }
}

TEST_CASE("New York keeps changing its clocks two years ahead") {
    // guards against slim zone files, whose rule for later years the zone library does not read
    const auto& zone = find_zone("America/New_York");
    CHECK(zone.get_info(utc("2029-01-15T12:00:00Z")).abbrev == "EST");
    CHECK(zone.get_info(utc("2029-07-15T12:00:00Z")).abbrev == "EDT");
}

TEST_CASE("Civil times become the instants that the C library makes of them") {
    for (const char* name : kZones) {
        const ClockOf clock(name);
        for (const char* instant : kInstants) {
            const time_t seconds_utc = utc(instant).time_since_epoch().count();
            struct tm local {};
            REQUIRE(::localtime_r(&seconds_utc, &local) != nullptr);
            const Date day{date::year{local.tm_year + 1900},
                           date::month(static_cast<unsigned>(local.tm_mon + 1)),
                           date::day(static_cast<unsigned>(local.tm_mday))};
            const minutes since_midnight{local.tm_hour * 60 + local.tm_min};
            const Instant made = to_instant(find_zone(name), day, since_midnight);
            // the same, or the first of two equal clock times
            local.tm_sec = 0;
            local.tm_isdst = 1;
            const time_t as_summer = ::mktime(&local);
            INFO(name << " at " << instant);
            CHECK((made.time_since_epoch().count() == seconds_utc - seconds_utc % 60 ||
                   made.time_since_epoch().count() == as_summer));
        }
    }
}
