// What reading a calendar and working it out have in common.
#pragma once

#include "mildway/transit/calendar.hpp"

#include <string_view>
#include <vector>

namespace mildway::transit {

/// The dates listed under `key`, sorted. Throws InputError: not a date, one twice, one beyond the calendar's
/// years.
[[nodiscard]] std::vector<Date> read_dates(const ConfigNode& node, std::string_view key);

/// No peak weeks last longer than this many days from their first to their last; longer ones are a rule
/// whose ends were exchanged. Judgement.
inline constexpr int kLongestPeakDays = 183;

/// One time that peak weeks come round.
struct PeakStretch {
    date::sys_days from;
    std::optional<date::sys_days> until;  ///< empty: none within kLongestPeakDays
};

/// All that touch the calendar's years, in the order of their first days.
[[nodiscard]] std::vector<PeakStretch> stretches_of(const PeakWeeks& weeks);

/// A calendar tells apart at most so many holidays, early closings or peak weeks: their numbers are kept in
/// one byte for each day.
inline constexpr std::size_t kMostCalendarEntries = 255;

}  // namespace mildway::transit
