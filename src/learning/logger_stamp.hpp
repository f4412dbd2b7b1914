// Times as loggers write them.
#pragma once

#include "mildway/learning/logger.hpp"

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace mildway::learning {

/// A date and a clock time, before it is known which number is the day.
struct Stamp {
    int line = 0;  ///< of the file
    int year = 0;
    int first = 0;   ///< month where `order_is_clear`, else day or month
    int second = 0;  ///< day where `order_is_clear`
    bool order_is_clear = false;
    bool day_comes_first = false;   ///< as written with dots; the calendar may contradict
    seconds clock{0};               ///< since midnight
    std::optional<seconds> offset;  ///< from UTC, when it stands beside the time
};

/// ISO 8601 with T or a blank; 2027/03/01; 03/01/2027, 1/3/27; 01.03.2027; 1-Mar-2027; clock times with or
/// without seconds, with AM or PM; Z, UTC or an offset at the end. Empty when it is none of these.
[[nodiscard]] std::optional<Stamp> parse_stamp(std::string_view text);

/// Civil times, in order, once day and month are told apart: by `dates`, by one date that allows only one
/// order, or by the log going on without a leap of weeks in one order only. Adds to `findings` what was
/// concluded. Throws InputError asking for --dates, or naming a date that is not in the calendar, or a year
/// before 2000 or after 2099.
[[nodiscard]] std::vector<date::local_seconds> civil_times(const std::string& file,
                                                           const std::vector<Stamp>& stamps,
                                                           std::optional<DateOrder> dates,
                                                           std::vector<std::string>& findings);

}  // namespace mildway::learning
