#include "mildway/reports/plan_json.hpp"

#include "mildway/planning/days.hpp"
#include "mildway/planning/lane_rules.hpp"

#include "option_json.hpp"
#include "rule_lines.hpp"

#include <nlohmann/json.hpp>

namespace mildway::reports {

using nlohmann::ordered_json;

namespace {

ordered_json band(const care::Band& b) {
    return {{"low_c", b.low_c}, {"high_c", b.high_c}};
}

std::string_view rank_by_name(planning::RankBy by) {
    return by == planning::RankBy::cost_and_loss ? "cost-and-loss" : "hours";
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

ordered_json days_json(const planning::Plan& plan) {
    ordered_json all = ordered_json::array();
    for (const auto& day : planning::days_of(plan)) {
        ordered_json one{{"date", format_date(day.day)}};
        const planning::Option* best = day.best;
        const auto or_null = [](bool known, auto value) {
            return known ? ordered_json(value()) : ordered_json(nullptr);
        };
        one["rank"] = or_null(best != nullptr, [&] { return best->rank; });
        one["verdict"] = or_null(best != nullptr, [&] { return verdict_name(best->verdict); });
        const bool known = best != nullptr && best->assessment.all.has_value();
        one["side"] = or_null(known, [&] { return side_name(best->side); });
        one["outside_h"] = or_null(known, [&] { return best->assessment.all->hours_outside.value; });
        one["closed"] = or_null(best == nullptr, [&] { return day.closed->brief; });
        one["closed_reason"] = or_null(best == nullptr, [&] { return day.closed->reason; });
        all.push_back(std::move(one));
    }
    return all;
}

ordered_json cautions_json(const std::vector<care::Advice>& advice) {
    ordered_json all = ordered_json::array();
    for (const auto& entry : advice) {
        all.push_back({{"text", entry.text}, {"source", entry.source}, {"may_forbid", false}});
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
                      {"harm", band(request.species->harm)},
                      {"rank_by", rank_by_name(request.rank_by)}};
    json["value_usd"] = request.value_usd ? ordered_json(*request.value_usd) : ordered_json(nullptr);
    json["weather"] = ordered_json::array();
    for (const auto& there : plan.weather) json["weather"].push_back(weather_json(there));
    json["options"] = ordered_json::array();
    for (const auto& option : plan.options) json["options"].push_back(option_json(option, workspace));
    json["changes"] = ordered_json::array();
    for (const auto& change : plan.changes) json["changes"].push_back(change_json(change));
    json["days"] = days_json(plan);
    json["closed"] = ordered_json::array();
    for (const auto& none : plan.closed) {
        json["closed"].push_back({{"ship_date", format_date(none.ship_date)},
                                  {"service", none.service->id},
                                  {"reason", none.reason},
                                  {"brief", none.brief}});
    }
    json["left_out"] = plan.left_out;
    json["reasons"] = plan.reasons;
    json["papers"] = rules_json(planning::lane_rules(workspace, request));
    json["cautions"] = cautions_json(plan.cautions);
    return json.dump(2, ' ', false, ordered_json::error_handler_t::replace) + "\n";
}

}  // namespace mildway::reports
