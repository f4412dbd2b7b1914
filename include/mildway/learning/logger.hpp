// Files of temperature loggers, whoever made them, as readings with an instant each.
#pragma once

#include "mildway/base/time.hpp"

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace mildway::learning {

enum class TempUnit { celsius, fahrenheit };
enum class DateOrder { day_first, month_first };

/// What a file is read for: a log from inside a box, with or without a channel of the air around it; or a log
/// of that air alone.
enum class LoggerPart { box, surroundings };

/// What a file does not say by itself. Messages name the command's options of the same names.
struct LoggerOptions {
    LoggerPart part = LoggerPart::box;
    const date::time_zone* zone = nullptr;  ///< of times that carry none; required
    bool zone_is_given = false;             ///< by a person; otherwise it is told
    std::optional<TempUnit> unit;
    std::optional<DateOrder> dates;
    std::optional<Instant> started;  ///< of files that count from their beginning
    std::string inside_column;       ///< a name in the header; empty: found by its words
    std::string outside_column;
};

struct TempReading {
    Instant when;
    double temp_c = 0;
};

/// One column: times strictly increasing, at least one reading.
struct LoggerSeries {
    std::string name;
    std::vector<TempReading> readings;

    /// The median of the steps; 0 with one reading.
    [[nodiscard]] seconds interval() const;
};

struct LoggerLog {
    std::string file;
    std::optional<LoggerSeries> inside;   ///< always with LoggerPart::box
    std::optional<LoggerSeries> outside;  ///< always with LoggerPart::surroundings
    std::vector<std::string> findings;    ///< what was passed over, guessed or taken for granted
};

/// A gap is told when it is longer than this many typical intervals.
inline constexpr int kToldGapIntervals = 3;

/// Reads a log. Throws InputError naming file and line: no header or readings, texts that are no times or
/// numbers, an order of day and month that nothing settles, times that go back, stand twice with different
/// values or do not exist in the zone, a unit that is not said or not believable (with a guess), impossible
/// temperatures and years. docs/cli.md lists what is understood.
[[nodiscard]] LoggerLog read_logger(const std::string& file, std::string_view bytes,
                                    const LoggerOptions& options);

}  // namespace mildway::learning
