#include "mildway/planning/box_cautions.hpp"
#include "mildway/planning/explain.hpp"
#include "mildway/reports/week_report.hpp"
#include "mildway/weekly/order_parcel.hpp"

#include "layout.hpp"
#include "order_words.hpp"
#include "weather_lines.hpp"
#include "week_words.hpp"
#include "words.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

namespace mildway::reports {

using planning::Option;
using weekly::Week;
using weekly::WeekOrder;

namespace {

std::size_t shipped(const Week& week) {
    return static_cast<std::size_t>(std::count_if(week.orders.begin(), week.orders.end(),
                                                  [](const auto& one) { return one.chosen.has_value(); }));
}

std::string head(const Week& week, WeekDone done) {
    const auto keep = static_cast<std::size_t>(std::count_if(week.orders.begin(), week.orders.end(),
                                                             [](const auto& one) { return one.keeps_plan; }));
    const std::size_t waiting = week.orders.size() - shipped(week) - keep;
    const std::string kept = keep == 0   ? ""
                             : keep == 1 ? ", 1 keeps its plan"
                                         : fmt::format(", {} keep their plans", keep);
    std::string text = paragraph(
        "", fmt::format("{} to {}: {}{}, {} planned{}, {}", format_day(week.days.front().date),
                        format_day(week.days.back().date), counted(week.orders.size(), "order", "orders"),
                        week.request.replan ? "" : " to plan", shipped(week), kept,
                        waiting == 0 ? "none waits" : counted(waiting, "waits", "wait")));
    switch (done) {
        case WeekDone::shown:
            text += "Nothing is written yet: --apply writes these choices to the order book.\n";
            break;
        case WeekDone::applied:
            text += "These choices are in the order book now.\n";
            break;
        case WeekDone::proposed:
            text += "The days that suit each open order are in the order book as a proposal.\n";
            break;
    }
    if (!week.proven)
        text += paragraph(
            "! ", "The search was cut short: this plan keeps every limit, but there may be a better one.");
    if (week.usd_may_lack >= 1) {
        text += paragraph(
            "", fmt::format("No plan ships more orders or spares them more hours outside. The search "
                            "for the cheapest of such plans was cut short: it may save up to {}.",
                            usd_text(std::ceil(week.usd_may_lack))));
    }
    return text;
}

std::string broken_lines(const Week& week) {
    std::string text;
    for (const std::string& sentence : week.broken) text += paragraph("! ", sentence);
    return text;
}

std::string weather_lines(const Week& week) {
    std::string text = age_line(week.weather, week.request.now);
    for (const auto& there : week.weather) {
        if (!there.doubt.empty()) text += paragraph("  ! ", there.doubt + ".");
    }
    return text;
}

/// One rule, what the figures say of it, and whom it is about.
struct RuleOfOrders {
    care::Rule rule;
    std::vector<std::string> numbers;
    std::vector<std::string> findings;
};

std::vector<RuleOfOrders> rules_of_week(const planning::Workspace& workspace, const Week& week) {
    std::vector<RuleOfOrders> all;
    for (const WeekOrder& order : week.orders) {
        for (const care::Rule& rule : rules_of(workspace, order)) {
            auto known = std::find_if(all.begin(), all.end(),
                                      [&](const RuleOfOrders& one) { return one.rule.text == rule.text; });
            if (known == all.end()) known = all.insert(known, {rule, {}, {}});
            known->numbers.push_back(order.order.number);
            known->rule.forbids = known->rule.forbids || rule.forbids;
            if (!rule.finding.empty())
                known->findings.push_back(fmt::format("{}: {}", order.order.number, rule.finding));
        }
    }
    std::stable_sort(all.begin(), all.end(), [](const RuleOfOrders& a, const RuleOfOrders& b) {
        return a.rule.forbids > b.rule.forbids;
    });
    return all;
}

/// "JB-1, JB-2"; "all orders".
std::string whom(const std::vector<std::string>& numbers, const Week& week) {
    if (numbers.size() == week.orders.size() && numbers.size() > 1) return "All orders";
    return fmt::format("{}", fmt::join(numbers, ", "));
}

std::string rule_lines(const std::vector<RuleOfOrders>& rules, const Week& week, bool may_forbid) {
    std::string text;
    for (const RuleOfOrders& one : rules) {
        if (one.rule.may_forbid != may_forbid) continue;
        text += paragraph(
            "  ? ", fmt::format("{}: {} ({})", whom(one.numbers, week), one.rule.text, one.rule.source));
        for (const std::string& finding : one.findings) text += paragraph("    ! ", finding);
    }
    return text;
}

std::string law_first(const std::vector<RuleOfOrders>& rules, const Week& week) {
    const std::string text = rule_lines(rules, week, true);
    if (text.empty()) return "";
    return "\nFirst: may they be sold and sent at all?\n" + text + paragraph("    ", care::kRulesChange);
}

std::string day_lines(const Week& week) {
    constexpr std::size_t kWidestOfDay = kColumns - 24;  // beside day and count, with a comma after it
    std::string text = "\nDay by day:\n";
    for (const weekly::WeekDay& day : week.days) {
        const std::size_t parcels = day.orders.size() + static_cast<std::size_t>(day.kept);
        if (parcels == 0 && !day.away) continue;
        std::vector<std::string> numbers;
        for (const std::size_t i : day.orders) {
            const std::string& number = week.orders[i].order.number;
            numbers.push_back(fit(number, std::min(display_width(number), kWidestOfDay)));
        }
        if (day.kept > 0) numbers.push_back(fmt::format("{} planned before", day.kept));
        const std::string count =
            day.boxes ? fmt::format("{} of {}", parcels, *day.boxes) : fmt::format("{}", parcels);
        text += paragraph(fmt::format("  {}  {}  ", fit(format_day(day.date), 10), fit_right(count, 7)),
                          day.away ? "you are away" : fmt::format("{}", fmt::join(numbers, ", ")));
    }
    return text;
}

std::string arrival(const Option& option, const orders::Order& order) {
    return format_local(find_zone(order.place.zone), option.trip.promised);
}

/// "JB-1041  1 x corn snake to Albany NY"; a long number has a line of its own.
std::string title_lines(const planning::Workspace& workspace, const std::string& margin,
                        const orders::Order& order) {
    constexpr std::size_t kLongNumber = 20;
    const std::string text =
        fmt::format("{} to {}", counted_species(order, workspace.species), order.place.name);
    if (display_width(order.number) < kLongNumber) return paragraph(margin + order.number + "  ", text);
    return margin + order.number + "\n" + paragraph(margin + "  ", text);
}

std::string proposed_lines(const std::string& margin, const Week& week, const WeekOrder& order,
                           WeekDone done) {
    if (done != WeekDone::proposed || order.order.state != orders::State::open) return "";
    return paragraph(margin + "Proposed: ", proposed_words(order, week.request.now) + ".");
}

std::string order_lines(const planning::Workspace& workspace, const Week& week, const WeekOrder& order,
                        WeekDone done) {
    const Option& option = *order.chosen;
    const auto& zone = find_zone(workspace.counter.zone);
    std::string text = title_lines(workspace, "", order.order);
    text += paragraph("  ",
                      fmt::format("{}: {}, {}; {}, {}.", format_day(option.ship_date), option.service->label,
                                  option.packing->label, verdict_words(option.verdict, option.side),
                                  planning::hours_text(*option.assessment.all)));
    text += paragraph("  ",
                      fmt::format("Close the box {}, hand over by {}; promised {} ({} time). {}.",
                                  format_local_clock(zone, option.trip.packed),
                                  format_local_clock(zone, option.trip.cut_off), arrival(option, order.order),
                                  order.order.place.name, usd_text(option.cost.total_usd())));
    if (const std::string given_up = given_up_words(week, order); !given_up.empty())
        text += paragraph("  Given up: ", given_up + ".");
    if (const std::string trouble = late_trouble_words(order); !trouble.empty())
        text += paragraph("  If a service day late: ", trouble + ".");
    if (order.next_best) {
        text += paragraph("  Else: ", fmt::format("{}, {}, {}.", format_day(order.next_best->ship_date),
                                                  verdict_name(order.next_best->verdict),
                                                  planning::hours_text(*order.next_best->assessment.all)));
    }
    return text + proposed_lines("  ", week, order, done);
}

std::string planned_lines(const planning::Workspace& workspace, const Week& week, WeekDone done) {
    std::string text;
    for (const weekly::WeekDay& day : week.days) {
        for (const std::size_t i : day.orders)
            text += "\n" + order_lines(workspace, week, week.orders[i], done);
    }
    return text;
}

std::string why_lines(const Week& week, const WeekOrder& order) {
    std::string text;
    for (const std::string& why : waiting_words(week, order)) text += paragraph("    ", why + ".");
    for (const std::string& why : order.left_out) text += paragraph("    left out: ", why);
    return text;
}

std::string waiting_lines(const planning::Workspace& workspace, const Week& week, WeekDone done) {
    std::string text;
    for (const WeekOrder& order : week.orders) {
        if (order.chosen || order.keeps_plan) continue;
        text += title_lines(workspace, "  ", order.order) + why_lines(week, order) +
                proposed_lines("    ", week, order, done);
    }
    return text.empty() ? "" : "\nWaiting:\n" + text;
}

/// What was planned before and stays: with a mark where a person should look.
std::string kept_lines(const planning::Workspace& workspace, const Week& week) {
    std::string text;
    for (const weekly::KeptPlan& kept : week.kept) {
        const orders::Choice& choice = *kept.order.choice;
        text += title_lines(workspace, needs_person(kept) ? "! " : "  ", kept.order);
        if (!kept.chosen_anew) {
            text += paragraph("    ", fmt::format("{}: {}.", format_day(choice.ship_date), kept_words(kept)));
            continue;
        }
        text +=
            paragraph("    ", fmt::format("keeps its plan of {}, {}, {}: {}. 'mildway order take-back {}' "
                                          "takes it back.",
                                          format_day(choice.ship_date), choice.service_label,
                                          choice.packing_label, kept_words(kept), kept.order.number));
        text += why_lines(week, week.orders[*kept.chosen_anew]);
    }
    return text.empty() ? "" : "\nPlanned before:\n" + text;
}

std::string relief_lines(const Week& week) {
    std::string text;
    for (const planning::Relief& relief : week.reliefs) {
        const std::string what =
            relief.limit.kind == planning::Limit::Kind::stock
                ? "One more " + weekly::thing_text(week.stock[relief.limit.index])
                : "Room for one parcel more on " + format_day(week.days[relief.limit.index].date);
        text += paragraph(
            "  ", fmt::format("{} would let {} go.", what,
                              counted(static_cast<std::size_t>(relief.more_shipped), "order", "orders")));
    }
    return text.empty() ? "" : "\nWhat would help:\n" + text;
}

std::string night_lines(const Week& week) {
    std::string text;
    for (const weekly::SharedNight& night : week.nights) {
        text += paragraph(
            "  ", fmt::format("{}, {}: that 2 or more of its {} parcels are late: {}; if each had a luck of "
                              "its own: {}.",
                              format_day(night.date), night.place, night.numbers.size(),
                              chance_text(night.two_or_more), chance_text(night.two_or_more_apart)));
    }
    return text.empty() ? "" : "\nNights that parcels share (what holds up one holds up others):\n" + text;
}

std::string cost_lines(const Week& week) {
    double parcels_usd = 0;
    for (const WeekOrder& order : week.orders)
        parcels_usd += order.chosen ? order.chosen->cost.total_usd() : 0;
    std::string text =
        fmt::format("\nCosts: {} for {}", usd_text(parcels_usd), counted(shipped(week), "parcel", "parcels"));
    if (week.trips_usd > 0) text += fmt::format(", {} for trips to the counter", usd_text(week.trips_usd));
    return text + ".\n";
}

std::string stock_lines(const Week& week) {
    if (week.stock.empty()) return "";
    std::string text = "\nStock                     counted   sent   kept  taken   left\n";
    for (const weekly::StockItem& item : week.stock) {
        text += fmt::format("  {} {:>7}{:>7}{:>7}{:>7}{:>7}\n", fit(weekly::thing_text(item), 23),
                            item.counted, item.used, item.kept, item.taken, item.left());
    }
    return text;
}

/// Each caution once, those of the boxes with the orders they are about.
std::string caution_lines(const planning::Workspace& workspace, const Week& week) {
    std::vector<std::pair<std::string, std::vector<std::string>>> own;
    std::vector<std::string> usual;
    const auto add_usual = [&](const care::Advice& caution) {
        if (std::find(usual.begin(), usual.end(), caution.text) == usual.end()) usual.push_back(caution.text);
    };
    for (const WeekOrder& order : week.orders) {
        if (!order.gone.empty()) continue;
        const planning::Parcel parcel = weekly::parcel_of(order.order, workspace);
        if (!order.chosen) {
            for (const care::Advice& caution : workspace.advice.cautions(*parcel.species, {}))
                add_usual(caution);
            continue;
        }
        planning::PackedBox box{order.chosen->packing, parcel.contents, parcel.species, std::nullopt};
        box.warmest_around_c = order.chosen->assessment.around_warmest_c.p95;
        const auto of_box = planning::box_cautions(workspace, box);
        for (const care::Advice& caution : of_box) {
            auto known = std::find_if(own.begin(), own.end(),
                                      [&](const auto& one) { return one.first == caution.text; });
            if (known == own.end()) known = own.insert(known, {caution.text, {}});
            known->second.push_back(order.order.number);
        }
        const auto all = planning::all_cautions(workspace, box);
        for (std::size_t i = of_box.size(); i < all.size(); ++i) add_usual(all[i]);
    }
    std::string text = "\nMind:\n";
    for (const auto& [caution, numbers] : own)
        text += paragraph("  - ", fmt::format("{}: {}", fmt::join(numbers, ", "), caution));
    for (const std::string& caution : usual) text += paragraph("  - ", caution);
    return text;
}

}  // namespace

std::string week_text(const planning::Workspace& workspace, const Week& week, WeekDone done) {
    if (week.orders.empty())
        return "No order is open: there is nothing to plan.\n" + broken_lines(week) +
               kept_lines(workspace, week) + stock_lines(week);
    const std::vector<RuleOfOrders> rules = rules_of_week(workspace, week);
    const std::string asking = rule_lines(rules, week, false);
    return head(week, done) + broken_lines(week) + weather_lines(week) + law_first(rules, week) +
           day_lines(week) + planned_lines(workspace, week, done) + waiting_lines(workspace, week, done) +
           kept_lines(workspace, week) + relief_lines(week) + night_lines(week) + cost_lines(week) +
           stock_lines(week) + (asking.empty() ? "" : "\nAsk before you ship:\n" + asking) +
           caution_lines(workspace, week) + credit_lines(week.weather);
}

}  // namespace mildway::reports
