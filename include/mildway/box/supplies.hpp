// What parcels are made of: materials, cups, warmers and coolants.
#pragma once

#include "mildway/base/config_reader.hpp"

#include <algorithm>
#include <optional>
#include <string>
#include <vector>

namespace mildway::box {

/// Conductivity is linear in temperature about the one it was measured at.
struct Material {
    std::string name;
    double conductivity_w_per_m_k = 0;
    double measured_at_c = 24;
    double conductivity_rise_per_k = 0;  ///< relative; 0.004 for foams
    double density_kg_per_m3 = 0;
    double specific_heat_j_per_kg_k = 0;
    std::optional<double> usual_thickness_m;  ///< where a recipe gives none: board by flute
    std::string source;

    [[nodiscard]] double conductivity_at(double temp_c) const {
        return conductivity_w_per_m_k * (1 + conductivity_rise_per_k * (temp_c - measured_at_c));
    }
};

/// One cup holds one animal.
struct Cup {
    std::string name;
    double diameter_m = 0;
    double height_m = 0;
    double mass_kg = 0;  ///< with lid and the paper in it
    double specific_heat_j_per_kg_k = 0;
    std::string source;

    [[nodiscard]] double volume_m3() const;
    [[nodiscard]] double surface_m2() const;
};

/// Air-activated heat pack: output in free air over time since its wrapper was opened. Never a guarantee.
struct WarmerType {
    struct Point {
        double hours_since_opening = 0;
        double power_w = 0;
    };
    std::string name;
    std::string label;
    /// Linear between points, times increasing; 0 before the first and after the last.
    std::vector<Point> power;
    double unit_spread = 0;  ///< standard deviation of one unit's output, relative
    double dud_chance = 0;   ///< chance that a unit gives nothing
    double mass_kg = 0;
    double specific_heat_j_per_kg_k = 0;
    double surface_m2 = 0;
    double thickness_m = 0;
    double cost_usd = 0;
    std::string source;

    [[nodiscard]] double power_at(double hours_since_opening) const;
    [[nodiscard]] double most_power_w() const;
    /// Hours since opening from which on it gives less than half of the most, for good.
    [[nodiscard]] double hours_until_low() const;
};

/// Gel or phase-change pack: melts at one temperature, and freezes again there.
struct CoolantType {
    std::string name;
    std::string label;
    double mass_kg = 0;
    double melts_at_c = 0;
    double latent_j_per_kg = 0;
    double solid_specific_heat_j_per_kg_k = 0;
    double liquid_specific_heat_j_per_kg_k = 0;
    double conductivity_w_per_m_k = 0;
    double surface_m2 = 0;
    double thickness_m = 0;
    double cost_usd = 0;
    std::string source;
};

/// Records with names of their own, in the order of the file.
template <class Item>
class Table {
public:
    [[nodiscard]] const std::vector<Item>& all() const { return all_; }
    [[nodiscard]] const Item& at(std::size_t index) const { return all_.at(index); }
    [[nodiscard]] std::optional<std::size_t> index_of(const std::string& name) const {
        const auto same = [&](const Item& item) { return item.name == name; };
        const auto found = std::find_if(all_.begin(), all_.end(), same);
        if (found == all_.end()) return std::nullopt;
        return static_cast<std::size_t>(found - all_.begin());
    }
    [[nodiscard]] std::vector<std::string> names() const {
        std::vector<std::string> names;
        for (const Item& item : all_) names.push_back(item.name);
        return names;
    }
    void add(Item item) { all_.push_back(std::move(item)); }

private:
    std::vector<Item> all_;
};
using Materials = Table<Material>;
using Cups = Table<Cup>;
using Warmers = Table<WarmerType>;
using Coolants = Table<CoolantType>;

struct Supplies {
    Materials materials;
    Cups cups;
    Warmers warmers;
    Coolants coolants;

    /// materials.json. Throws InputError.
    [[nodiscard]] static Supplies read(const ConfigNode& node);
};

}  // namespace mildway::box
