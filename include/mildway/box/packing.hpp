// A parcel as a breeder would describe it.
#pragma once

#include "mildway/base/config_reader.hpp"
#include "mildway/box/air_exchange.hpp"
#include "mildway/box/supplies.hpp"

#include <array>
#include <optional>
#include <string>
#include <vector>

namespace mildway::box {

struct Layer {
    Material material;
    double thickness_m = 0;
};

/// The most warmers in one parcel, all kinds together.
inline constexpr int kMaxWarmers = 6;

struct WarmerUse {
    std::size_t type = 0;  ///< index into Warmers
    int count = 1;
    double opened_before_packing_h = 0;
};

struct CoolantUse {
    CoolantType type;
    int count = 1;
    double conditioned_to_c = 0;  ///< temperature at packing: below melting it is solid, above it liquid
};

/// What a temperature logger in such a parcel has told (learning/learnt.hpp); in place of what is reckoned.
struct LearntFigures {
    std::optional<double> wall_factor;           ///< times the liner's conductance
    std::optional<double> air_exchange_l_per_h;  ///< through vents and seams together
    std::optional<double> warmer_factor;         ///< times the warmers' output
};

/// A recipe of a parcel.
struct Packing {
    std::string id;
    std::string label;
    std::string box;  ///< the foam box it goes in, as counted in stock; several packings may share one
    std::array<double, 3> inner_m{};  ///< clear inside of the liner: length, width, height
    Layer liner;
    bool reflective_liner = false;  ///< foil faces the inside
    Layer board;
    double solar_absorptance = 0.65;  ///< of the outside
    Material fill_material;
    double fill_kg = 0;
    Cup cup;
    std::vector<WarmerUse> warmers;
    std::optional<CoolantUse> coolant;
    Vents vents;
    double seams_l_per_h = 0;  ///< air exchange of a box without vents
    double liner_spread = 0;   ///< relative standard deviation of the wall's conductance
    double air_spread = 1;     ///< two thirds of parcels within this factor of the air exchange
    double cost_usd = 0;       ///< without warmers and coolants
    LearntFigures learnt;

    [[nodiscard]] std::array<double, 3> outer_m() const;
    [[nodiscard]] std::array<double, 3> around_liner_m() const;
    [[nodiscard]] double inner_volume_m3() const;
    [[nodiscard]] double outer_volume_m3() const;
    [[nodiscard]] double liner_kg() const;
    [[nodiscard]] double board_kg() const;
    [[nodiscard]] double wall_m() const { return liner.thickness_m + board.thickness_m; }
    /// Through vents and seams, as learnt or else as reckoned at kVentDifference.
    [[nodiscard]] double air_exchange_l_per_h() const;
    [[nodiscard]] int warmer_count() const;
    /// Empty parcel with one cup for each of `animals`, its warmers and coolants, kg.
    [[nodiscard]] double empty_mass_kg(int animals, const Warmers& types) const;
    [[nodiscard]] double materials_usd(const Warmers& types) const;
    /// How many cups can stand upright in rows and layers; a cautious count that ignores fill and warmers.
    [[nodiscard]] int cups_that_fit() const;
    /// Cups that stand upright on one floor.
    [[nodiscard]] int cups_in_a_layer() const;
    /// The widest gap, m, between so many cups pushed together and lid or wall: where a warmer can go.
    [[nodiscard]] double clearance_m(int cups) const;
};

/// packings.json. Throws InputError: unknown material, cup, warmer or coolant (with the nearest name),
/// impossible sizes.
class Packings {
public:
    [[nodiscard]] static Packings read(const ConfigNode& node, const Supplies& supplies);
    [[nodiscard]] const std::vector<Packing>& all() const { return all_; }
    [[nodiscard]] std::vector<Packing>& all() { return all_; }
    /// nullptr when there is none.
    [[nodiscard]] const Packing* by_id(const std::string& id) const;
    /// Throws UsageError with the nearest name.
    [[nodiscard]] const Packing& find(const std::string& id) const;

private:
    std::vector<Packing> all_;
};

}  // namespace mildway::box
