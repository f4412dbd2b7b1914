#include "mildway/reports/calendar_text.hpp"

#include "mildway/planning/days.hpp"

#include "layout.hpp"
#include "plan_frame.hpp"
#include "words.hpp"

#include <algorithm>
#include <utility>
#include <vector>

#include <fmt/format.h>

namespace mildway::reports {

using planning::DayAtBest;
using planning::Option;
using planning::Plan;
using planning::Side;
using planning::Verdict;

namespace {

constexpr std::size_t kCellWidth = 9;
constexpr int kDaysInWeek = 7;

std::string with_side(char first, Side side) {
    return {first, side == Side::cold ? 'c' : 'w'};
}

std::string mark_of(const DayAtBest& day) {
    if (day.best == nullptr) return ".";
    const Option& best = *day.best;
    std::string mark;
    switch (best.verdict) {
        case Verdict::comfortable:
            mark = "=";
            break;
        case Verdict::tight:
            mark = with_side('-', best.side);
            break;
        case Verdict::unsafe:
            mark = with_side('x', best.side);
            break;
        case Verdict::unknown:
            return "?";
    }
    return best.basis == weather::Basis::climate ? mark + "*" : mark;
}

/// What the marks mean, in the words of the verdicts.
std::string legend() {
    const auto name = [](Verdict verdict) { return planning::verdict_name(verdict); };
    return paragraph("   ",
                     fmt::format("= {}; -c {} on the cold side, -w on the warm side; xc {} on the cold "
                                 "side, xw on the warm side; ? {}; . closed; * by the time of the year "
                                 "alone. Each day at its best.",
                                 name(Verdict::comfortable), name(Verdict::tight), name(Verdict::unsafe),
                                 name(Verdict::unknown)));
}

std::string trimmed(std::string line) {
    line.erase(line.find_last_not_of(' ') + 1);
    return line + "\n";
}

/// Column of a day, Monday 0.
int column_of(Date day) {
    return static_cast<int>(date::weekday(date::sys_days(day)).iso_encoding()) - 1;
}

/// One month's weeks, as far as they hold a day asked about. Other days stay blank.
std::string month_grid(date::year_month month, const std::vector<DayAtBest>& days) {
    std::string text = "\n" + date::format("%B %Y", date::sys_days(month / 1)) + "\n";
    std::string heading;
    for (const char* weekday : {"Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun"})
        heading += fit(fmt::format("  {}", weekday), kCellWidth);
    text += trimmed(heading);
    std::string week(kDaysInWeek * kCellWidth, ' ');
    const std::string blank = week;
    for (const DayAtBest& day : days) {
        if (date::year_month{day.day.year(), day.day.month()} != month) continue;
        const auto column = static_cast<std::size_t>(column_of(day.day));
        if (column == 0 && week != blank) text += trimmed(std::exchange(week, blank));
        const std::string cell = fmt::format("  {:2} {}", static_cast<unsigned>(day.day.day()), mark_of(day));
        week.replace(column * kCellWidth, cell.size(), cell);
    }
    return text + trimmed(week);
}

std::string grids(const std::vector<DayAtBest>& days) {
    std::string text;
    for (std::size_t i = 0; i < days.size(); ++i) {
        const date::year_month month{days[i].day.year(), days[i].day.month()};
        const bool begins =
            i == 0 || date::year_month{days[i - 1].day.year(), days[i - 1].day.month()} != month;
        if (begins) text += month_grid(month, days);
    }
    return text;
}

std::string best_line(const Plan& plan) {
    const Option& best = plan.options.front();
    if (!best.assessment.all) return "\nNothing here says it is safe to ship.\n";
    return "\n" +
           paragraph("", fmt::format("Best: {}, {}, {}, {}: {}.", format_day(best.ship_date),
                                     best.service->label, best.packing->label,
                                     usd_text(best.cost.total_usd()), verdict_name(best.verdict))) +
           (best.verdict == Verdict::unsafe ? "No day shown is fit for this animal: keep it home.\n" : "");
}

/// Days that have one thing in common, in the order in which these come up.
class DaysByReason {
public:
    void add(Date day, const std::string& reason) {
        const auto known =
            std::find_if(all_.begin(), all_.end(), [&](const auto& group) { return group.first == reason; });
        if (known == all_.end())
            all_.push_back({reason, {day}});
        else
            known->second.push_back(day);
    }
    /// A paragraph for each reason: "  Sat 6, Sun 7 Mar: no parcels accepted"; empty when there is none.
    [[nodiscard]] std::string text(std::string_view heading) const {
        if (all_.empty()) return "";
        std::string lines = fmt::format("\n{}:\n", heading);
        for (const auto& [reason, days] : all_)
            lines += paragraph("  ", fmt::format("{}: {}", days_text(days), reason));
        return lines;
    }

private:
    std::vector<std::pair<std::string, std::vector<Date>>> all_;
};

std::string closed_days(const std::vector<DayAtBest>& days) {
    DaysByReason reasons;
    for (const DayAtBest& day : days) {
        if (day.best == nullptr) reasons.add(day.day, day.closed->brief);
    }
    return reasons.text("Closed");
}

/// "1.2 to 3.4 h too cold; past a harm limit up to 5 in 100", from the least to the most of these days.
std::string unsafe_reason(const std::vector<const Option*>& days, Side side) {
    const auto hours = [](const Option* day) { return day->assessment.all->hours_outside.value; };
    const auto harm = [](const Option* day) { return day->assessment.all->chance_harm.value; };
    const auto [least, most] = std::minmax_element(
        days.begin(), days.end(), [&](const auto* a, const auto* b) { return hours(a) < hours(b); });
    const auto worst = std::max_element(days.begin(), days.end(),
                                        [&](const auto* a, const auto* b) { return harm(a) < harm(b); });
    const std::string low = fmt::format("{:.1f}", hours(*least));
    const std::string high = fmt::format("{:.1f}", hours(*most));
    return fmt::format("{} h outside the safe band, on the {} side; past a harm limit{} {}",
                       low == high ? low : low + " to " + high, side_name(side),
                       days.size() > 1 ? " up to" : "", chance_text(harm(*worst)));
}

std::string unsafe_days(const std::vector<DayAtBest>& days) {
    DaysByReason reasons;
    for (const Side side : {Side::cold, Side::warm}) {
        std::vector<const Option*> unsafe;
        for (const DayAtBest& day : days) {
            if (day.best != nullptr && day.best->verdict == Verdict::unsafe && day.best->side == side)
                unsafe.push_back(day.best);
        }
        for (const Option* day : unsafe) reasons.add(day->ship_date, unsafe_reason(unsafe, side));
    }
    return reasons.text("Unsafe, even at their best");
}

std::string unknown_days(const std::vector<DayAtBest>& days) {
    DaysByReason reasons;
    for (const DayAtBest& day : days) {
        if (day.best != nullptr && day.best->verdict == Verdict::unknown)
            reasons.add(day.day, day.best->assessment.unknown_reason);
    }
    return reasons.text("Unknown");
}

/// Days after which a service day late is more than a day.
std::string trapped_days(const std::vector<DayAtBest>& days) {
    DaysByReason reasons;
    for (const DayAtBest& day : days) {
        if (day.best != nullptr && day.best->verdict != Verdict::unknown && day.best->if_late.is_trapped())
            reasons.add(day.day, fmt::format("{} days", day.best->if_late.days_later));
    }
    return reasons.text("A service day late is more than a day");
}

}  // namespace

std::string calendar_text(const planning::Workspace& workspace, const Plan& plan) {
    const std::vector<DayAtBest> days = planning::days_of(plan);
    return plan_head(workspace, plan) + grids(days) + legend() + left_out_lines(plan) + best_line(plan) +
           closed_days(days) + unsafe_days(days) + unknown_days(days) + trapped_days(days) +
           plan_foot(workspace, plan);
}

}  // namespace mildway::reports
