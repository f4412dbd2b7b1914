#include "mildway/reports/week_report.hpp"

#include "json_parts.hpp"
#include "option_json.hpp"
#include "rule_lines.hpp"
#include "week_words.hpp"

#include <nlohmann/json.hpp>

namespace mildway::reports {

using nlohmann::ordered_json;
using planning::Option;
using weekly::Week;
using weekly::WeekOrder;

namespace {

std::string_view done_name(WeekDone done) {
    switch (done) {
        case WeekDone::applied:
            return "applied";
        case WeekDone::proposed:
            return "proposed";
        case WeekDone::shown:
            break;
    }
    return "shown";
}

/// The short form; empty is null.
ordered_json brief(const std::optional<Option>& option) {
    if (!option) return nullptr;
    return {{"ship_date", format_date(option->ship_date)},
            {"delivery_date", format_date(option->trip.delivery_date)},
            {"service", option->service->id},
            {"packing", option->packing->id},
            {"verdict", verdict_name(option->verdict)},
            {"side", side_name(option->side)},
            {"outside_h", option->assessment.all->hours_outside.value},
            {"chance_harm", option->assessment.all->chance_harm.value},
            {"cost_usd", option->cost.total_usd()}};
}

ordered_json limit_json(const Week& week, const planning::Limit& limit) {
    ordered_json one;
    switch (limit.kind) {
        case planning::Limit::Kind::boxes_of_day:
            one = {{"kind", "boxes_per_day"}, {"date", format_date(week.days[limit.index].date)}};
            break;
        case planning::Limit::Kind::trip_cost:
            one = {{"kind", "counter_trip"}, {"date", format_date(week.days[limit.index].date)}};
            break;
        case planning::Limit::Kind::stock:
            one = {{"kind", "stock"}, {"name", week.stock[limit.index].name}};
            break;
    }
    one["text"] = limit_words(week, limit);
    return one;
}

ordered_json unfit_json(const weekly::Unfit& unfit) {
    ordered_json one{{"reason", unfit.reason}, {"ship_dates", ordered_json::array()}};
    for (const Date day : unfit.ship_dates) one["ship_dates"].push_back(format_date(day));
    one["at_best"] = unfit.at_best;
    one["unknown_reason"] = text_or_null(unfit.unknown);
    return one;
}

/// What `--propose` writes for an order; null where nothing is proposed.
ordered_json proposed_json(const Week& week, const WeekOrder& order, WeekDone done) {
    if (done != WeekDone::proposed || order.order.state != orders::State::open) return nullptr;
    ordered_json days = ordered_json::array();
    for (const orders::Proposal::Day& day : proposal_of(order, week.request.now).days) {
        days.push_back({{"ship_date", format_date(day.ship_date)},
                        {"arrival_date", format_date(day.arrival_date)},
                        {"verdict", verdict_name(day.verdict)}});
    }
    return days;
}

ordered_json kept_json(const Week& week) {
    ordered_json all = ordered_json::array();
    for (const weekly::KeptPlan& kept : week.kept) {
        const orders::Choice& choice = *kept.order.choice;
        all.push_back({{"number", kept.order.number},
                       {"ship_date", format_date(choice.ship_date)},
                       {"service", choice.service},
                       {"packing", choice.packing},
                       {"verdict", verdict_name(kept.verdict)},
                       {"side", side_name(kept.side)},
                       {"checked", kept.checked},
                       {"flagged", kept.flagged},
                       {"past", kept.past},
                       {"no_new_choice", kept.chosen_anew.has_value()},
                       {"needs_you", needs_person(kept)}});
    }
    return all;
}

ordered_json order_json(const planning::Workspace& workspace, const Week& week, const WeekOrder& order,
                        WeekDone done) {
    ordered_json one{{"number", order.order.number},
                     {"state", orders::state_name(order.order.state)},
                     {"destination", order.order.place.name},
                     {"species", order.order.species},
                     {"count", order.order.animals.size()}};
    one["chosen"] = order.chosen ? option_json(*order.chosen, workspace) : ordered_json(nullptr);
    one["late_trouble"] = text_or_null(order.chosen ? late_trouble_words(order) : "");
    one["given_up"] = brief(order.given_up);
    one["because"] = ordered_json::array();
    for (const planning::Limit& limit : order.because) one["because"].push_back(limit_json(week, limit));
    one["next_best"] = brief(order.next_best);
    one["days"] = ordered_json::array();
    for (const Option& option : order.best_of_days) one["days"].push_back(brief(option));
    one["proposed"] = proposed_json(week, order, done);
    one["unfit"] = ordered_json::array();
    for (const weekly::Unfit& unfit : order.unfit) one["unfit"].push_back(unfit_json(unfit));
    one["left_out"] = order.left_out;
    one["keeps_plan"] = order.keeps_plan;
    one["gone"] = text_or_null(order.gone);
    one["papers"] = rules_json(rules_of(workspace, order));
    return one;
}

ordered_json days_json(const Week& week) {
    ordered_json all = ordered_json::array();
    for (const weekly::WeekDay& day : week.days) {
        ordered_json numbers = ordered_json::array();
        for (const std::size_t i : day.orders) numbers.push_back(week.orders[i].order.number);
        all.push_back({{"date", format_date(day.date)},
                       {"away", day.away},
                       {"orders", std::move(numbers)},
                       {"planned_before", day.kept},
                       {"boxes", or_null(day.boxes)}});
    }
    return all;
}

ordered_json stock_json(const Week& week) {
    ordered_json all = ordered_json::array();
    for (const weekly::StockItem& item : week.stock) {
        all.push_back({{"thing", weekly::thing_text(item)},
                       {"name", item.name},
                       {"counted", item.counted},
                       {"sent", item.used},
                       {"kept", item.kept},
                       {"taken", item.taken},
                       {"left", item.left()}});
    }
    return all;
}

ordered_json weather_json(const Week& week) {
    ordered_json all = ordered_json::array();
    for (const planning::PlaceWeather& there : week.weather) all.push_back(weather_in_brief(there));
    return all;
}

}  // namespace

std::string week_json(const planning::Workspace& workspace, const Week& week, WeekDone done) {
    ordered_json json{{"document", "mildway week"},
                      {"version", kWeekVersion},
                      {"now", format_instant(week.request.now)},
                      {"seed", week.request.seed},
                      {"scenarios", week.request.scenarios},
                      {"from", format_date(week.request.from)},
                      {"days_asked", week.request.days},
                      {"replan", week.request.replan},
                      {"done", done_name(done)},
                      {"proven_best", week.proven},
                      {"cost_may_lack_usd", week.usd_may_lack},
                      {"trips_usd", week.trips_usd}};
    json["weather"] = weather_json(week);
    json["days"] = days_json(week);
    json["orders"] = ordered_json::array();
    for (const WeekOrder& order : week.orders)
        json["orders"].push_back(order_json(workspace, week, order, done));
    json["kept"] = kept_json(week);
    json["broken"] = week.broken;
    json["reliefs"] = ordered_json::array();
    for (const planning::Relief& relief : week.reliefs) {
        json["reliefs"].push_back(
            {{"limit", limit_json(week, relief.limit)}, {"more_shipped", relief.more_shipped}});
    }
    json["nights"] = ordered_json::array();
    for (const weekly::SharedNight& night : week.nights) {
        json["nights"].push_back({{"date", format_date(night.date)},
                                  {"place", night.place},
                                  {"orders", night.numbers},
                                  {"chance_two_late", night.two_or_more},
                                  {"chance_two_late_if_apart", night.two_or_more_apart}});
    }
    json["stock"] = stock_json(week);
    return json.dump(2, ' ', false, ordered_json::error_handler_t::replace) + "\n";
}

}  // namespace mildway::reports
