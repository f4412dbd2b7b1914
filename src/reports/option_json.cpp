#include "option_json.hpp"

#include "mildway/learning/learnt.hpp"
#include "mildway/odds/late_together.hpp"

#include "sheet_packing.hpp"

#include <nlohmann/json.hpp>

namespace mildway::reports {

using nlohmann::ordered_json;

namespace {

ordered_json spread(const odds::Spread& s) {
    return {{"p5", s.p5}, {"p50", s.p50}, {"p95", s.p95}};
}

ordered_json figures(const odds::Figures& f) {
    return {
        {"outside_h", f.hours_outside.value},
        {"outside_error_h", f.hours_outside.error},
        {"outside_cold_h", f.hours_cold},
        {"outside_warm_h", f.hours_warm},
        {"outside_p90_h", f.hours_p90},
        {"outside_cold_k_h", f.degree_hours_cold},
        {"outside_warm_k_h", f.degree_hours_warm},
        {"chance_outside_30_minutes", f.chance_outside.value},
        {"chance_outside_30_minutes_error", f.chance_outside.error},
        {"chance_harm", f.chance_harm.value},
        {"chance_harm_error", f.chance_harm.error},
        {"chance_harm_cold", f.chance_harm_cold},
        {"coldest_c", spread(f.coldest_c)},
        {"warmest_c", spread(f.warmest_c)},
    };
}

ordered_json legs(const planning::Option& option, const planning::Workspace& workspace) {
    ordered_json all = ordered_json::array();
    for (std::size_t i = 0; i < option.trip.legs.size(); ++i) {
        const transit::Leg& leg = option.trip.legs[i];
        ordered_json one{{"leg", leg.name},
                         {"setting", workspace.settings.at(leg.setting).name},
                         {"from", role_name(leg.stretch.from)},
                         {"to", role_name(leg.stretch.to)}};
        const bool whole_way = leg.stretch.from_share == 0 && leg.stretch.to_share == 1;
        if (leg.stretch.from != leg.stretch.to && !whole_way) {
            one["from_share"] = leg.stretch.from_share;
            one["to_share"] = leg.stretch.to_share;
        }
        one["start"] = format_instant(leg.start);
        one["end"] = format_instant(leg.end);
        if (i < option.assessment.legs.size()) {
            one["outside_cold_h"] = option.assessment.legs[i].hours_cold;
            one["outside_warm_h"] = option.assessment.legs[i].hours_warm;
        }
        all.push_back(std::move(one));
    }
    return all;
}

ordered_json cost(const planning::Cost& c) {
    return {{"total_usd", c.total_usd()},
            {"materials_usd", c.materials_usd},
            {"carriage_usd", c.carriage_usd},
            {"extras_usd", c.extras_usd},
            {"billed_mass_kg", c.billed_mass_kg}};
}

ordered_json if_late(const planning::IfLate& late) {
    ordered_json low = ordered_json::array();
    for (const auto& warmers : late.warmers_low)
        low.push_back({{"label", warmers.label}, {"when", format_instant(warmers.when)}});
    return {{"delivery_date", format_date(late.trip.delivery_date)},
            {"days_later", late.days_later},
            {"waits_in", late.waits_in},
            {"warmers_low", std::move(low)},
            {"trapped", late.is_trapped()}};
}

/// By the name of the leg that a late parcel waits after.
ordered_json wait_shares(const planning::Option& option) {
    ordered_json shares = ordered_json::object();
    const auto& service = *option.service;
    for (std::size_t i = 0; i < option.lateness.wait_shares.size(); ++i)
        shares[service.legs[service.waits[i].leg].name] = option.lateness.wait_shares[i];
    return shares;
}

ordered_json hazards(const odds::HazardousOdds& lateness) {
    ordered_json all = ordered_json::array();
    for (const auto& hazard : lateness.found) {
        all.push_back({{"id", hazard.id},
                       {"at", role_name(hazard.role)},
                       {"chance", hazard.chance},
                       {"odds_factor", hazard.odds_factor},
                       {"nights_before", hazard.nights_before},
                       {"text", hazard.text}});
    }
    return all;
}

/// When, where, how, for how much: all that is known of an option without its figures.
ordered_json choice(const planning::Option& option, const planning::Workspace& workspace) {
    const auto& late = option.assessment.late;
    ordered_json one{{"rank", option.rank},
                     {"ship_date", format_date(option.ship_date)},
                     {"service", option.service->id},
                     {"service_options", option.service->options},
                     {"carrier", option.service->carrier},
                     {"packing", option.packing->id},
                     {"recipe", whole_recipe(*option.packing, workspace.supplies.warmers)},
                     {"learnt", !learning::names_of(option.packing->learnt).empty()},
                     {"verdict", verdict_name(option.verdict)},
                     {"side", side_name(option.side)},
                     {"weather_basis", weather::basis_name(option.basis)},
                     {"cost_usd", option.cost.total_usd()},
                     {"cost", cost(option.cost)}};
    one["expected_loss_usd"] =
        option.expected_loss_usd ? ordered_json(*option.expected_loss_usd) : ordered_json(nullptr);
    one["packed"] = format_instant(option.trip.packed);
    one["handed_over"] = format_instant(option.trip.handed_over);
    one["cut_off"] = format_instant(option.trip.cut_off);
    one["promised"] = format_instant(option.trip.promised);
    one["chance_late_one_day"] = late.one_day;
    one["chance_late_more_days"] = late.more_days;
    one["late_given_other"] = odds::chance_late_given_other(late, late, option.service->late_together);
    one["wait_shares"] = wait_shares(option);
    one["if_late"] = if_late(option.if_late);
    return one;
}

std::string_view change_id(planning::ChangeKind kind) {
    switch (kind) {
        case planning::ChangeKind::day:
            return "day";
        case planning::ChangeKind::service:
            return "service";
        case planning::ChangeKind::hold:
            return "hold";
        case planning::ChangeKind::one_warmer_more:
            return "one_warmer_more";
        case planning::ChangeKind::one_warmer_less:
            return "one_warmer_less";
        case planning::ChangeKind::packing:
            break;
    }
    return "packing";
}

}  // namespace

ordered_json option_json(const planning::Option& option, const planning::Workspace& workspace) {
    const auto& assessment = option.assessment;
    ordered_json one = choice(option, workspace);
    one["figures"] = assessment.all ? figures(*assessment.all) : ordered_json(nullptr);
    one["if_late_one_day"] =
        assessment.if_late_one_day ? figures(*assessment.if_late_one_day) : ordered_json(nullptr);
    if (assessment.all) {
        one["in_box_h"] = spread(assessment.in_box_h);
        one["around_coldest_c"] = spread(assessment.around_coldest_c);
        one["around_warmest_c"] = spread(assessment.around_warmest_c);
    }
    if (assessment.if_late_one_day) one["late_in_box_h"] = spread(assessment.late_in_box_h);
    if (!assessment.unknown_reason.empty()) one["unknown_reason"] = assessment.unknown_reason;
    if (!assessment.late_unknown_reason.empty()) one["late_unknown_reason"] = assessment.late_unknown_reason;
    one["hazards"] = hazards(option.lateness);
    one["hazards_unknown"] = ordered_json::array();
    for (const auto& unknown : option.lateness.unknown) one["hazards_unknown"].push_back(unknown.text);
    one["legs"] = legs(option, workspace);
    return one;
}

ordered_json change_json(const planning::Change& change) {
    const planning::Option& option = change.option;
    const auto& figures = option.assessment.all;
    const auto or_null = [&](double value) { return figures ? ordered_json(value) : ordered_json(nullptr); };
    ordered_json one{{"kind", change_id(change.kind)},
                     {"ship_date", format_date(option.ship_date)},
                     {"service", option.service->id},
                     {"packing", option.packing->label},
                     {"verdict", verdict_name(option.verdict)},
                     {"outside_h", or_null(figures ? figures->hours_outside.value : 0)},
                     {"chance_harm", or_null(figures ? figures->chance_harm.value : 0)},
                     {"cost_usd", option.cost.total_usd()}};
    if (!option.assessment.late_unknown_reason.empty())
        one["late_unknown_reason"] = option.assessment.late_unknown_reason;
    return one;
}

}  // namespace mildway::reports
