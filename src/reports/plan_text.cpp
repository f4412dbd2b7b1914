#include "mildway/reports/plan_text.hpp"

#include "mildway/learning/learnt.hpp"
#include "mildway/planning/explain.hpp"
#include "mildway/planning/ranking.hpp"

#include "layout.hpp"

#include <algorithm>
#include <cmath>
#include <map>
#include <set>

#include <fmt/format.h>

namespace mildway::reports {

using planning::Option;
using planning::Plan;
using planning::Workspace;

namespace {

/// "0.4 h cold", for the column headed "Outside".
std::string outside_column(const Option& option) {
    if (!option.assessment.all) return "not known";
    const auto& figures = *option.assessment.all;
    if (figures.hours_outside.value < 0.05) return "0 h";
    return fmt::format("{:.1f} h {}", figures.hours_outside.value,
                       figures.hours_cold >= figures.hours_warm ? "cold" : "warm");
}

/// "3 in 100", or "under 1 in 1000" with a cautious eye on what sampling cannot see.
std::string chance_text(double chance) {
    if (chance >= 0.995) return "nearly always";
    if (chance >= 0.0195) return fmt::format("{:.0f} in 100", chance * 100);
    if (chance >= 0.001) return fmt::format("{:.0f} in 1000", chance * 1000);
    return "under 1 in 1000";
}

std::string header(const Workspace& workspace, const Plan& plan) {
    const auto& request = plan.request;
    const auto degrees = [&](double c) { return planning::temperature_text(c, workspace.scale); };
    std::string text =
        paragraph("", fmt::format("{} x {}, {:.6g} g each, from {} to {}", request.contents.count,
                                  request.species->common, request.contents.mass_kg_each * 1000,
                                  workspace.origin.name, request.destination.name));
    text += paragraph(
        "", fmt::format("Safe from {} to {}; harm below {} or above {}.",
                        degrees(request.species->safe.low_c), degrees(request.species->safe.high_c),
                        degrees(request.species->harm.low_c), degrees(request.species->harm.high_c)));
    return text;
}

/// Findings in the order in which they come up, each with all the places it was made at.
std::vector<std::pair<std::string, std::string>> findings_by_place(const Plan& plan) {
    std::vector<std::pair<std::string, std::string>> all;
    for (const auto& there : plan.weather) {
        for (const auto& finding : there.findings) {
            const auto known =
                std::find_if(all.begin(), all.end(), [&](const auto& one) { return one.first == finding; });
            if (known == all.end()) {
                all.emplace_back(finding, there.place);
            } else {
                known->second.append(", ").append(there.place);
            }
        }
    }
    return all;
}

std::string weather_lines(const Plan& plan) {
    Instant oldest = plan.weather.front().issued;
    std::set<std::string> sources;
    for (const auto& there : plan.weather) {
        oldest = std::min(oldest, there.issued);
        sources.insert(fmt::format("{} ({})", there.source, weather::basis_name(there.basis)));
    }
    std::string text = paragraph("", fmt::format("Weather: {}, {:.0f} h old.", fmt::join(sources, ", "),
                                                 std::max(0.0, in_hours(plan.request.now - oldest))));
    for (const auto& there : plan.weather) {
        if (!there.doubt.empty()) text += paragraph("  ! ", there.doubt + ".");
    }
    for (const auto& [finding, places] : findings_by_place(plan))
        text += paragraph("  ! ", fmt::format("{}: {}", places, finding));
    return text;
}

/// Packings of the ranking whose figures are those of a logger.
std::string learnt_line(const Plan& plan) {
    std::vector<std::string> packings;
    for (const auto& option : plan.options) {
        const auto names = learning::names_of(option.packing->learnt);
        if (names.empty()) continue;
        std::string one = fmt::format("{} ({})", option.packing->id, fmt::join(names, ", "));
        if (std::find(packings.begin(), packings.end(), one) == packings.end())
            packings.push_back(std::move(one));
    }
    if (packings.empty()) return "";
    return paragraph("", fmt::format("Learnt from loggers: {}.", fmt::join(packings, ", ")));
}

std::string papers_that_may_forbid(const Workspace& workspace, const Plan& plan) {
    std::string text;
    for (const auto& paper : workspace.advice.papers(*plan.request.species)) {
        if (paper.may_forbid) text += paragraph("  ? ", fmt::format("{} ({})", paper.text, paper.source));
    }
    return text.empty() ? text : "\nFirst: may it be sold and sent at all?\n" + text;
}

struct Widths {
    std::size_t rank = 2;
    std::size_t service = 7;
    std::size_t packing = 7;
    std::size_t cost = 4;
};

constexpr std::size_t kDayWidth = 10;
constexpr std::size_t kOutsideWidth = 11;
constexpr std::size_t kHarmWidth = 4;
constexpr std::size_t kVerdictWidth = 11;

std::string cost_column(const Option& option) {
    return fmt::format("${:.0f}", option.cost_usd);
}

/// As wide as the rows need, as far as the table keeps to kColumns; the packing's label gives way first.
Widths column_widths(const Plan& plan, std::size_t lines) {
    Widths widths;
    widths.rank = std::max(widths.rank, fmt::formatted_size("{}", lines));
    for (const auto& option : plan.options) {
        widths.service = std::max(widths.service, display_width(option.service->label));
        widths.packing = std::max(widths.packing, display_width(option.packing->label));
        widths.cost = std::max(widths.cost, cost_column(option).size());
    }
    constexpr std::size_t kGaps = 7;
    const std::size_t shared =
        kColumns - widths.rank - kDayWidth - kOutsideWidth - kHarmWidth - widths.cost - kVerdictWidth - kGaps;
    widths.service = std::min(widths.service, shared / 2);
    widths.packing = std::min(widths.packing, shared - widths.service);
    return widths;
}

struct Cells {
    std::string rank, day, service, packing, outside, harm, cost, verdict;
};

std::string row(const Widths& widths, const Cells& cells) {
    return fmt::format("{} {} {} {} {} {} {} {}\n", fit_right(cells.rank, widths.rank),
                       fit(cells.day, kDayWidth), fit(cells.service, widths.service),
                       fit(cells.packing, widths.packing), fit_right(cells.outside, kOutsideWidth),
                       fit_right(cells.harm, kHarmWidth), fit_right(cells.cost, widths.cost), cells.verdict);
}

std::string harm_column(const Option& option) {
    if (!option.assessment.all) return "?";
    const double chance = option.assessment.all->chance_harm.value;
    return chance < 0.01 ? "<1%" : fmt::format("{:.0f}%", 100 * chance);
}

std::string ranking(const Plan& plan, std::size_t lines) {
    lines = std::min(lines, plan.options.size());
    const Widths widths = column_widths(plan, lines);
    std::string text =
        "\n" + row(widths, {"#", "Ship day", "Service", "Packing", "Outside", "Harm", "Cost", "Verdict"});
    for (std::size_t i = 0; i < lines; ++i) {
        const Option& option = plan.options[i];
        text += row(widths, {option.assessment.all ? fmt::format("{}", option.rank) : "-",
                             format_day(option.ship_date), option.service->label, option.packing->label,
                             outside_column(option), harm_column(option), cost_column(option),
                             std::string(verdict_name(option.verdict))});
    }
    text += "   Outside: expected hours outside safe. Harm: chance of passing a harm limit.\n";
    for (const auto& packing : plan.left_out) text += paragraph("   left out: ", packing);
    if (plan.options.size() > lines) {
        text += fmt::format("   {} more with --top {}\n", plan.options.size() - lines, plan.options.size());
    }
    return text;
}

std::string lateness(const Option& best) {
    const auto& assessment = best.assessment;
    if (!assessment.if_late_one_day) {
        return fmt::format("A day late or more ({}): not known; {}.",
                           chance_text(1 - assessment.late.on_time()), assessment.late_unknown_reason);
    }
    const auto& late = *assessment.if_late_one_day;
    std::string text = fmt::format("If a service day late ({} are): {}; past a harm limit {}.",
                                   chance_text(assessment.late.one_day), planning::hours_text(late),
                                   chance_text(late.chance_harm.value));
    if (!assessment.late_unknown_reason.empty()) {
        text += fmt::format(" More than one day late ({}): not known; {}. So no better than tight.",
                            chance_text(assessment.late.more_days), assessment.late_unknown_reason);
    }
    return text;
}

/// What weather does to the chance of being late.
std::string hazard_lines(const Option& best) {
    std::string text;
    for (const auto& hazard : best.lateness.found) text += paragraph("  ! ", hazard.text + ".");
    std::vector<std::string> kinds;
    std::map<std::string, std::vector<std::string>> places_of;
    for (const auto& unknown : best.lateness.unknown) {
        if (!places_of.contains(unknown.what)) kinds.push_back(unknown.what);
        places_of[unknown.what].push_back(unknown.place);
    }
    for (std::string& kind : kinds) kind = fmt::format("{} ({})", kind, fmt::join(places_of[kind], ", "));
    if (kinds.empty()) return text;
    return text +
           paragraph("  ! ", fmt::format("Not known, so not in the chance of being late: {}.{}",
                                         fmt::join(kinds, "; "),
                                         best.lateness.winter_unknown ? " So no better than tight." : ""));
}

std::string best_option(const Workspace& workspace, const Plan& plan) {
    const Option& best = plan.options.front();
    if (!best.assessment.all) {
        return "\n" + paragraph("", fmt::format("Not known: {}. Nothing here says it is safe to ship.",
                                                best.assessment.unknown_reason));
    }
    const auto& figures = *best.assessment.all;
    const auto degrees = [&](double c) { return planning::temperature_text(c, workspace.scale); };
    const auto& origin_zone = find_zone(workspace.origin.zone);
    const auto& counter_zone = find_zone(workspace.counter.zone);
    const auto& destination_zone = find_zone(plan.request.destination.zone);
    std::string text = "\n" + paragraph("", fmt::format("#1, {}: {}, {}", format_day(best.ship_date),
                                                        best.service->label, best.packing->label));
    text += paragraph(
        "  ", fmt::format("Close the box {}; hand over {} at {}; promised {} ({} time).",
                          format_local_clock(origin_zone, best.trip.packed),
                          format_local_clock(counter_zone, best.trip.handed_over), workspace.counter.name,
                          format_local(destination_zone, best.trip.promised), plan.request.destination.name));
    text += paragraph("  ",
                      fmt::format("The animals' coldest moment: {} to {}; warmest: {} to {} (9 trips of 10).",
                                  degrees(figures.coldest_c.p5), degrees(figures.coldest_c.p95),
                                  degrees(figures.warmest_c.p5), degrees(figures.warmest_c.p95)));
    text += paragraph(
        "  ", fmt::format(
                  "More than 30 minutes outside safe: {}; past a harm limit: {}. The risk is on the {} side.",
                  chance_text(figures.chance_outside.value), chance_text(figures.chance_harm.value),
                  side_name(best.side)));
    text += paragraph("  ", lateness(best));
    return text + hazard_lines(best);
}

/// What a person must know of an option that no forecast reaches.
std::string basis_words(const Option& option) {
    return option.basis == weather::Basis::climate ? ", by the time of the year alone" : "";
}

/// Days on which weather makes parcels late.
std::string late_words(const Option& option) {
    if (option.lateness.found.empty()) return "";
    return fmt::format("; {} late, {}", chance_text(1 - option.lateness.odds.on_time()),
                       option.lateness.found.front().words);
}

/// Credits that the sources' licences ask for, each once.
std::string attributions(const Plan& plan) {
    std::set<std::string> lines;
    for (const auto& there : plan.weather) lines.insert(there.attributions.begin(), there.attributions.end());
    std::string text = lines.empty() ? "" : "\n";
    for (const auto& line : lines) text += paragraph("", line);
    return text;
}

/// What each day offers at its best, or why it offers nothing, in the order of the calendar.
std::string by_day(const Plan& plan) {
    std::map<Date, std::string> days;
    for (const auto& option : plan.options) {  // best first, so that the first of a day is its best
        const auto& assessment = option.assessment;
        days.try_emplace(option.ship_date,
                         assessment.all ? fmt::format("{}, {}{}{}", planning::hours_text(*assessment.all),
                                                      verdict_name(option.verdict), basis_words(option),
                                                      late_words(option))
                                        : "unknown: " + assessment.unknown_reason);
    }
    for (const auto& none : plan.closed) days.try_emplace(none.ship_date, "no: " + none.reason);
    std::string text = "\nDay by day, at its best:\n";
    for (const auto& [day, says] : days)
        text += paragraph(fmt::format("  {} ", fit(format_day(day), kDayWidth)), says);
    return text;
}

std::string advice(const Workspace& workspace, const Plan& plan) {
    std::string text = "\nAsk before you ship:\n";
    for (const auto& paper : workspace.advice.papers(*plan.request.species)) {
        if (!paper.may_forbid) text += paragraph("  ? ", fmt::format("{} ({})", paper.text, paper.source));
    }
    text += "\nMind:\n";
    for (const auto& caution : plan.cautions) text += paragraph("  - ", caution.text);
    return text;
}

}  // namespace

std::string plan_text(const Workspace& workspace, const Plan& plan, const TextOptions& options) {
    std::string text = header(workspace, plan) + weather_lines(plan) + learnt_line(plan) +
                       papers_that_may_forbid(workspace, plan);
    text += ranking(plan, options.lines) + best_option(workspace, plan);
    if (!plan.reasons.empty()) {
        text += "\nWhy:\n";
        for (const auto& reason : plan.reasons) text += paragraph("  ", reason);
    }
    return text + by_day(plan) + advice(workspace, plan) + attributions(plan);
}

}  // namespace mildway::reports
