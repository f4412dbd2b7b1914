#include "mildway/planning/lane_rules.hpp"

namespace mildway::planning {

std::vector<care::Rule> lane_rules(const Workspace& workspace, const care::Species& species,
                                   const Place& destination,
                                   const std::vector<const transit::Service*>& services,
                                   const std::vector<std::optional<double>>& shell_mm) {
    care::Shipment shipment{
        workspace.origin.region, {workspace.counter.region}, destination.region, shell_mm};
    for (const transit::Service* service : services) {
        for (const Place& hub : service->hubs) shipment.by_way_of.push_back(hub.region);
    }
    return workspace.rules.rules_for(species, shipment);
}

std::vector<care::Rule> lane_rules(const Workspace& workspace, const PlanRequest& request) {
    return lane_rules(workspace, *request.species, request.destination, request.services, request.shell_mm);
}

}  // namespace mildway::planning
