// What an option costs.
#pragma once

#include "mildway/box/network.hpp"
#include "mildway/box/packing.hpp"
#include "mildway/transit/trip.hpp"

#include <string>
#include <variant>

namespace mildway::planning {

/// USD, and the mass that is billed.
struct Cost {
    double materials_usd = 0;  ///< box, warmers, coolants
    double carriage_usd = 0;   ///< by the price list
    double extras_usd = 0;     ///< options of the service and surcharges of the day; may be negative
    double billed_mass_kg = 0;
    [[nodiscard]] double total_usd() const { return materials_usd + carriage_usd + extras_usd; }
};

/// The cost of a parcel on a route, or why the carrier does not take it.
[[nodiscard]] std::variant<Cost, transit::NotSold> cost_of(const transit::Route& route, Date ship_date,
                                                           const box::Packing& packing,
                                                           const box::Contents& contents,
                                                           const box::Warmers& warmers);

}  // namespace mildway::planning
