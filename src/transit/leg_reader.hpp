// Legs of services.json: templates, and the legs of one service.
#pragma once

#include "mildway/transit/service.hpp"

#include <map>
#include <string>
#include <vector>

namespace mildway::transit {

using LegTemplates = std::map<std::string, LegPlan>;

/// The object under `leg_templates`, which may be missing: name -> a whole leg.
[[nodiscard]] LegTemplates read_leg_templates(const ConfigNode& node, const Settings& settings);

/// What the legs of one service are read against.
struct LegContext {
    const Settings& settings;
    const LegTemplates& templates;
    std::size_t hubs = 0;  ///< how many the service passes
};

/// The legs under `key`, each whole or {"leg": template} with what differs. Throws InputError.
[[nodiscard]] std::vector<LegPlan> read_legs(const ConfigNode& node, std::string_view key,
                                             const LegContext& context);

/// Complains about `node`'s `key` when the legs do not join from the counter to the destination, a name comes
/// twice, a leg can be told to have no length, or the parcel is picked up before the cut-off.
void check_legs(const ConfigNode& node, std::string_view key, const Service& service);

/// A role by its name, "second-hub"; complains about `key`.
[[nodiscard]] Role read_role(const ConfigNode& node, std::string_view key);

}  // namespace mildway::transit
