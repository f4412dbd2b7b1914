// What a parcel is made of, as a breeder would describe it.
#pragma once

#include "mildway/base/config_reader.hpp"
#include "mildway/base/units.hpp"

#include <array>
#include <optional>
#include <string>
#include <vector>

namespace mildway::box {

struct Material {
    std::string name;
    double conductivity_w_per_m_k = 0;
    double density_kg_per_m3 = 0;
    double specific_heat_j_per_kg_k = 0;
    std::string source;
};

/// The "materials" of materials.json. Throws InputError.
class Materials {
public:
    [[nodiscard]] static Materials read(const ConfigNode& node);
    [[nodiscard]] const std::vector<Material>& all() const { return all_; }
    /// nullptr when unknown.
    [[nodiscard]] const Material* find(const std::string& name) const;
    [[nodiscard]] std::vector<std::string> names() const;

private:
    std::vector<Material> all_;
};

/// Air-activated heat pack: output over time since its wrapper was opened. Never a guarantee.
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
    double cost_usd = 0;
    std::string source;

    [[nodiscard]] double power_at(double hours_since_opening) const;
};

/// The "warmers" of materials.json. Throws InputError.
class Warmers {
public:
    [[nodiscard]] static Warmers read(const ConfigNode& node);
    [[nodiscard]] const std::vector<WarmerType>& all() const { return all_; }
    [[nodiscard]] const WarmerType& at(std::size_t index) const { return all_.at(index); }
    [[nodiscard]] std::optional<std::size_t> index_of(const std::string& name) const;
    [[nodiscard]] std::vector<std::string> names() const;

private:
    std::vector<WarmerType> all_;
};

struct Layer {
    Material material;
    double thickness_m = 0;
};

struct Cup {
    double diameter_m = 0;
    double height_m = 0;
    double mass_kg = 0;  ///< with lid and the paper in it
    double specific_heat_j_per_kg_k = 0;
};

/// The most warmers in one parcel.
inline constexpr int kMaxWarmers = 6;

struct WarmerUse {
    std::size_t type = 0;  ///< index into Warmers
    int count = 1;
    double opened_before_packing_h = 0;
};

/// A recipe of a parcel.
struct Packing {
    std::string id;
    std::string label;
    std::array<double, 3> inner_m{};  ///< clear inside of the liner
    Layer liner;
    Layer board;
    Material fill_material;
    double fill_kg = 0;
    Cup cup;  ///< one cup holds one animal
    std::optional<WarmerUse> warmer;
    double air_exchange_l_per_h = 0;  ///< through vents and seams
    double liner_spread = 0;          ///< relative standard deviation of the wall's conductance
    double cost_usd = 0;              ///< without warmers

    [[nodiscard]] std::array<double, 3> outer_m() const;
    [[nodiscard]] double outer_volume_m3() const;
    /// Empty parcel with one cup for each of `animals` and its warmers, kg.
    [[nodiscard]] double empty_mass_kg(int animals, const Warmers& warmers) const;
    [[nodiscard]] double materials_usd(const Warmers& warmers) const;
    /// How many cups can stand upright in rows and layers; a cautious count that ignores fill and warmers.
    [[nodiscard]] int cups_that_fit() const;
};

/// The most heat iron can give, oxidised by the oxygen of fresh air entering at this rate: 0.765 L of air for
/// each watt-hour (4 Fe + 3 O2 -> 2 Fe2O3, -1648.4 kJ; 24.47 L/mol at 25 degC; 20.95 % O2). An upper bound:
/// it leaves no oxygen in the box.
[[nodiscard]] Watts oxygen_limit(double air_exchange_l_per_h);

/// Typical output of all warmers of a parcel together, never above `oxygen_limit`; 0 without warmers.
[[nodiscard]] double warmer_power_w(const Packing& packing, const Warmers& warmers,
                                    double hours_since_opening);

/// packings.json. Throws InputError: unknown material or warmer (with the nearest name), impossible sizes.
class Packings {
public:
    [[nodiscard]] static Packings read(const ConfigNode& node, const Materials& materials,
                                       const Warmers& warmers);
    [[nodiscard]] const std::vector<Packing>& all() const { return all_; }
    /// Throws UsageError with the nearest name.
    [[nodiscard]] const Packing& find(const std::string& id) const;

private:
    std::vector<Packing> all_;
};

}  // namespace mildway::box
