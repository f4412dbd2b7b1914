// What a breeder is told of hazards.
#pragma once

#include "hazard_chance.hpp"

#include <string>

namespace mildway::odds {

/// What a hazard does to the chance of being late.
struct Lateness {
    double before = 0;
    double after = 0;
};

/// "heavy snow at St. Louis MO in the night of Wed 3 Mar: 84 in 100 likely, 19 cm forecast; 23 in 100 parcels
/// late instead of 3.5".
[[nodiscard]] std::string hazard_sentence(const HazardRule& rule, const HazardChance& found,
                                          const std::string& place, const std::string& when, Lateness late);

/// "heavy snow at St. Louis MO in the night of Tue 2 Mar still holds parcels up: 11 in 100 parcels late
/// instead of 3.5".
[[nodiscard]] std::string carried_sentence(const HazardRule& rule, const std::string& place,
                                           const std::string& when, Lateness late);

[[nodiscard]] UnknownHazard not_forecast(HazardKind kind, const std::string& place, const std::string& when);
[[nodiscard]] UnknownHazard warnings_not_out(const std::string& place, const std::string& when);
[[nodiscard]] UnknownHazard last_nights_unknown(const std::string& place);

}  // namespace mildway::odds
