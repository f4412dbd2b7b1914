// Weather that makes parcels late: how likely it is on a trip, and what that does to the odds of lateness.
#pragma once

#include "mildway/base/config_reader.hpp"
#include "mildway/transit/trip.hpp"
#include "mildway/weather/sampled_weather.hpp"

#include <array>
#include <optional>
#include <string>
#include <vector>

namespace mildway::odds {

/// What a rule looks at.
enum class HazardKind { thunder, snow, ice, gust, cold, alert, fog };

/// A part of the day by the clocks of the place, such as 21:00 to 05:00.
struct ClockSpan {
    minutes from{0};
    minutes until{0};  ///< past midnight when it is not after `from`
    [[nodiscard]] bool holds(double local_hour) const;
};

/// One kind of weather at one end of the trip, and by how much it multiplies the odds of being late.
struct HazardRule {
    std::string id;
    std::string words;                  ///< "heavy snow"
    std::vector<transit::Role> places;  ///< both hubs, origin (where the carrier takes over), destination
    HazardKind kind = HazardKind::thunder;
    double threshold = 0;             ///< snow, ice: mm in the whole window; gust: m/s; cold: degC, below it
    std::vector<std::string> alerts;  ///< VTEC phenomena, "BZ"
    std::optional<ClockSpan> clock;   ///< only these hours; empty: all
    double latitude_from_deg = 0;     ///< only places at least so far from the equator
    double latitude_below_deg = 90.01;  ///< and nearer than that
    double odds_factor = 1;
    double two_day_share = 0;  ///< of the parcels it makes late, late by two days or more
    std::string group;         ///< of one group only the most consequential counts at a place
    std::string source;
};

/// All rules of a workspace (hazards.json), in the order of the file. Throws InputError.
class HazardRules {
public:
    [[nodiscard]] static HazardRules read(const ConfigNode& node);

    [[nodiscard]] const std::vector<HazardRule>& all() const { return all_; }

private:
    std::vector<HazardRule> all_;
};

/// A hazard that raises the chance of being late by kWorthSaying or more; of an earlier night at a hub, the
/// worst one of that night, when what the night left behind does so.
struct Hazard {
    std::string id;
    std::string words;
    transit::Role role = transit::Role::hub;
    double chance = 0;  ///< that the condition comes true
    double odds_factor = 1;
    int nights_before = 0;  ///< how long ago the night was that still holds parcels up; 0: the trip's own
    std::string text;       ///< for the breeder, without full stop
};

inline constexpr double kWorthSaying = 0.005;

/// Something that is not forecast.
struct UnknownHazard {
    std::string what;   ///< "gusts"
    std::string place;  ///< "St. Louis MO"
    std::string text;   ///< a sentence without full stop
};

struct HazardousOdds {
    transit::LateOdds odds;
    std::vector<Hazard> found;
    std::vector<UnknownHazard> unknown;
    bool winter_unknown = false;  ///< snow or ice is among it: nothing should be called comfortable
    /// Of late parcels, how many wait after which leg: one for each of the service's waits, sum 1. What
    /// weather makes late waits where the weather is.
    std::vector<double> wait_shares;
};

/// The outlook of each role's place; borrowed. nullptr where the trip does not go.
using RoleOutlooks = std::array<const weather::PlaceOutlook*, transit::kRoleCount>;

/// How much of the excess lateness of a bad night at a hub burdens the next night, and the one after (facts
/// of the project, judgement).
inline constexpr std::array kCarriedOver{0.5, 0.25};

/// The odds of being late on a trip, with the weather at the hubs and both ends, and what the last two nights
/// left behind at the hubs. `base` are the service's own for that date, `on_time` the trip as planned. Hours
/// that are not forecast are never taken for harmless: the ordinary odds are used, and `unknown` says so.
/// Hours before an outlook's first are not forecast by anyone: what they left behind is told as unknown, but
/// does not count as unknown winter weather.
[[nodiscard]] HazardousOdds with_hazards(const HazardRules& rules, const transit::Service& service,
                                         transit::LateOdds base, const transit::Trip& on_time,
                                         const RoleOutlooks& outlooks);

/// `base` when the condition comes with this chance: (1 - chance) of the base and chance of what is late
/// under the multiplied odds, at most transit::kMostLate of all parcels.
[[nodiscard]] transit::LateOdds mix_hazard(transit::LateOdds base, double chance, double odds_factor,
                                           double two_day_share);

}  // namespace mildway::odds
