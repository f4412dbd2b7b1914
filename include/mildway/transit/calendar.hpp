// On which days a carrier works, and how: weekdays, holidays, early closings, peak weeks.
#pragma once

#include "mildway/transit/day_rule.hpp"

#include <algorithm>
#include <array>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace mildway::transit {

/// Days of the week on which something happens, Sunday = index 0.
using WeekdaySet = std::array<bool, 7>;

/// Whether there is any such day.
[[nodiscard]] inline bool has_any(const WeekdaySet& days) {
    return std::find(days.begin(), days.end(), true) != days.end();
}

/// The days of the year for which calendars are worked out. Zones are known no longer than 2037.
inline constexpr date::year kFirstCalendarYear{2020};
inline constexpr date::year kLastCalendarYear{2037};

/// A day on which parcels must be handed over earlier than otherwise.
struct EarlyClosing {
    std::string name;  ///< "Christmas Eve"
    DayRule rule;
    minutes cut_off{0};  ///< local at the counter
};

/// A stretch of the year in which more parcels are late: from the first kept day of `from` in a year to the
/// next first kept day of `until`, also over the turn of the year; none where that is over 183 days later.
struct PeakWeeks {
    std::string name;  ///< "the weeks before Christmas"
    DayRule from;
    DayRule until;  ///< the last day that still belongs to it
    double late_odds_factor = 1;
    double surcharge_usd = 0;  ///< on each parcel
};

/// What a calendar is made of.
struct CalendarPlan {
    std::vector<Holiday> closed;  ///< neither accepted nor delivered
    std::vector<EarlyClosing> early_closings;
    std::vector<PeakWeeks> peak_weeks;
};

/// A carrier's calendar, worked out day by day from kFirstCalendarYear to kLastCalendarYear. A day outside of
/// these is closed, "beyond the calendar".
class Calendar {
public:
    Calendar() : Calendar(CalendarPlan{}) {}
    /// Throws std::length_error beyond 255 entries of a kind, which read_calendar refuses.
    explicit Calendar(CalendarPlan plan);

    /// The name of the holiday on which nothing is accepted or delivered; nullptr on all other days.
    [[nodiscard]] const std::string* holiday_on(Date day) const;

    /// The early closing of that day; the earliest when there are several; nullptr on all other days.
    [[nodiscard]] const EarlyClosing* early_closing_on(Date day) const;

    /// The peak weeks that the day belongs to; the first listed when there are several.
    [[nodiscard]] const PeakWeeks* peak_on(Date day) const;

private:
    struct Day {
        std::uint8_t holiday = 0;  ///< 1 + index; 0: none. Likewise the others
        std::uint8_t early = 0;
        std::uint8_t peak = 0;
    };
    [[nodiscard]] const Day* find(Date day) const;

    CalendarPlan plan_;
    std::vector<Day> days_;
};

/// Reads the keys `closed_on` (ids of holidays), `closed` (dates), `early_closings` and `peak_weeks` of a
/// carrier, all of which may be missing, without finishing it. Throws InputError: an unknown holiday, a date
/// that is none, peak weeks of a factor out of range, or that last longer than 183 days.
[[nodiscard]] Calendar read_calendar(const ConfigNode& node, const Holidays& holidays);

/// A list of weekday names, e.g. ["Mon", "Tue"]. Throws InputError: empty, or not a weekday.
[[nodiscard]] WeekdaySet read_weekdays(const ConfigNode& node, std::string_view key);

}  // namespace mildway::transit
