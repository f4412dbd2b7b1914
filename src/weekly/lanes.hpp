// Orders by where they go: what is the same for all parcels of a lane is done once.
#pragma once

#include "mildway/orders/order.hpp"
#include "mildway/planning/lane_options.hpp"

#include <memory>
#include <span>
#include <string>
#include <vector>

namespace mildway::weekly {

/// Indices of orders that go to one place.
using Group = std::vector<std::size_t>;

/// In an order that depends on the places alone.
[[nodiscard]] std::vector<Group> groups_by_place(std::span<const orders::Order* const> orders);

/// Reads the weather of all places of the groups' lanes at once, so that a network is asked side by side; for
/// a source that remembers.
void read_together(const planning::Workspace& workspace, const weather::ForecastSource& source,
                   std::span<const orders::Order* const> orders, const std::vector<Group>& groups);

/// What each group saw, as one list with each place once.
[[nodiscard]] std::vector<planning::PlaceWeather> each_place_once(
    std::vector<std::vector<planning::PlaceWeather>> seen);

/// Adds those that are not in it yet.
void add_services(std::vector<const transit::Service*>& services,
                  const std::vector<const transit::Service*>& more);

/// A lane, or why there is no weather for it.
struct LaneOrNone {
    std::unique_ptr<const planning::LaneOptions> lane;
    std::string why_not;
};
[[nodiscard]] LaneOrNone open_lane(const planning::Workspace& workspace,
                                   const weather::ForecastSource& source,
                                   const planning::LaneRequest& request);

}  // namespace mildway::weekly
