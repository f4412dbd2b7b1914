#include "week_words.hpp"

#include "mildway/planning/explain.hpp"
#include "mildway/planning/lane_rules.hpp"
#include "mildway/reports/week_report.hpp"
#include "mildway/weekly/order_parcel.hpp"

#include "order_words.hpp"
#include "words.hpp"

#include <algorithm>

#include <fmt/format.h>

namespace mildway::reports {

using planning::Limit;
using planning::Option;
using weekly::Week;
using weekly::WeekOrder;

namespace {

std::string unfit_words(const weekly::Unfit& unfit) {
    std::string text = fmt::format("{}: {}", days_text(unfit.ship_dates), unfit.reason);
    if (!unfit.at_best.empty()) text += fmt::format(" ({})", fmt::join(unfit.at_best, ", "));
    if (!unfit.unknown.empty()) text += fmt::format(" ({})", unfit.unknown);
    return text;
}

}  // namespace

std::string limit_words(const Week& week, const Limit& limit) {
    switch (limit.kind) {
        case Limit::Kind::stock:
            return fmt::format("no {} is left for it", weekly::thing_text(week.stock[limit.index]));
        case Limit::Kind::trip_cost:
            return fmt::format("it would take one more trip to the counter, on {}",
                               format_day(week.days[limit.index].date));
        case Limit::Kind::boxes_of_day:
            break;
    }
    const weekly::WeekDay& day = week.days[limit.index];
    return fmt::format("{} is full ({} a day)", format_day(day.date), day.boxes.value_or(0));
}

std::string limits_words(const Week& week, const std::vector<Limit>& limits) {
    std::vector<std::string> all;
    for (const Limit& limit : limits) all.push_back(limit_words(week, limit));
    return fmt::format("{}", fmt::join(all, "; "));
}

std::vector<std::string> waiting_words(const Week& week, const WeekOrder& order) {
    if (!order.gone.empty()) return {order.gone};
    std::vector<std::string> all;
    std::vector<Date> days;
    for (const Option& option : order.best_of_days) days.push_back(option.ship_date);
    if (!order.because.empty()) {
        all.push_back(fmt::format("{} would suit: {}", days_text(days), limits_words(week, order.because)));
    } else if (!days.empty()) {  // of a kept plan: others moved out of its way later
        all.push_back(days_text(days) + " would suit beside this plan: plan once more");
    }
    for (const weekly::Unfit& unfit : order.unfit) all.push_back(unfit_words(unfit));
    return all;
}

std::string given_up_words(const Week& week, const WeekOrder& order) {
    if (!order.chosen || !order.given_up) return "";
    const Option& other = *order.given_up;
    const Option& chosen = *order.chosen;
    std::string what = fmt::format("{}, {}", other.service->label, other.packing->label);
    if (other.ship_date != chosen.ship_date) what = fmt::format("{}, {}", format_day(other.ship_date), what);
    const double saved_usd = chosen.cost.total_usd() - other.cost.total_usd();
    const bool better = planning::tenths_of(other.assessment.all->hours_outside.value) <
                        planning::tenths_of(chosen.assessment.all->hours_outside.value);
    std::string gain = better ? fmt::format("{} instead of {}", planning::hours_text(*other.assessment.all),
                                            planning::hours_text(*chosen.assessment.all))
                       : other.verdict < chosen.verdict ? std::string(verdict_name(other.verdict))
                       : saved_usd > 0                  ? usd_text(saved_usd) + " less"
                                                        : "a day earlier or more";
    return fmt::format("{} ({}): {}", what, gain, limits_words(week, order.because));
}

std::string kept_words(const weekly::KeptPlan& kept) {
    std::string words = kept.past ? "its day is past and it was not handed over; " : "";
    words += verdict_words(kept.verdict, kept.side);
    words += kept.checked ? " at the last check" : " when it was planned";
    if (kept.flagged) words += ", which says that you should look";
    return words;
}

std::string proposed_words(const WeekOrder& order, Instant now) {
    std::vector<Date> ship;
    std::vector<Date> arrive;
    for (const orders::Proposal::Day& day : proposal_of(order, now).days) {
        ship.push_back(day.ship_date);
        arrive.push_back(day.arrival_date);
    }
    if (ship.empty()) return order.order.proposal ? "no day any more" : "no day";
    std::sort(arrive.begin(), arrive.end());
    arrive.erase(std::unique(arrive.begin(), arrive.end()), arrive.end());
    return fmt::format("{} (arrival {})", days_text(ship), days_text(arrive));
}

std::string late_trouble_words(const WeekOrder& order) {
    const planning::IfLate& late = order.chosen->if_late;
    const std::string unsuited = weekly::why_not_arriving(order.order, late.trip.delivery_date);
    if (!late.is_trapped() && unsuited.empty()) return "";
    std::string text = "it would come on " + format_day(late.trip.delivery_date);
    if (late.is_trapped()) text += fmt::format(", {} days later", late.days_later);
    return unsuited.empty() ? text : fmt::format("{}: {}", text, unsuited);
}

std::vector<care::Rule> rules_of(const planning::Workspace& workspace, const WeekOrder& order) {
    if (!order.gone.empty()) return {};
    const planning::Parcel parcel = weekly::parcel_of(order.order, workspace);
    const std::vector<const transit::Service*> services =
        order.chosen ? std::vector<const transit::Service*>{order.chosen->service}
                     : weekly::services_of(order.order, workspace);
    return planning::lane_rules(workspace, *parcel.species, order.order.place, services,
                                weekly::shells_of(order.order));
}

orders::Proposal proposal_of(const WeekOrder& order, Instant now) {
    orders::Proposal proposal;
    proposal.made = now;
    const bool comfortable =
        std::any_of(order.best_of_days.begin(), order.best_of_days.end(),
                    [](const Option& option) { return option.verdict == Verdict::comfortable; });
    for (const Option& option : order.best_of_days) {
        if (comfortable && option.verdict != Verdict::comfortable) continue;
        proposal.days.push_back({option.ship_date, option.trip.delivery_date, option.verdict});
    }
    return proposal;
}

bool needs_person(const planning::Workspace& workspace, const WeekOrder& order) {
    if (!order.chosen || order.chosen->verdict != Verdict::comfortable) return true;
    const std::vector<care::Rule> rules = rules_of(workspace, order);
    return std::any_of(rules.begin(), rules.end(), [](const care::Rule& rule) { return rule.forbids; });
}

bool needs_person(const weekly::KeptPlan& kept) {
    return kept.past || kept.flagged || kept.chosen_anew || kept.verdict != Verdict::comfortable;
}

}  // namespace mildway::reports
