#include "plan_table.hpp"

#include "layout.hpp"
#include "plan_frame.hpp"

#include <algorithm>

#include <fmt/format.h>

namespace mildway::reports {

using planning::Option;
using planning::Plan;

namespace {

/// "0.4 h cold", for the column headed "Outside".
std::string outside_column(const Option& option) {
    if (!option.assessment.all) return "not known";
    const auto& figures = *option.assessment.all;
    if (figures.hours_outside.value < 0.05) return "0 h";
    return fmt::format("{:.1f} h {}", figures.hours_outside.value,
                       figures.hours_cold >= figures.hours_warm ? "cold" : "warm");
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
    return fmt::format("${:.0f}", option.cost.total_usd());
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

}  // namespace

std::string plan_table(const Plan& plan, std::size_t lines) {
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
    if (plan.request.rank_by == planning::RankBy::cost_and_loss)
        text += "   Ranked by verdict, and within each by cost and expected loss together.\n";
    text += left_out_lines(plan);
    if (plan.options.size() > lines) {
        text += fmt::format("   {} more with --top {}\n", plan.options.size() - lines, plan.options.size());
    }
    return text;
}

}  // namespace mildway::reports
