// What an animal can bear.
#pragma once

#include "mildway/base/config_reader.hpp"

#include <string>
#include <vector>

namespace mildway::care {

/// A temperature band, degC, low < high.
struct Band {
    double low_c = 0;
    double high_c = 0;
};

/// The groups a species can belong to; advice is limited by them.
[[nodiscard]] const std::vector<std::string>& animal_groups();

/// comfort lies within safe, safe well within harm.
struct Species {
    std::string id;          ///< "corn-snake"
    std::string common;      ///< "corn snake"
    std::string scientific;  ///< "Pantherophis guttatus"
    std::string group;       ///< one of animal_groups()
    Band comfort;            ///< where it does well
    Band safe;               ///< the caution band, whose outside is counted
    Band harm;               ///< limits that must not be crossed
    /// Hours in the box after which water, and food, should be thought of: a caution, never a limit.
    double without_water_h = 0;
    double without_food_h = 0;
    bool venomous = false;     ///< told on the list that goes with a parcel (50 CFR 14.81)
    double mass_g = 0;         ///< of a typical shipped juvenile, used when an order gives none
    std::string bands_source;  ///< "judgement" when nobody published it
    std::string mass_source;
    std::string fasting_source;
    std::string limits_note;  ///< published critical limits, if any, with their source
};

/// All species of a workspace (species.json). Throws InputError: bands not nested, missing source.
class SpeciesTable {
public:
    [[nodiscard]] static SpeciesTable read(const ConfigNode& node);

    [[nodiscard]] const std::vector<Species>& all() const { return all_; }
    /// By id alone; nullptr when there is none.
    [[nodiscard]] const Species* by_id(const std::string& id) const;
    /// The common name; plain words of the id when there is no such species (any more).
    [[nodiscard]] std::string common_name(const std::string& id) const;
    /// By id, common or scientific name, whatever the case. Throws UsageError with the nearest name.
    [[nodiscard]] const Species& find(const std::string& name) const;

private:
    std::vector<Species> all_;
};

}  // namespace mildway::care
