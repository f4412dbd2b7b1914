// Which column of a logger's file is what, by the words of its header.
#pragma once

#include "mildway/base/csv.hpp"
#include "mildway/learning/logger.hpp"

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace mildway::learning {

/// How a file tells the time.
enum class TimeKind {
    stamp,          ///< date and clock time in one column
    date_and_time,  ///< in two columns
    unix_s,         ///< seconds (or milliseconds) since 1970 began in UTC
    elapsed         ///< since the log began
};

struct TempColumn {
    std::size_t index = 0;
    std::string name;
    std::optional<TempUnit> unit;  ///< where the header says it
};

struct LoggerLayout {
    char separator = ',';
    std::size_t data_offset = 0;  ///< of the text behind the header line
    int data_line = 0;
    std::size_t columns = 0;
    TimeKind time_kind = TimeKind::stamp;
    std::size_t time_index = 0;
    std::size_t date_index = 0;            ///< with date_and_time
    seconds elapsed_unit{0};               ///< with elapsed; 0 when the header does not say it
    std::optional<seconds> header_offset;  ///< from UTC, as in "Date Time, GMT-07:00"
    std::optional<TempColumn> inside;
    std::optional<TempColumn> outside;
    std::vector<std::string> findings;
};

/// Finds the header within the first lines and chooses columns. Throws InputError when there is none, when no
/// column is a temperature, and when several are and their names do not say which is where (asking for
/// --inside-column and --outside-column).
[[nodiscard]] LoggerLayout find_layout(const std::string& file, std::string_view text,
                                       const LoggerOptions& options);

}  // namespace mildway::learning
