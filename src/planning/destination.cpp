#include "mildway/planning/destination.hpp"

#include <algorithm>

#include <fmt/format.h>

namespace mildway::planning {

namespace {

/// A point this near a known place surely keeps its clock.
constexpr double kSameClockKm = 60;

}  // namespace

Destination find_destination(const Workspace& workspace, const std::string& text, const std::string& zone) {
    if (const Place* known = workspace.find_place(text)) {
        if (zone.empty()) return {*known, ""};
        throw UsageError("--zone goes with coordinates; a named place has its zone in workspace.json");
    }
    auto point = parse_coordinates(text);
    if (!point) {
        throw UsageError(unknown_name_message("place", text, workspace.place_names()) +
                         "; or give \"latitude,longitude\"");
    }
    const Place& near = *std::min_element(
        workspace.places.begin(), workspace.places.end(),
        [&](const Place& a, const Place& b) { return distance_km(a, *point) < distance_km(b, *point); });
    const double km = distance_km(near, *point);
    if (km <= kSameClockKm) point->climate = near.climate;
    if (!zone.empty()) {
        (void)find_zone(zone);
        point->zone = zone;
        if (km > kSameClockKm || zone == near.zone) return {*point, ""};
        return {*point, fmt::format("{} is {:.0f} km from {}, whose clock is {} and not {}: is --zone right?",
                                    point->name, km, near.name, near.zone, zone)};
    }
    if (km > kSameClockKm) {
        throw UsageError(fmt::format(
            "--zone is needed for {}: no known place is near enough to tell its clock", point->name));
    }
    point->zone = near.zone;
    return {*point,
            fmt::format("taking the clock of {} ({:.0f} km away) for {}", near.name, km, point->name)};
}

}  // namespace mildway::planning
