#include "words.hpp"

#include <cmath>

#include <fmt/format.h>

namespace mildway::reports {

namespace {

/// Days one after the other, or a single one.
struct Run {
    Date first;
    Date last;
};

/// In a row when three or more; two stay apart.
std::vector<Run> runs_of(const std::vector<Date>& days) {
    constexpr date::days kShortest{2};
    std::vector<Run> runs;
    for (std::size_t i = 0; i < days.size(); ++i) {
        std::size_t last = i;
        while (last + 1 < days.size() &&
               date::sys_days(days[last + 1]) == date::sys_days(days[last]) + date::days(1))
            ++last;
        if (date::sys_days(days[last]) - date::sys_days(days[i]) < kShortest) last = i;
        runs.push_back({days[i], days[last]});
        i = last;
    }
    return runs;
}

std::string without_month(Date day) {
    const std::string text = format_day(day);
    return text.substr(0, text.rfind(' '));
}

}  // namespace

std::string chance_text(double chance) {
    if (chance >= 0.995) return "nearly always";
    if (chance >= 0.0195) return fmt::format("{:.0f} in 100", chance * 100);
    if (chance >= 0.001) return fmt::format("{:.0f} in 1000", chance * 1000);
    return "under 1 in 1000";
}

std::string counted(std::size_t n, const char* one, const char* many) {
    return fmt::format("{} {}", n, n == 1 ? one : many);
}

std::string capitalised(std::string words) {
    if (!words.empty() && words.front() >= 'a' && words.front() <= 'z')
        words.front() = static_cast<char>(words.front() - 'a' + 'A');
    return words;
}

std::string usd_text(double usd) {
    const double cents = std::round(std::abs(usd) * 100);
    const char* sign = usd < 0 && cents > 0 ? "-" : "";
    return std::fmod(cents, 100) == 0 ? fmt::format("{}${:.0f}", sign, cents / 100)
                                      : fmt::format("{}${:.2f}", sign, cents / 100);
}

std::string days_text(const std::vector<Date>& days) {
    std::string text;
    const std::vector<Run> runs = runs_of(days);
    for (std::size_t i = 0; i < runs.size(); ++i) {
        const Run& run = runs[i];
        const bool month_ends = i + 1 == runs.size() || runs[i + 1].first.month() != run.last.month();
        if (i > 0) text += ", ";
        if (run.first != run.last) {
            text +=
                (run.first.month() == run.last.month() ? without_month(run.first) : format_day(run.first)) +
                " to ";
        }
        text += month_ends ? format_day(run.last) : without_month(run.last);
    }
    return text;
}

}  // namespace mildway::reports
