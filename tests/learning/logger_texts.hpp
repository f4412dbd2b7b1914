// Logger files made on the spot, and what is read from them.
#pragma once

#include "mildway/base/errors.hpp"
#include "mildway/learning/logger.hpp"

#include <string>
#include <string_view>
#include <vector>

namespace mildway::testing {

inline learning::LoggerOptions in_denver() {
    learning::LoggerOptions options;
    options.zone = &find_zone("America/Denver");
    options.zone_is_given = true;
    return options;
}

inline learning::LoggerLog read(std::string_view text, const learning::LoggerOptions& options = in_denver()) {
    return learning::read_logger("log.csv", text, options);
}

/// What is said of a file that cannot be read; empty when it can.
inline std::string complaint(std::string_view text, const learning::LoggerOptions& options = in_denver()) {
    try {
        (void)read(text, options);
    } catch (const InputError& error) {
        return error.what();
    }
    return "";
}

inline std::vector<std::string> times_of(const learning::LoggerSeries& series) {
    std::vector<std::string> times;
    for (const auto& reading : series.readings) times.push_back(format_instant(reading.when));
    return times;
}

inline std::vector<double> temps_of(const learning::LoggerSeries& series) {
    std::vector<double> temps;
    for (const auto& reading : series.readings) temps.push_back(reading.temp_c);
    return temps;
}

/// All findings in one text, each on a line.
inline std::string findings_of(const learning::LoggerLog& log) {
    std::string text;
    for (const auto& finding : log.findings) text += finding + "\n";
    return text;
}

}  // namespace mildway::testing
