#include "lanes.hpp"

#include "mildway/base/errors.hpp"
#include "mildway/weekly/order_parcel.hpp"

#include <algorithm>
#include <map>
#include <set>

namespace mildway::weekly {

std::vector<Group> groups_by_place(std::span<const orders::Order* const> orders) {
    std::map<std::string, Group> by_place;
    for (std::size_t i = 0; i < orders.size(); ++i) by_place[place_key(*orders[i])].push_back(i);
    std::vector<Group> groups;
    for (auto& [key, group] : by_place) groups.push_back(std::move(group));
    return groups;
}

void read_together(const planning::Workspace& workspace, const weather::ForecastSource& source,
                   std::span<const orders::Order* const> orders, const std::vector<Group>& groups) {
    std::vector<Place> places{workspace.origin, workspace.counter};
    for (const transit::Service& service : workspace.services.all())
        places.insert(places.end(), service.hubs.begin(), service.hubs.end());
    for (const Group& group : groups) places.push_back(orders[group.front()]->place);
    (void)source.read(places);
}

std::vector<planning::PlaceWeather> each_place_once(std::vector<std::vector<planning::PlaceWeather>> seen) {
    std::set<std::string> told;
    std::vector<planning::PlaceWeather> once;
    for (auto& places : seen) {
        for (planning::PlaceWeather& there : places) {
            if (told.insert(there.place).second) once.push_back(std::move(there));
        }
    }
    return once;
}

void add_services(std::vector<const transit::Service*>& services,
                  const std::vector<const transit::Service*>& more) {
    for (const transit::Service* service : more) {
        if (std::find(services.begin(), services.end(), service) == services.end())
            services.push_back(service);
    }
}

LaneOrNone open_lane(const planning::Workspace& workspace, const weather::ForecastSource& source,
                     const planning::LaneRequest& request) {
    try {
        return {std::make_unique<const planning::LaneOptions>(workspace, source, request), ""};
    } catch (const WeatherError& error) {
        return {nullptr, error.what()};
    }
}

}  // namespace mildway::weekly
