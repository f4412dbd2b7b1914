// What all options of one plan share: the weather in every scenario, and how parcels are handled.
#pragma once

#include "mildway/odds/handling.hpp"
#include "mildway/odds/surroundings.hpp"
#include "mildway/transit/trip.hpp"
#include "mildway/weather/sampled_weather.hpp"

#include <array>
#include <span>

namespace mildway::odds {

/// Borrowed; the owner outlives every assessment.
struct World {
    std::span<const weather::PlaceOutlook> outlooks;  ///< one for each place
    /// Index into outlooks and sampled places, of the roles that the trip's lane has.
    std::array<std::size_t, transit::kRoleCount> place_of_role{};
    const weather::SampledWeather* sampled = nullptr;
    const transit::Settings* settings = nullptr;
    const box::Warmers* warmers = nullptr;
    const Handling* handling = nullptr;
    const Surroundings* surroundings = nullptr;  ///< not needed where no setting has sun or a lag

    [[nodiscard]] const weather::PlaceOutlook& outlook(transit::Role role) const {
        return outlooks[place_of_role[static_cast<std::size_t>(role)]];
    }
};

}  // namespace mildway::odds
