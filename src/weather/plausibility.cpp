#include "plausibility.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

namespace mildway::weather {

namespace {

// Surface air has been measured between -89 and 57 degC (WMO archive of extremes); where people ship, -70 is
// enough.
constexpr double kColdestC = -70;
constexpr double kHottestC = 60;
constexpr double kLargestJumpK = 20;  // more in one hour is an error of the data (judgement)
constexpr double kLargestSwingK =
    40;  // inside 24 hours (judgement; in Fahrenheit a brisk day of 22 K reads as 40)
constexpr double kHottestMeanC =
    45;  // the hottest month on record had a mean of 42 degC (Death Valley, from memory)
constexpr std::size_t kMeanHours = 48;
constexpr double kHotHourC = 45;  // a place with many such hours would be a desert in July

/// Whether a series that breaks a bound would be an ordinary one, were it degrees Fahrenheit.
bool reads_like_fahrenheit(const std::vector<double>& temp_c) {
    std::size_t known = 0;
    std::size_t hot = 0;
    for (const double t : temp_c) {
        if (std::isnan(t)) continue;
        ++known;
        if (t > kHotHourC) ++hot;
        const double from_fahrenheit_c = (t - 32) / 1.8;
        if (from_fahrenheit_c < kColdestC || from_fahrenheit_c > kHottestC) return false;
    }
    return 5 * hot > known;
}

std::string suspicion(const std::vector<double>& temp_c) {
    return reads_like_fahrenheit(temp_c) ? "; the series looks like degrees Fahrenheit labelled as Celsius"
                                         : "";
}

/// Two days and more hotter on average than any month anywhere: spring in Fahrenheit passes every other
/// bound.
std::string impossible_mean(const std::vector<double>& temp_c) {
    double sum = 0;
    std::size_t known = 0;
    for (const double t : temp_c) {
        if (std::isnan(t)) continue;
        sum += t;
        ++known;
    }
    if (known < kMeanHours || sum / static_cast<double>(known) <= kHottestMeanC) return "";
    return fmt::format(
        "a mean of {:.0f} degC over {} hours, hotter than any place; the series looks like degrees "
        "Fahrenheit labelled as Celsius",
        sum / static_cast<double>(known), known);
}

}  // namespace

std::string impossible_air(const Hours& span, const std::vector<double>& temp_c) {
    for (std::size_t i = 0; i < span.count; ++i) {
        if (temp_c[i] < kColdestC || temp_c[i] > kHottestC) {
            return fmt::format("{:g} degC at {} is outside what air can be ({:g} to {:g} degC){}", temp_c[i],
                               format_instant(span.at(i)), kColdestC, kHottestC, suspicion(temp_c));
        }
    }
    for (std::size_t i = 1; i < span.count; ++i) {
        if (std::abs(temp_c[i] - temp_c[i - 1]) > kLargestJumpK) {
            return fmt::format(
                "a jump from {:g} to {:g} degC in the hour to {}; air does not change by more than {:g} K",
                temp_c[i - 1], temp_c[i], format_instant(span.at(i)), kLargestJumpK);
        }
    }
    for (std::size_t i = 0; i < span.count; ++i) {
        for (std::size_t j = i + 1; j < std::min(span.count, i + 25); ++j) {
            if (std::abs(temp_c[j] - temp_c[i]) > kLargestSwingK) {
                return fmt::format(
                    "a swing from {:g} to {:g} degC between {} and {}, more than {:g} K inside a day; "
                    "the series looks like degrees Fahrenheit labelled as Celsius",
                    temp_c[i], temp_c[j], format_instant(span.at(i)), format_instant(span.at(j)),
                    kLargestSwingK);
            }
        }
    }
    return impossible_mean(temp_c);
}

std::vector<std::string> temperature_gaps(const Hours& span, const std::vector<double>& temp_c) {
    std::vector<std::string> out;
    std::size_t i = 0;
    while (i < span.count) {
        std::size_t end = i;
        while (end < span.count && std::isnan(temp_c[end])) ++end;
        if (end > i && i > 0 && end < span.count) {
            out.push_back(fmt::format("no temperature from {} to {}", format_instant(span.at(i)),
                                      format_instant(span.at(end))));
        }
        i = std::max(end, i + 1);
    }
    return out;
}

}  // namespace mildway::weather
