// Where a parcel goes, from what a person typed.
#pragma once

#include "mildway/planning/workspace.hpp"

#include <string>

namespace mildway::planning {

struct Destination {
    Place place;
    std::string remark;  ///< what was assumed, worth a person's notice; empty when nothing was
};

/// A place of the workspace by name, or "latitude,longitude". Coordinates take the clock and climate of a
/// known place within 60 km, and say so; farther from any, `zone` (an IANA name) is needed. Throws
/// UsageError.
[[nodiscard]] Destination find_destination(const Workspace& workspace, const std::string& text,
                                           const std::string& zone);

}  // namespace mildway::planning
