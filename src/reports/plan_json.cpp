#include "mildway/reports/plan_json.hpp"

#include "mildway/learning/learnt.hpp"

#include <nlohmann/json.hpp>

namespace mildway::reports {

using nlohmann::ordered_json;

namespace {

ordered_json spread(const odds::Spread& s) {
    return {{"p5", s.p5}, {"p50", s.p50}, {"p95", s.p95}};
}

ordered_json band(const care::Band& b) {
    return {{"low_c", b.low_c}, {"high_c", b.high_c}};
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
                         {"from", role_name(leg.from)},
                         {"to", role_name(leg.to)},
                         {"start", format_instant(leg.start)},
                         {"end", format_instant(leg.end)}};
        if (i < option.assessment.legs.size()) {
            one["outside_cold_h"] = option.assessment.legs[i].hours_cold;
            one["outside_warm_h"] = option.assessment.legs[i].hours_warm;
        }
        all.push_back(std::move(one));
    }
    return all;
}

ordered_json option_json(const planning::Option& option, const planning::Workspace& workspace) {
    const auto& assessment = option.assessment;
    ordered_json one{{"rank", option.rank},
                     {"ship_date", format_date(option.ship_date)},
                     {"service", option.service->id},
                     {"packing", option.packing->id},
                     {"learnt", !learning::names_of(option.packing->learnt).empty()},
                     {"verdict", verdict_name(option.verdict)},
                     {"side", side_name(option.side)},
                     {"weather_basis", weather::basis_name(option.basis)},
                     {"cost_usd", option.cost_usd},
                     {"packed", format_instant(option.trip.packed)},
                     {"handed_over", format_instant(option.trip.handed_over)},
                     {"promised", format_instant(option.trip.promised)},
                     {"chance_late_one_day", assessment.late.one_day},
                     {"chance_late_more_days", assessment.late.more_days}};
    one["figures"] = assessment.all ? figures(*assessment.all) : ordered_json(nullptr);
    one["if_late_one_day"] =
        assessment.if_late_one_day ? figures(*assessment.if_late_one_day) : ordered_json(nullptr);
    if (assessment.all) {
        one["around_coldest_c"] = spread(assessment.around_coldest_c);
        one["around_warmest_c"] = spread(assessment.around_warmest_c);
    }
    if (!assessment.unknown_reason.empty()) one["unknown_reason"] = assessment.unknown_reason;
    if (!assessment.late_unknown_reason.empty()) one["late_unknown_reason"] = assessment.late_unknown_reason;
    one["hazards"] = ordered_json::array();
    for (const auto& hazard : option.lateness.found) {
        one["hazards"].push_back({{"id", hazard.id},
                                  {"at", role_name(hazard.role)},
                                  {"chance", hazard.chance},
                                  {"odds_factor", hazard.odds_factor},
                                  {"text", hazard.text}});
    }
    one["hazards_unknown"] = ordered_json::array();
    for (const auto& unknown : option.lateness.unknown) one["hazards_unknown"].push_back(unknown.text);
    one["legs"] = legs(option, workspace);
    return one;
}

ordered_json weather_json(const planning::PlaceWeather& there) {
    ordered_json one{{"place", there.place},
                     {"source", there.source},
                     {"read_from", there.origin},
                     {"basis", weather::basis_name(there.basis)},
                     {"issued", format_instant(there.issued)},
                     {"known_until", format_instant(there.known_until)},
                     {"usable", there.doubt.empty()}};
    if (!there.doubt.empty()) one["doubt"] = there.doubt;
    one["findings"] = there.findings;
    one["asked"] = there.fetched ? ordered_json(format_instant(*there.fetched)) : ordered_json(nullptr);
    one["climate_from"] =
        there.climate_from ? ordered_json(format_instant(*there.climate_from)) : ordered_json(nullptr);
    one["attributions"] = there.attributions;
    return one;
}

ordered_json advice_json(const std::vector<care::Advice>& advice) {
    ordered_json all = ordered_json::array();
    for (const auto& entry : advice) {
        all.push_back({{"text", entry.text}, {"source", entry.source}, {"may_forbid", entry.may_forbid}});
    }
    return all;
}

}  // namespace

std::string plan_json(const planning::Workspace& workspace, const planning::Plan& plan) {
    const auto& request = plan.request;
    ordered_json json{{"document", "mildway plan"},
                      {"version", kPlanVersion},
                      {"now", format_instant(request.now)},
                      {"seed", request.seed},
                      {"scenarios", request.scenarios},
                      {"origin", workspace.origin.name},
                      {"destination", request.destination.name},
                      {"species", request.species->id},
                      {"count", request.contents.count},
                      {"mass_g", request.contents.mass_kg_each * 1000},
                      {"comfort", band(request.species->comfort)},
                      {"safe", band(request.species->safe)},
                      {"harm", band(request.species->harm)}};
    json["weather"] = ordered_json::array();
    for (const auto& there : plan.weather) json["weather"].push_back(weather_json(there));
    json["options"] = ordered_json::array();
    for (const auto& option : plan.options) json["options"].push_back(option_json(option, workspace));
    json["closed"] = ordered_json::array();
    for (const auto& none : plan.closed) {
        json["closed"].push_back({{"ship_date", format_date(none.ship_date)},
                                  {"service", none.service->id},
                                  {"reason", none.reason}});
    }
    json["left_out"] = plan.left_out;
    json["reasons"] = plan.reasons;
    json["papers"] = advice_json(workspace.advice.papers(*request.species));
    json["cautions"] = advice_json(plan.cautions);
    return json.dump(2, ' ', false, ordered_json::error_handler_t::replace) + "\n";
}

}  // namespace mildway::reports
