#include "mildway/reports/choice_record.hpp"

#include "option_json.hpp"

#include <algorithm>
#include <set>

#include <nlohmann/json.hpp>

namespace mildway::reports {

namespace {

Instant oldest_issue(const planning::Workspace& workspace, const planning::Option& option,
                     const Place& destination, const std::vector<planning::PlaceWeather>& weather,
                     Instant now) {
    std::set<std::string> places{workspace.origin.name, workspace.counter.name, destination.name};
    for (const Place& hub : option.service->hubs) places.insert(hub.name);
    Instant oldest = now;
    for (const planning::PlaceWeather& there : weather) {
        if (places.contains(there.place)) oldest = std::min(oldest, there.issued);
    }
    return oldest;
}

}  // namespace

orders::Choice choice_of(const planning::Workspace& workspace, const planning::Option& option,
                         const Place& destination, const std::vector<planning::PlaceWeather>& weather,
                         Instant now, const std::string& chosen_by) {
    orders::Choice choice;
    choice.ship_date = option.ship_date;
    choice.service = option.service->id;
    choice.service_label = option.service->label;
    choice.carrier_label = option.service->carrier;
    choice.packing = option.packing->id;
    choice.packing_label = option.packing->label;
    choice.packed = option.trip.packed;
    choice.handed_over = option.trip.handed_over;
    choice.cut_off = option.trip.cut_off;
    choice.promised = option.trip.promised;
    choice.delivery_date = option.trip.delivery_date;
    choice.held = option.service->held;
    choice.verdict = option.verdict;
    choice.side = option.side;
    if (option.assessment.all) {
        choice.hours_outside = option.assessment.all->hours_outside.value;
        choice.chance_outside = option.assessment.all->chance_outside.value;
        choice.chance_harm = option.assessment.all->chance_harm.value;
    }
    choice.cost_usd = option.cost.total_usd();
    choice.chosen = now;
    choice.weather_issued = oldest_issue(workspace, option, destination, weather, now);
    choice.chosen_by = chosen_by;
    choice.document =
        option_json(option, workspace).dump(-1, ' ', false, nlohmann::json::error_handler_t::replace);
    return choice;
}

}  // namespace mildway::reports
