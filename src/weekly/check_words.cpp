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

std::string chance_words(double chance) {
    if (chance < 0.001) return "under 1 in 1000";
    return chance < 0.0195 ? fmt::format("{:.0f} in 1000", chance * 1000)
                           : fmt::format("{:.0f} in 100", chance * 100);
}

/// "the chance of passing a harm limit is 3 in 100 (was under 1 in 1000; tight ends at 2 in 100)".
std::string crossed_text(const char* what, double chance, const std::optional<double>& before, Verdict better,
                         double limit) {
    const std::string now = chance_words(chance);
    const std::string most = chance_words(limit);
    return fmt::format("the chance of {} is {}{} ({}{} ends at {})", what, now == most ? "just over " : "",
                       now, before ? fmt::format("was {}; ", chance_words(*before)) : "",
                       verdict_name(better), most);
}

/// Which limits of the next better verdict today's chances pass; or what else keeps it from being
/// comfortable.
std::vector<std::string> why_no_better(const Checked& checked, const LastTold& last,
                                       const planning::VerdictRules& verdicts) {
    const orders::Reassessment& found = checked.found;
    const bool unsafe = found.standing == Verdict::unsafe;
    const Verdict better = unsafe ? Verdict::tight : Verdict::comfortable;
    const planning::VerdictLimits& limits = unsafe ? verdicts.tight : verdicts.comfortable;
    std::vector<std::string> why;
    if (*found.chance_harm > limits.chance_harm)
        why.push_back(crossed_text("passing a harm limit", *found.chance_harm, last.chance_harm, better,
                                   limits.chance_harm));
    if (*found.chance_outside > limits.chance_outside)
        why.push_back(crossed_text("more than 30 minutes outside the safe band", *found.chance_outside,
                                   last.chance_outside, better, limits.chance_outside));
    if (!why.empty() || unsafe) return why;
    const planning::Option& option = *checked.option;
    if (!option.assessment.late_unknown_reason.empty()) why.push_back(option.assessment.late_unknown_reason);
    if (option.basis == weather::Basis::climate)
        why.emplace_back("its weather is only what is usual at this time of the year");
    if (option.lateness.winter_unknown) why.emplace_back("whether snow or ice makes it late is not known");
    return why;
}

std::string why_unknown(const Checked& checked) {
    if (!checked.no_weather.empty()) return checked.no_weather;
    return checked.option ? checked.option->assessment.unknown_reason : "";
}

std::string turned_text(const Checked& checked, const LastTold& last,
                        const planning::VerdictRules& verdicts) {
    const orders::Reassessment& found = checked.found;
    const std::string turned = fmt::format("{} now, {} before", verdict_text(found.standing, found.side),
                                           verdict_name(last.verdict));
    if (!found.hours_outside) {  // without a reason, the trouble before it is the reason
        const std::string why = why_unknown(checked);
        return why.empty() ? turned : fmt::format("{}: {}", turned, why);
    }
    std::vector<std::string> how;
    if (found.standing > last.verdict) how = why_no_better(checked, last, verdicts);
    how.push_back(outside_text(found, last.told_hours));
    return fmt::format("{}: {}", turned, fmt::join(how, ", "));
}

std::string better_text(const Checked& checked, const orders::Choice& choice) {
    constexpr double kTooLittleToTellH = 0.05;
    const planning::Option& better = *checked.better;
    const std::string day =
        better.ship_date == choice.ship_date ? "the same day" : format_day(better.ship_date);
    const std::string how = fmt::format("{} by {} in {}", day, better.service->label, better.packing->label);
    const std::string verdict = verdict_text(better.verdict, better.side);
    if (checked.found.better_by_hours < kTooLittleToTellH) return fmt::format("{} would be {}", how, verdict);
    return fmt::format("{} is {} and expected to save {:.1f} h outside", how, verdict,
                       checked.found.better_by_hours);
}

/// A book of an older program told the day alone.
bool told_the_same(const orders::Reassessment& found, const LastTold& last) {
    if (found.better_day != last.better_day) return false;
    return last.better_service.empty() ||
           (found.better_service == last.better_service && found.better_packing == last.better_packing);
}

std::string no_longer_text(Date told, Date planned) {
    return fmt::format("{} is no longer clearly better",
                       told == planned ? "another box on the same day" : format_day(told));
}

}  // namespace

LastTold last_told(const Planned& planned) {
    const orders::Choice& choice = *planned.order.choice;
    LastTold last;
    last.verdict = choice.verdict;
    last.chance_outside = choice.chance_outside;
    last.chance_harm = choice.chance_harm;
    last.told_hours = choice.hours_outside;
    if (!planned.before) return last;
    const orders::Reassessment& before = *planned.before;
    last.verdict = before.standing;
    last.chance_outside = before.chance_outside;
    last.chance_harm = before.chance_harm;
    if (before.told_hours) last.told_hours = before.told_hours;
    last.trouble = before.trouble;
    last.better_day = before.better_day;
    last.better_service = before.better_service;
    last.better_packing = before.better_packing;
    last.better_by_hours = before.better_by_hours;
    return last;
}

void tell_changes(Checked& checked, const Planned& planned, const TellingRules& rules) {
    orders::Reassessment& found = checked.found;
    const orders::Choice& choice = *planned.order.choice;
    const LastTold last = last_told(planned);
    std::vector<std::string> said;
    found.told_hours = planned.before ? planned.before->told_hours : std::nullopt;
    if (!found.trouble.empty() && found.trouble != last.trouble)
        said.push_back("cannot go as planned: " + found.trouble);
    if (found.trouble.empty() && !last.trouble.empty()) said.emplace_back("it can go as planned again");
    const bool turned = found.standing != last.verdict;
    const bool moved = found.hours_outside && last.told_hours &&
                       std::abs(*found.hours_outside - *last.told_hours) >= rules.check.better_from_h;
    if (turned) {
        said.push_back(turned_text(checked, last, rules.verdicts));
    } else if (moved) {
        said.push_back(fmt::format("{}; so it was when it was {}", outside_text(found, last.told_hours),
                                   found.told_hours ? "told last" : "chosen"));
    }
    if ((turned || moved) && found.hours_outside) found.told_hours = found.hours_outside;
    if (checked.better && !told_the_same(found, last)) said.push_back(better_text(checked, choice));
    if (!found.better_day && last.better_day && *last.better_day >= rules.today)
        said.push_back(no_longer_text(*last.better_day, choice.ship_date));
    found.sentence = fmt::format("{}", fmt::join(said, "; "));
}

}  // namespace mildway::weekly
