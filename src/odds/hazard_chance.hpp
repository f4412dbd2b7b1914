// How likely the condition of a hazard rule is at a place, from its outlook.
#pragma once

#include "mildway/odds/hazards.hpp"

#include "hazard_windows.hpp"

namespace mildway::odds {

struct HazardChance {
    double chance = 0;     ///< from the hours that are forecast
    double amount = 0;     ///< what is forecast: mm in all, m/s or degC at the worst hour; the chance of
                           ///< thunder and fog
    std::string event;     ///< of an alert
    bool unknown = false;  ///< some hour of the window is not forecast
    bool too_far = false;  ///< too early to say that no warning will be out
};

[[nodiscard]] HazardChance chance_of(const HazardRule& rule, const weather::PlaceOutlook& at,
                                     const WindowHours& window);

/// A total of snow or ice comes out within this factor of its forecast two times in three (judgement: such
/// totals are often off by half or double).
inline constexpr double kTotalSpreadFactor = 1.9;

/// Standard deviation of gusts as a share of the forecast (judgement).
inline constexpr double kGustSpread = 0.2;

/// That a warning, and that a watch or an advisory comes true (judgement).
inline constexpr double kWarningHolds = 0.9;
inline constexpr double kWatchHolds = 0.5;

/// Watches and warnings are given at most about so long ahead (judgement).
inline constexpr hours kWarningsReach{72};

/// Warmer than this, and than one standard deviation of the forecast above freezing, no snow or ice lies
/// (judgement): then it does not matter that nobody forecasts any.
inline constexpr double kTooWarmForSnowC = 4;

}  // namespace mildway::odds
