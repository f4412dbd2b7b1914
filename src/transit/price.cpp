#include "mildway/transit/price.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

namespace mildway::transit {

namespace {

/// A microgram: a mass added up to 0.30000000000000004 kg still belongs to the step of 0.3 kg.
constexpr double kRoundOffKg = 1e-9;

bool holds(const Zone::Rectangle& rectangle, const Place& place) {
    return place.latitude_deg >= rectangle.latitude_from_deg &&
           place.latitude_deg <= rectangle.latitude_to_deg &&
           place.longitude_deg >= rectangle.longitude_from_deg &&
           place.longitude_deg <= rectangle.longitude_to_deg;
}

bool holds(const Zone& zone, const Place& place) {
    return std::any_of(zone.within.begin(), zone.within.end(),
                       [&](const Zone::Rectangle& rectangle) { return holds(rectangle, place); });
}

/// The last in the order of the file, since distances rise in it; empty when no zone goes by distance.
std::optional<double> farthest_km(const std::vector<Zone>& zones) {
    for (auto zone = zones.rbegin(); zone != zones.rend(); ++zone) {
        if (zone->up_to_km) return zone->up_to_km;
    }
    return std::nullopt;
}

NotSold beyond_all_zones(const Zones& zones, const Place& counter, const Place& destination) {
    const auto farthest = farthest_km(zones.all());
    if (!farthest) {
        return {fmt::format("not sold to {}: it lies in none of the carrier's zones", destination.name)};
    }
    // whole km, upwards: 400.2 km must not read as if it were within 400 km
    return {fmt::format("not sold to {}: {:.0f} km from the counter, the farthest zone ends at {:g} km",
                        destination.name, std::ceil(distance_km(counter, destination)), *farthest)};
}

NotSold too_heavy(double billed_kg, double most_kg) {
    // upwards to 10 g, so that the figure is above the last step whatever the rounding
    const double shown_kg = std::ceil((billed_kg - kRoundOffKg) * 100) / 100;
    return {
        fmt::format("a parcel billed at {:g} kg is above the {:g} kg of the price list", shown_kg, most_kg)};
}

}  // namespace

std::optional<std::size_t> Zones::find(const Place& counter, const Place& destination) const {
    for (std::size_t i = 0; i < all_.size(); ++i) {
        if (holds(all_[i], destination)) return i;
    }
    if (!farthest_km(all_)) return std::nullopt;
    const double away_km = distance_km(counter, destination);
    for (std::size_t i = 0; i < all_.size(); ++i) {
        if (all_[i].up_to_km && away_km <= *all_[i].up_to_km) return i;
    }
    return std::nullopt;
}

std::variant<std::size_t, NotSold> zone_for(const Price& price, const Zones& zones, const Place& counter,
                                            const Place& destination) {
    if (price.usd_by_zone.empty()) return std::size_t{0};
    const auto zone = zones.find(counter, destination);
    if (!zone) return beyond_all_zones(zones, counter, destination);
    if (price.usd_by_zone.at(*zone).empty()) {
        return NotSold{fmt::format("not sold to {} (zone '{}')", destination.name, zones.all()[*zone].name)};
    }
    return *zone;
}

double billed_mass_kg(const Price& price, double mass_kg, double volume_m3) {
    return std::max(mass_kg, volume_m3 * price.dimensional_kg_per_m3);
}

std::variant<double, NotSold> carriage_usd(const Price& price, std::size_t zone, double mass_kg,
                                           double volume_m3) {
    const double billed_kg = billed_mass_kg(price, mass_kg, volume_m3);
    if (price.usd_by_zone.empty()) return price.base_usd + price.per_kg_usd * billed_kg;

    const std::vector<double>& row_usd = price.usd_by_zone.at(zone);
    const auto& steps = price.mass_up_to_kg;
    const auto step = std::lower_bound(steps.begin(), steps.end(), billed_kg - kRoundOffKg);
    if (step != steps.end()) return row_usd.at(static_cast<std::size_t>(step - steps.begin()));
    if (!price.per_kg_above_usd) return too_heavy(billed_kg, steps.back());
    const double begun_kg = std::ceil(billed_kg - steps.back() - kRoundOffKg);
    return row_usd.back() + *price.per_kg_above_usd * begun_kg;
}

}  // namespace mildway::transit
