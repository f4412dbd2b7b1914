#include "check_words.hpp"

#include <cmath>
#include <vector>

#include <fmt/format.h>

namespace mildway::weekly {

namespace {

std::string hours_text(const std::optional<double>& hours) {
    return hours ? fmt::format("{:.1f} h", *hours) : "an unknown time";
}

std::string verdict_text(Verdict verdict, Side side) {
    if (verdict == Verdict::tight || verdict == Verdict::unsafe)
        return fmt::format("{} ({})", verdict_name(verdict), side_name(side));
    return std::string(verdict_name(verdict));
}

std::string where_most(const orders::Reassessment& found) {
    return found.worst_leg.empty() ? "" : fmt::format(", most of it in \"{}\"", found.worst_leg);
}

std::string outside_text(const orders::Reassessment& found, const std::optional<double>& before) {
    return fmt::format("{} outside the safe band expected instead of {}{}", hours_text(found.hours_outside),
                       hours_text(before), where_most(found));
}

std::string why_unknown(const Checked& checked) {
    if (!checked.option) return "there is no forecast";
    return checked.option->assessment.unknown_reason;
}

/// At once by a step or more; or a step further from what was chosen, however slowly.
bool moved_much(const orders::Reassessment& found, const orders::Choice& choice, const LastTold& last,
                const CheckRules& rules) {
    if (!found.hours_outside || !last.hours_outside) return false;
    const double step_h = rules.better_from_h;
    if (std::abs(*found.hours_outside - *last.hours_outside) >= step_h) return true;
    const double chosen_h = choice.hours_outside.value_or(0);
    const auto steps = [&](double hours) { return std::trunc((hours - chosen_h) / step_h); };
    return std::abs(steps(*found.hours_outside)) > std::abs(steps(*last.hours_outside));
}

std::string better_text(const Checked& checked, const orders::Choice& choice) {
    const planning::Option& better = *checked.better;
    const std::string day =
        better.ship_date == choice.ship_date ? "the same day" : format_day(better.ship_date);
    const std::string how = fmt::format("{} by {} in {}", day, better.service->label, better.packing->label);
    const std::string verdict = verdict_text(better.verdict, better.side);
    if (!checked.trouble.empty() || !checked.found.hours_outside)
        return fmt::format("{} would be {}", how, verdict);
    return fmt::format("{} is {} and expected to save {:.1f} h outside", how, verdict,
                       checked.found.better_by_hours);
}

}  // namespace

LastTold last_told(const Planned& planned) {
    if (planned.before)
        return {planned.before->standing, planned.before->hours_outside, planned.before->better_day};
    const orders::Choice& choice = *planned.order.choice;
    return {choice.verdict, choice.hours_outside, std::nullopt};
}

std::string what_changed(const Checked& checked, const orders::Choice& choice, const LastTold& last,
                         const CheckRules& rules) {
    const orders::Reassessment& found = checked.found;
    std::vector<std::string> said;
    if (!checked.trouble.empty()) {
        said.push_back(checked.trouble);
    } else if (found.standing != last.verdict) {
        const std::string turned = fmt::format("{} now, {} before", verdict_text(found.standing, found.side),
                                               verdict_name(last.verdict));
        said.push_back(found.standing == Verdict::unknown
                           ? fmt::format("{}: {}", turned, why_unknown(checked))
                           : fmt::format("{}: {}", turned, outside_text(found, last.hours_outside)));
    } else if (moved_much(found, choice, last, rules)) {
        said.push_back(outside_text(found, choice.hours_outside) + "; so it was when it was chosen");
    }
    if (checked.better && found.better_day != last.better_day) said.push_back(better_text(checked, choice));
    if (!found.better_day && last.better_day)
        said.push_back(fmt::format("{} is no longer clearly better", format_day(*last.better_day)));
    return fmt::format("{}", fmt::join(said, "; "));
}

}  // namespace mildway::weekly
