// Where things are.
#pragma once

#include <optional>
#include <string>
#include <vector>

namespace mildway {

/// Kind of climate of a place; scales the forecast error (docs/model.md). `elsewhere` scales by 1.
enum class Climate {
    elsewhere,
    tropical,
    warm_coast_east,
    pacific_coast,
    western_mountain,
    western_plain,
    alaska
};

/// As in config files, in the order of Climate.
[[nodiscard]] const std::vector<std::string>& climate_names();

/// A point on land with the time zone its clocks follow.
struct Place {
    std::string name;          ///< as shown to a person, e.g. "Duluth MN"
    double latitude_deg = 0;   ///< -90 to 90, north positive
    double longitude_deg = 0;  ///< -180 to 180, east positive
    std::string zone;          ///< IANA name, e.g. "America/Chicago"
    Climate climate = Climate::elsewhere;
    std::optional<double> elevation_m = std::nullopt;  ///< above the sea
    std::string region = {};  ///< ISO 3166-2, "US-MN", or a country alone, "CA"; empty: not known
};

/// Geodesic distance on WGS 84, in km (GeographicLib).
[[nodiscard]] double distance_km(const Place& a, const Place& b);

/// "46.7867,-92.1005" as a place named by its coordinates; empty when the text is not a coordinate pair.
/// The zone is left empty: a coordinate alone does not tell it.
[[nodiscard]] std::optional<Place> parse_coordinates(const std::string& text);

/// 46.7867,-92.1005: four decimals (11 m), the resolution used for every request and key.
[[nodiscard]] std::string format_coordinates(const Place& place);

}  // namespace mildway
