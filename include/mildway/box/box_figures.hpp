// What a recipe comes to in numbers, for a person who wants to know.
#pragma once

#include "mildway/box/network.hpp"

#include <optional>
#include <string>
#include <vector>

namespace mildway::box {

/// A way by which heat leaves.
struct HeatPath {
    std::string name;  ///< walls, edges, corners, seams, vents
    WattsPerKelvin conductance;
};

struct HeatStore {
    std::string name;
    JoulesPerKelvin capacity;
};

/// All warmers at their strongest, and as long as they keep that up.
struct WarmerFigures {
    double free_air_w = 0;    ///< by their tables
    double oxygen_share = 1;  ///< of fresh air's oxygen that is left inside
    double power_w = 0;       ///< what that oxygen allows
    double air_needed_l_per_h = 0;
    double animals_lift_k = 0;      ///< above the air around the box, when nothing changes any more
    double half_power_until_h = 0;  ///< since packing, in free air: until when at least half of it is given
};

struct CoolantFigures {
    double latent_j = 0;
    double to_cavity_w_per_k = 0;
    double melts_at_c = 0;
    double plateau_h_per_10_k = 0;  ///< how long it melts when the air around the box is 10 K warmer than it
};

struct BoxFigures {
    std::vector<HeatPath> paths;  ///< add up to `whole`
    WattsPerKelvin whole;         ///< from the cavity to the air around
    std::vector<HeatStore> stores;
    std::vector<double> time_constants_h;  ///< slowest first
    double air_exchange_l_per_h = 0;
    double animal_biot = 0;
    std::optional<WarmerFigures> warmers;
    std::optional<CoolantFigures> coolant;
};

/// Under this outside film, with the liner at `liner_c` on average.
[[nodiscard]] BoxFigures figures_of(const Packing& packing, const Warmers& types, const Contents& contents,
                                    WattsPerSquareMeterKelvin film, double liner_c = 24);

}  // namespace mildway::box
