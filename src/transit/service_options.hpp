// What can be bought along with a service: delivery on further days, holding at a counter.
#pragma once

#include "leg_reader.hpp"

namespace mildway::transit {

/// The service bare, and once for each combination of what `node` lists under `options`, which may be
/// missing; combinations that an option excludes (`not_with`) are left out. Throws InputError.
[[nodiscard]] std::vector<Service> with_options(const ConfigNode& node, const Service& bare,
                                                const LegContext& context);

}  // namespace mildway::transit
