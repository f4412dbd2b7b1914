#include "plan_days.hpp"

#include "mildway/planning/days.hpp"
#include "mildway/planning/explain.hpp"

#include "layout.hpp"
#include "words.hpp"

#include <fmt/format.h>

namespace mildway::reports {

using planning::Option;

namespace {

/// What a person must know of an option that no forecast reaches.
std::string basis_words(const Option& option) {
    return option.basis == weather::Basis::climate ? ", by the time of the year alone" : "";
}

/// Days on which weather makes parcels late, and days after which late means more than a day.
std::string late_words(const Option& option) {
    std::string text;
    if (!option.lateness.found.empty()) {
        text = fmt::format("; {} late, {}", chance_text(option.lateness.odds.late()),
                           option.lateness.found.front().words);
    }
    if (option.if_late.is_trapped()) text += fmt::format("; late means {} days", option.if_late.days_later);
    return text;
}

std::string says(const planning::DayAtBest& day) {
    if (day.best == nullptr) return "no: " + (day.all_alike ? day.closed->brief : day.closed->reason);
    const Option& best = *day.best;
    if (!best.assessment.all) return "unknown: " + best.assessment.unknown_reason;
    return fmt::format("{}, {}{}{}", planning::hours_text(*best.assessment.all), verdict_name(best.verdict),
                       basis_words(best), late_words(best));
}

}  // namespace

std::string plan_days(const planning::Plan& plan) {
    constexpr std::size_t kDayWidth = 10;
    std::string text = "\nDay by day, at its best:\n";
    for (const auto& day : planning::days_of(plan))
        text += paragraph(fmt::format("  {} ", fit(format_day(day.day), kDayWidth)), says(day));
    return text;
}

}  // namespace mildway::reports
