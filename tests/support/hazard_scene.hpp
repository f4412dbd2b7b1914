// A night trip and quiet weather, to which the tests of hazards add their own.
#pragma once

#include "mildway/odds/hazards.hpp"

#include <limits>
#include <string>
#include <tuple>
#include <vector>

namespace mildway::testing {

using odds::HazardousOdds;
using odds::HazardRules;
using odds::with_hazards;

inline constexpr double kUnknown = std::numeric_limits<double>::quiet_NaN();
inline constexpr transit::LateOdds kBase{0.028, 0.007};

inline Instant at(const char* text) {
    return parse_instant(text).value();
}

/// Handed over at 16:30 in El Paso, through St. Louis from 01:15 to 04:00, taken in at 10:35 in Albany.
inline transit::Trip night_trip() {
    using enum transit::Role;
    transit::Trip trip;
    Instant now = at("2027-03-03T22:40:00Z");
    const auto go = [&](const char* name, transit::Role from, transit::Role to, const char* until) {
        transit::Leg leg;
        leg.name = name;
        leg.stretch = {from, to};
        leg.start = now;
        leg.end = at(until);
        trip.legs.push_back(leg);
        now = leg.end;
    };
    go("drive", origin, counter, "2027-03-03T23:30:00Z");
    trip.handed_over = now;
    go("counter", counter, counter, "2027-03-04T04:00:00Z");
    go("flight", counter, hub, "2027-03-04T07:15:00Z");
    go("hub", hub, hub, "2027-03-04T10:00:00Z");
    go("flight on", hub, destination, "2027-03-04T11:30:00Z");
    go("van", destination, destination, "2027-03-04T15:35:00Z");
    return trip;
}

/// The service of that trip. Of late parcels half wait at the hub, a fifth at the counter, and at the
/// destination a tenth after the flight and a fifth after the van's round.
inline transit::Service night_service() {
    using enum transit::Role;
    transit::Service service;
    for (const auto& [name, from, to] :
         {std::tuple("counter", counter, counter), std::tuple("flight", counter, hub),
          std::tuple("hub", hub, hub), std::tuple("flight on", hub, destination),
          std::tuple("van", destination, destination)}) {
        transit::LegPlan leg;
        leg.name = name;
        leg.stretch = {from, to};
        service.legs.push_back(leg);
    }
    service.waits = {{2, 0.5, 0, "at the hub"},
                     {0, 0.2, 0, "at the counter"},
                     {3, 0.1, 0, "at the airport"},
                     {4, 0.2, 0, "in the van"}};
    return service;
}

/// Hours of the quiet forecast.
inline constexpr std::size_t kHours = 120;

/// A quiet forecast of 3 March 12:00Z, 0 degC everywhere, without snow, ice, wind, fog or thunder, and what
/// went before from 1 March 12:00Z on.
inline weather::PlaceOutlook quiet(const Place& place) {
    weather::Outlook outlook;
    outlook.issued = at("2027-03-03T12:00:00Z");
    outlook.first_hour = at("2027-03-01T12:00:00Z");
    outlook.temp_c.emplace_back(kHours, 0.0);
    for (auto layer :
         {&weather::Outlook::gust_m_per_s, &weather::Outlook::snow_mm_per_h, &weather::Outlook::ice_mm_per_h,
          &weather::Outlook::thunder_probability, &weather::Outlook::fog_probability}) {
        (outlook.*layer).assign(kHours, 0.0);
    }
    outlook.alerts_known = true;
    return {place, outlook};
}

struct Scene {
    weather::PlaceOutlook home = quiet({"Las Cruces NM", 32.31, -106.78, "America/Denver"});
    weather::PlaceOutlook counter = quiet({"El Paso TX", 31.76, -106.49, "America/Denver"});
    weather::PlaceOutlook hub = quiet({"St. Louis MO", 38.63, -90.2, "America/Chicago"});
    weather::PlaceOutlook destination = quiet({"Albany NY", 42.65, -73.76, "America/New_York"});
    transit::Service service = night_service();
    transit::Trip trip = night_trip();

    [[nodiscard]] HazardousOdds odds(const HazardRules& rules, transit::LateOdds base = kBase) const {
        return with_hazards(rules, service, base, trip, {&home, &counter, &hub, nullptr, &destination});
    }
};

/// The value of a layer at the hour that begins then.
inline double& at_hour(weather::PlaceOutlook& place, std::vector<double>& layer, const char* hour) {
    return layer.at(static_cast<std::size_t>((at(hour) - place.outlook.first_hour) / hours(1)));
}

inline HazardRules rules(const std::string& list) {
    return HazardRules::read(ConfigNode::parse("hazards.json", R"({"hazards": [)" + list + "]}"));
}

/// One rule: its kind, its threshold and what else it needs.
inline std::string rule(const std::string& id, const std::string& fields, double factor = 10,
                        const std::string& place = "hub") {
    return R"({"id": ")" + id + R"(", "words": "foul weather", "at": ")" + place + R"(", "odds_factor": )" +
           std::to_string(factor) + R"(, "two_day_share": 0.3, "source": "test", )" + fields + "}";
}

inline const std::string kSnow = R"("kind": "snow", "above_mm": 100)";
inline const std::string kThunder = R"("kind": "thunder")";
inline const std::string kFog = R"("kind": "fog")";
inline const std::string kGust = R"("kind": "gust", "above_m_per_s": 18)";
inline const std::string kCold = R"("kind": "cold", "below_c": -18)";
inline const std::string kAlert = R"("kind": "alert", "alerts": ["BZ", "IS"])";

}  // namespace mildway::testing
