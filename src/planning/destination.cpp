#include "mildway/planning/destination.hpp"

#include <algorithm>

#include <fmt/format.h>
#include <fmt/ranges.h>

namespace mildway::planning {

namespace {

/// A point this near a known place surely keeps its clock.
constexpr double kSameClockKm = 60;
/// More candidates than this are no help to a person.
constexpr std::size_t kMostListed = 10;

std::string described(const Place& place) {
    return fmt::format("{} ({})", place.name, format_coordinates(place));
}

[[noreturn]] void refuse_ambiguous(const std::string& text,
                                   const std::vector<places::Candidate>& candidates) {
    std::string message = fmt::format(
        "'{}' may be any of {} places; say which, by its full name or its "
        "coordinates:",
        text, candidates.size());
    for (std::size_t i = 0; i < std::min(candidates.size(), kMostListed); ++i) {
        message +=
            fmt::format("\n  \"{}\"   {}", format_coordinates(candidates[i].place), candidates[i].place.name);
    }
    if (candidates.size() > kMostListed)
        message += fmt::format("\n  and {} more", candidates.size() - kMostListed);
    throw UsageError(message);
}

/// What the finders say. Throws UsageError when nobody knows the text.
places::Candidate look_up(const Workspace& workspace, const std::string& text, const PlaceHelp& help) {
    std::vector<std::string> asked;
    for (const places::Finder* finder : help.finders) {
        std::vector<places::Candidate> candidates;
        try {
            candidates = finder->find(text);
        } catch (const WeatherError& error) {
            asked.push_back(fmt::format("{} ({})", finder->name(), error.what()));
            continue;
        }
        if (candidates.size() > 1) refuse_ambiguous(text, candidates);
        if (!candidates.empty()) return std::move(candidates.front());
        asked.push_back(finder->name());
    }
    std::string message = unknown_name_message("place", text, workspace.place_names()) +
                          "; or give \"latitude,longitude\", or a full street address";
    if (!asked.empty()) message += fmt::format(". Nothing found by: {}", fmt::join(asked, ", "));
    throw UsageError(message);
}

/// Gives a point without a clock one, and a climate; what was assumed is returned.
std::string place_clock(const Workspace& workspace, Place& point, const std::string& zone,
                        const PlaceHelp& help) {
    const Place& near = *std::min_element(
        workspace.places.begin(), workspace.places.end(),
        [&](const Place& a, const Place& b) { return distance_km(a, point) < distance_km(b, point); });
    const double km = distance_km(near, point);
    if (km <= kSameClockKm) point.climate = near.climate;
    if (!zone.empty()) {
        (void)find_zone(zone);
        point.zone = zone;
        if (km > kSameClockKm || zone == near.zone) return "";
        return fmt::format("{} is {:.0f} km from {}, whose clock is {} and not {}: is --zone right?",
                           point.name, km, near.name, near.zone, zone);
    }
    if (!point.zone.empty()) return "";
    if (km <= kSameClockKm) {
        point.zone = near.zone;
        return fmt::format("taking the clock of {} ({:.0f} km away) for {}", near.name, km, point.name);
    }
    if (help.zone_of) point.zone = help.zone_of(point);
    if (point.zone.empty()) {
        throw UsageError(fmt::format(
            "--zone is needed for {}: no known place is near enough to tell its clock", point.name));
    }
    return fmt::format("taking the clock {} for {}", point.zone, point.name);
}

}  // namespace

Destination find_destination(const Workspace& workspace, const std::string& text, const std::string& zone,
                             const PlaceHelp& help) {
    if (const Place* known = workspace.find_place(text)) {
        if (zone.empty()) return {*known, "", ""};
        throw UsageError("--zone goes with coordinates; a named place has its zone in workspace.json");
    }
    Destination found;
    if (auto point = parse_coordinates(text)) {
        found.place = std::move(*point);
    } else {
        places::Candidate candidate = look_up(workspace, text, help);
        found.place = std::move(candidate.place);
        found.found_by = std::move(candidate.source);
        found.remark =
            fmt::format("taking '{}' to be {}, by {}", text, described(found.place), found.found_by);
    }
    const std::string assumed = place_clock(workspace, found.place, zone, help);
    if (!assumed.empty()) found.remark += (found.remark.empty() ? "" : "; ") + assumed;
    return found;
}

}  // namespace mildway::planning
