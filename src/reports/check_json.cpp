#include "mildway/reports/check_report.hpp"

#include "json_parts.hpp"
#include "option_json.hpp"

#include <nlohmann/json.hpp>

namespace mildway::reports {

using nlohmann::ordered_json;

namespace {

ordered_json order_json(const weekly::Planned& planned, const weekly::Checked& checked,
                        const planning::Workspace& workspace) {
    const orders::Reassessment& found = checked.found;
    const orders::Choice& choice = *planned.order.choice;
    ordered_json one{{"number", planned.order.number},
                     {"ship_date", format_date(choice.ship_date)},
                     {"service", choice.service},
                     {"packing", choice.packing},
                     {"choice_version", choice.version},
                     {"flagged", found.flagged},
                     {"verdict", verdict_name(found.verdict)},
                     {"standing", verdict_name(found.standing)},
                     {"side", side_name(found.side)},
                     {"verdict_when_chosen", verdict_name(choice.verdict)},
                     {"outside_h", or_null(found.hours_outside)},
                     {"outside_error_h", or_null(found.hours_error)},
                     {"outside_when_chosen_h", or_null(choice.hours_outside)},
                     {"chance_outside_30_minutes", or_null(found.chance_outside)},
                     {"chance_harm", or_null(found.chance_harm)},
                     {"worst_leg", found.worst_leg},
                     {"changed", found.sentence},
                     {"trouble", text_or_null(found.trouble)},
                     {"no_weather", text_or_null(checked.no_weather)}};
    one["better"] = nullptr;
    if (found.better_day) {
        one["better"] = {{"ship_date", format_date(*found.better_day)},
                         {"saves_h", found.better_by_hours},
                         {"service", text_or_null(found.better_service)},
                         {"packing", text_or_null(found.better_packing)}};
        if (checked.better) one["better"]["verdict"] = verdict_name(checked.better->verdict);
    }
    one["option"] = checked.option ? option_json(*checked.option, workspace) : ordered_json(nullptr);
    return one;
}

}  // namespace

std::string check_json(const planning::Workspace& workspace, const CheckTold& told) {
    ordered_json json{{"document", "mildway check"},
                      {"version", kCheckVersion},
                      {"now", format_instant(told.now)},
                      {"flagged", told.result->flagged},
                      {"not_searched", told.result->not_searched}};
    json["orders"] = ordered_json::array();
    for (std::size_t i = 0; i < told.planned.size(); ++i)
        json["orders"].push_back(order_json(told.planned[i], told.result->orders[i], workspace));
    json["not_kept"] = told.not_kept;
    json["weather"] = ordered_json::array();
    for (const auto& there : told.result->weather) json["weather"].push_back(weather_in_brief(there));
    return json.dump(2, ' ', false, ordered_json::error_handler_t::replace) + "\n";
}

}  // namespace mildway::reports
