// A breeder's folder: who they are, where they ship from, and all the config files.
#pragma once

#include "mildway/base/place.hpp"
#include "mildway/base/verdict.hpp"
#include "mildway/box/packing.hpp"
#include "mildway/care/advice.hpp"
#include "mildway/care/rules.hpp"
#include "mildway/care/species.hpp"
#include "mildway/odds/hazards.hpp"
#include "mildway/transit/service.hpp"
#include "mildway/transit/setting.hpp"
#include "mildway/transit/trip.hpp"
#include "mildway/weather/climate_normals.hpp"
#include "mildway/weather/setup.hpp"

#include <filesystem>
#include <string>
#include <vector>

namespace mildway::planning {

/// Limits on the two chances that make a verdict.
struct VerdictLimits {
    double chance_outside;  ///< at most this chance of more than 30 minutes outside the safe band
    double chance_harm;     ///< at most this chance of crossing a harm limit
};

struct VerdictRules {
    VerdictLimits comfortable{0.05, 0.002};
    VerdictLimits tight{0.30, 0.02};
};

using mildway::TemperatureScale;

/// Everything read from a workspace folder. Nothing in it depends on the clock or the network.
struct Workspace {
    std::filesystem::path folder;
    std::string breeder;
    std::vector<std::string> address;  ///< lines of the breeder's, for labels; may be empty
    TemperatureScale scale = TemperatureScale::celsius;
    std::vector<Place> places;
    Place origin;
    Place counter;
    transit::HandOver hand_over;
    weather::WeatherSetup weather;
    std::vector<weather::ClimateStation> climate_stations;
    VerdictRules verdicts;
    transit::Settings settings;
    transit::Holidays holidays;
    transit::Services services;
    odds::HazardRules hazards;
    box::Supplies supplies;
    box::Packings packings;
    std::vector<std::string> learnt_remarks;  ///< a sentence for each record of learnt.json that is not used
    care::SpeciesTable species;
    care::RuleBook rules;
    care::AdviceBook advice;

    /// Reads workspace.json and the files beside it. Throws InputError.
    [[nodiscard]] static Workspace load(const std::filesystem::path& folder);

    /// workspace.json alone: breeder, places, clocks, scale; the rest is empty. For what has to work beside
    /// another file at fault. Throws InputError.
    [[nodiscard]] static Workspace load_own_file(const std::filesystem::path& folder);

    /// A place by name, whatever the case; nullptr when there is none.
    [[nodiscard]] const Place* find_place(const std::string& name) const;
    [[nodiscard]] std::vector<std::string> place_names() const;
};

}  // namespace mildway::planning
