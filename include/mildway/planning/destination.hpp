// Where a parcel goes, from what a person typed.
#pragma once

#include "mildway/places/finder.hpp"
#include "mildway/planning/workspace.hpp"

#include <functional>
#include <span>
#include <string>
#include <vector>

namespace mildway::planning {

struct Destination {
    Place place;
    std::string remark;    ///< what was assumed, worth a person's notice; empty when nothing was
    std::string found_by;  ///< who says where it is; empty for a place of the workspace or coordinates
};

/// What there is to ask about a text that the workspace does not know.
struct PlaceHelp {
    std::vector<const places::Finder*> finders;  ///< asked one after the other until one knows it
    /// Whose clock a point follows; empty text when that cannot be told. May be empty.
    std::function<std::string(const Place&)> zone_of;
};

/// A place of the workspace by name; or "latitude,longitude"; or what a finder makes of it, remarked with its
/// full name. A point takes the clock and climate of a known place within 60 km, and says so; farther from
/// any, that of `help.zone_of`, else `zone` (an IANA name) is needed. Throws UsageError: nothing found;
/// several places may be meant (they are listed); no clock.
[[nodiscard]] Destination find_destination(const Workspace& workspace, const std::string& text,
                                           const std::string& zone, const PlaceHelp& help = {});

}  // namespace mildway::planning
