// What an order means in a workspace.
#pragma once

#include "mildway/orders/order.hpp"
#include "mildway/planning/lane_options.hpp"

#include <optional>
#include <string>
#include <vector>

namespace mildway::weekly {

/// The parcel of an order: its species, as many animals as it has with their mean mass, and every packing of
/// the workspace. Throws InputError naming the order when species.json does not know its species any more.
[[nodiscard]] planning::Parcel parcel_of(const orders::Order& order, const planning::Workspace& workspace);

/// The services an order allows. Throws InputError naming the order when services.json knows none of a name.
[[nodiscard]] std::vector<const transit::Service*> services_of(const orders::Order& order,
                                                               const planning::Workspace& workspace);

/// What the order names and the workspace's files know nothing of, so that parcel_of() or services_of() would
/// throw: "species.json has no 'x' any more"; empty when there is nothing.
[[nodiscard]] std::string what_is_gone(const orders::Order& order, const planning::Workspace& workspace);

/// The carapace of each animal, mm, where it was measured: for the rules of law.
[[nodiscard]] std::vector<std::optional<double>> shells_of(const orders::Order& order);

using orders::why_not_arriving;

/// Orders of the same key go to the same place, by the same clock.
[[nodiscard]] std::string place_key(const orders::Order& order);

}  // namespace mildway::weekly
