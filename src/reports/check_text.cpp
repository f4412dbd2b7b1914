#include "mildway/reports/check_report.hpp"

#include "better_words.hpp"
#include "layout.hpp"
#include "weather_lines.hpp"
#include "words.hpp"

#include <fmt/format.h>

namespace mildway::reports {

namespace {

using weekly::Checked;
using weekly::Planned;

std::string verdict_cell(const orders::Reassessment& found) {
    const bool sided = found.standing == Verdict::tight || found.standing == Verdict::unsafe;
    return sided ? fmt::format("{}, {}", verdict_name(found.standing), side_name(found.side))
                 : std::string(verdict_name(found.standing));
}

std::string hours_cell(const std::optional<double>& hours) {
    return hours ? fmt::format("{:.1f} h", *hours) : "?";
}

std::string row(const std::string& mark, const std::string& number, const std::string& day,
                const std::string& to, const std::string& verdict, const std::string& hours,
                const std::string& then) {
    const std::string line =
        fmt::format("{} {} {} {} {} {} {}", fit(mark, 1), fit(number, 14), fit(day, 10), fit(to, 18),
                    fit(verdict, 13), fit_right(hours, 7), fit_right(then, 7));
    return line.substr(0, line.find_last_not_of(' ') + 1) + "\n";
}

/// What stays as it was told, of an order that is flagged and has no news.
std::string as_told_before(const Planned& planned, const Checked& checked,
                           const planning::Workspace& workspace) {
    const orders::Reassessment& found = checked.found;
    std::vector<std::string> told;
    if (!found.trouble.empty()) told.push_back("cannot go as planned: " + found.trouble);
    if (!checked.no_weather.empty()) told.push_back("unknown: " + checked.no_weather);
    if (checked.option && !checked.option->assessment.unknown_reason.empty())
        told.push_back("unknown: " + checked.option->assessment.unknown_reason);
    if (found.better_day)
        told.push_back(better_words(found, *planned.order.choice, workspace) + " looks clearly better");
    return told.empty() ? "As told before." : fmt::format("As told before: {}.", fmt::join(told, "; "));
}

std::string order_lines(const Planned& planned, const Checked& checked,
                        const planning::Workspace& workspace) {
    const orders::Order& order = planned.order;
    const orders::Choice& choice = *order.choice;
    std::string text = row(checked.found.flagged ? "!" : "", order.number, format_day(choice.ship_date),
                           order.place.name, verdict_cell(checked.found),
                           hours_cell(checked.found.hours_outside), hours_cell(choice.hours_outside));
    if (!checked.found.sentence.empty()) {
        text += paragraph("    ", checked.found.sentence + ".");
    } else if (checked.found.flagged) {
        text += paragraph("    ", as_told_before(planned, checked, workspace));
    }
    return text;
}

std::string weather_lines(const weekly::CheckResult& result, Instant now) {
    std::string text;
    for (const planning::PlaceWeather& there : result.weather) {
        if (!there.doubt.empty()) text += paragraph("  ", there.doubt + ".");
    }
    if (!text.empty()) text = "\nWeather that cannot be used:\n" + text;
    if (!result.weather.empty()) text += "\n" + age_line(result.weather, now);
    return text;
}

constexpr const char* kCautions =
    "No check makes a shipment safe: never promise that an animal arrives alive. A check knows the weather "
    "and nothing of the animal: look at it before you pack. Local law, the carrier's terms and your vet come "
    "first.";

}  // namespace

std::string check_text(const planning::Workspace& workspace, const CheckTold& told, bool all) {
    const auto& zone = find_zone(workspace.counter.zone);
    const weekly::CheckResult& result = *told.result;
    std::string text = fmt::format(
        "Check of {}: {}, {}\n", format_local(zone, told.now),
        counted(told.planned.size(), "planned order", "planned orders"),
        result.flagged == 0 ? "none needs you" : counted(result.flagged, "needs you", "need you"));
    std::string flagged;
    std::string changed;
    std::string others;
    std::size_t quiet = 0;
    for (std::size_t i = 0; i < told.planned.size(); ++i) {
        const Checked& checked = result.orders[i];
        const std::string lines = order_lines(told.planned[i], checked, workspace);
        if (checked.found.flagged) {
            flagged += lines;
        } else if (!checked.found.sentence.empty()) {
            changed += lines;
        } else {
            others += lines;
            ++quiet;
        }
    }
    const bool any = !flagged.empty() || !changed.empty() || (all && !others.empty());
    if (any) text += "\n" + row("", "Order", "Ships", "To", "Now", "Outside", "Chosen");
    text += flagged + changed + (all ? others : "");
    if (quiet > 0 && !all)
        text += fmt::format("{}{} as before\n", any ? "  " : "", counted(quiet, "order", "orders"));
    if (!told.not_kept.empty()) {
        text += "\n" + paragraph("", fmt::format("Changed while it was checked, so nothing was kept of: {}.",
                                                 fmt::join(told.not_kept, ", ")));
    }
    if (result.not_searched > 0) {
        text +=
            "\n" +
            paragraph("", fmt::format("For {} more another day was not looked for: there is most to gain for "
                                      "others. `mildway week --replan` looks at all.",
                                      counted(result.not_searched, "order", "orders")));
    }
    text += weather_lines(result, told.now);
    if (result.flagged > 0) {
        text += "\n" + paragraph("",
                                 "What to do: `mildway week --replan` plans anew, within your limits; "
                                 "`mildway plan --order NUMBER` shows one order's choices.");
    }
    return text + "\n" + paragraph("", kCautions) + credit_lines(result.weather);
}

}  // namespace mildway::reports
