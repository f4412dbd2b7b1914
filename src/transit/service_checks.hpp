// What can only be told of a whole service.
#pragma once

#include "mildway/transit/service.hpp"

namespace mildway::transit {

/// The spans under `collection`: weekday, or "Mon-Fri", -> [opens, closes]. Throws InputError.
[[nodiscard]] CollectionHours read_collection(const ConfigNode& node);

/// Complains about `node`: too few legs, nowhere to wait when late, a promise that the legs do not keep or
/// that the counter closes before, no day of delivery, a hub that no leg passes.
void check_service(const ConfigNode& node, const Service& service);

}  // namespace mildway::transit
