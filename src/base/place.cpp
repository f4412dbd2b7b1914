#include "mildway/base/place.hpp"

#include <charconv>

#include <GeographicLib/Geodesic.hpp>
#include <fmt/format.h>

namespace mildway {

const std::vector<std::string>& climate_names() {
    static const std::vector<std::string> kNames{"elsewhere",     "tropical",         "warm-coast-east",
                                                 "pacific-coast", "western-mountain", "western-plain",
                                                 "alaska"};
    return kNames;
}

namespace {

std::optional<double> parse_degrees(std::string_view text, double limit) {
    while (!text.empty() && text.front() == ' ') text.remove_prefix(1);
    while (!text.empty() && text.back() == ' ') text.remove_suffix(1);
    double value = 0;
    const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value);
    if (error != std::errc{} || end != text.data() + text.size()) return std::nullopt;
    if (!(value >= -limit && value <= limit)) return std::nullopt;
    return value;
}

}  // namespace

double distance_km(const Place& a, const Place& b) {
    double metres = 0;
    GeographicLib::Geodesic::WGS84().Inverse(a.latitude_deg, a.longitude_deg, b.latitude_deg, b.longitude_deg,
                                             metres);
    return metres / 1000.0;
}

std::optional<Place> parse_coordinates(const std::string& text) {
    const std::size_t comma = text.find(',');
    if (comma == std::string::npos) return std::nullopt;
    const auto latitude = parse_degrees(std::string_view(text).substr(0, comma), 90);
    const auto longitude = parse_degrees(std::string_view(text).substr(comma + 1), 180);
    if (!latitude || !longitude) return std::nullopt;
    Place place;
    place.latitude_deg = *latitude;
    place.longitude_deg = *longitude;
    place.name = format_coordinates(place);
    return place;
}

std::string format_coordinates(const Place& place) {
    return fmt::format("{:.4f},{:.4f}", place.latitude_deg, place.longitude_deg);
}

}  // namespace mildway
