// Instants are UTC seconds; civil times carry a zone and become instants once, here.
#pragma once

#include <chrono>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include <date/date.h>
#include <date/tz.h>

// Linking without the package's CMake target makes the zone database read garbage, silently.
static_assert(USE_OS_TZDB == 1, "link date::date-tz, so that zones come from the system's tz database");

namespace mildway {

using Instant = date::sys_seconds;
using Date = date::year_month_day;
using std::chrono::hours;
using std::chrono::minutes;
using std::chrono::seconds;

/// An IANA zone by "Region/City" name, or UsageError naming it. Bare abbreviations are refused.
[[nodiscard]] const date::time_zone& find_zone(std::string_view name);

/// A civil time in `zone` as an instant. A time the clocks skip becomes the first instant after the gap;
/// a time that happens twice becomes the earlier one.
[[nodiscard]] Instant to_instant(const date::time_zone& zone, Date day, minutes since_midnight);

/// The civil time at `when` in `zone`.
[[nodiscard]] date::local_seconds to_local(const date::time_zone& zone, Instant when);

/// The civil date at `when` in `zone`.
[[nodiscard]] Date local_date(const date::time_zone& zone, Instant when);

/// Hours since local midnight on the clock, 0 to 24.
[[nodiscard]] double local_hour(const date::time_zone& zone, Instant when);

/// Names of the weekdays, as in config files and in what people read: "Sun" to "Sat".
[[nodiscard]] const std::vector<std::string>& weekday_names();

/// Sunday 0 to Saturday 6.
[[nodiscard]] inline unsigned weekday_index(date::sys_days day) {
    return date::weekday(day).c_encoding();
}

/// "2027-03-01T06:00:00Z", with Z or a numeric offset; nothing may follow. Empty when it is not one.
[[nodiscard]] std::optional<Instant> parse_instant(std::string_view text);

/// "2027-03-01"; empty when it is not a date of the calendar.
[[nodiscard]] std::optional<Date> parse_date(std::string_view text);

/// "18:30" as minutes since midnight; "24:00" is the end of the day. Empty when it is not a clock time.
[[nodiscard]] std::optional<minutes> parse_clock(std::string_view text);

[[nodiscard]] std::string format_instant(Instant when);                             ///< 2027-03-01T06:00:00Z
[[nodiscard]] std::string format_date(Date day);                                    ///< 2027-03-01
[[nodiscard]] std::string format_day(Date day);                                     ///< Mon 1 Mar
[[nodiscard]] std::string format_local(const date::time_zone& zone, Instant when);  ///< Mon 1 Mar 06:00
[[nodiscard]] std::string format_local_clock(const date::time_zone& zone, Instant when);  ///< 06:00
[[nodiscard]] std::string format_clock(minutes since_midnight);                           ///< 06:00

/// Time as hours, for arithmetic on durations.
[[nodiscard]] inline double in_hours(seconds duration) {
    return static_cast<double>(duration.count()) / 3600.0;
}

}  // namespace mildway
