// The records of a logger's file, still without a zone and in the unit they were written in.
#pragma once

#include "logger_columns.hpp"
#include "logger_stamp.hpp"

#include <array>
#include <limits>
#include <vector>

namespace mildway::learning {

/// Channels of a row.
inline constexpr std::size_t kInside = 0;
inline constexpr std::size_t kOutside = 1;

struct LoggerRow {
    int line = 0;
    Stamp stamp;          ///< with stamp and date_and_time
    double number_s = 0;  ///< with unix_s and elapsed
    /// Inside, outside; NaN where the file has none.
    std::array<double, 2> values{std::numeric_limits<double>::quiet_NaN(),
                                 std::numeric_limits<double>::quiet_NaN()};
};

struct LoggerRows {
    std::vector<LoggerRow> rows;
    /// Of each channel, from the header or from beside the numbers.
    std::array<std::optional<TempUnit>, 2> units;
    bool last_line_is_open = false;  ///< the last row has no line end: it may be cut
};

/// Reads all records behind the header. Adds to `findings` the cells without a value and a cut last line.
/// Throws InputError naming line and column.
[[nodiscard]] LoggerRows read_rows(const std::string& file, std::string_view text, const LoggerLayout& layout,
                                   std::vector<std::string>& findings);

}  // namespace mildway::learning
