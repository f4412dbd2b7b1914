// One packing with its animals, ready for the kernel.
#pragma once

#include "mildway/box/modes.hpp"
#include "mildway/box/network.hpp"
#include "mildway/box/packing.hpp"
#include "mildway/transit/setting.hpp"

#include <array>
#include <memory>
#include <span>
#include <vector>

namespace mildway::odds {

struct BoxTable;

/// A packing taken apart into modes for every setting, in a few variants that stand for what differs between
/// parcels of one recipe: wall, animals' heat capacity, air exchange, and the air speed around them. Each
/// takes the normal quantiles (i + 1/2) / kVariants, in orders that are uncorrelated with one another. Blocks
/// of scenarios take the variants in turn.
class BoxModel {
public:
    static constexpr std::size_t kVariants = 8;

    /// Which slice of its distribution a quantity has in each variant.
    using Order = std::array<std::size_t, kVariants>;
    static constexpr Order kWallOrder{0, 1, 2, 3, 4, 5, 6, 7};
    static constexpr Order kAnimalHeatOrder{1, 3, 4, 6, 5, 7, 0, 2};
    static constexpr Order kAirOrder{3, 7, 1, 5, 0, 4, 2, 6};
    static constexpr Order kAirSpeedOrder{5, 2, 0, 7, 6, 1, 3, 4};

    /// `outside_c`: how warm it typically is outside; foams conduct more when warm.
    BoxModel(const box::Packing& packing, const box::Warmers& warmers, const box::Contents& contents,
             const transit::Settings& settings, double outside_c);
    ~BoxModel();
    BoxModel(BoxModel&& other) noexcept;
    BoxModel& operator=(BoxModel&& other) noexcept;
    BoxModel(const BoxModel&) = delete;
    BoxModel& operator=(const BoxModel&) = delete;

    [[nodiscard]] const box::Packing& packing() const { return *packing_; }
    [[nodiscard]] const box::Contents& contents() const { return contents_; }
    [[nodiscard]] const box::BoxVariant& variant(std::size_t v, std::size_t setting) const {
        return variants_[v * settings_ + setting];
    }
    /// Settings differ in the liner alone: capacities, and so the nodes' temperatures, carry over.
    [[nodiscard]] const box::Network& network(std::size_t v, std::size_t setting) const {
        return networks_[v * settings_ + setting];
    }
    [[nodiscard]] const box::Modes& modes(std::size_t v, std::size_t setting) const {
        return modes_[v * settings_ + setting];
    }
    [[nodiscard]] WattsPerSquareMeterKelvin outside_film(std::size_t v, std::size_t setting) const {
        return films_[v * settings_ + setting];
    }
    [[nodiscard]] double air_exchange_l_per_h(std::size_t v) const;
    [[nodiscard]] BoxTable table(std::size_t v) const;

private:
    /// `warmers_w`: what they give in free air on the first day.
    void add_variant(std::size_t v, const transit::Setting& setting, const box::Warmers& warmers,
                     double warmers_w, double outside_c);

    struct Tables;
    const box::Packing* packing_;
    box::Contents contents_;
    std::size_t settings_;
    std::vector<box::BoxVariant> variants_;  ///< [variant][setting], as are those that follow
    std::vector<box::Network> networks_;
    std::vector<WattsPerSquareMeterKelvin> films_;
    std::vector<box::Modes> modes_;
    std::unique_ptr<Tables> tables_;
};

/// The i-th of BoxModel::kVariants values that stand for a normal distribution: the quantiles in the middle
/// of equal slices, widened by what slicing takes from their standard deviation (they alone would have 0.92),
/// so that it is 1.
[[nodiscard]] double slice_quantile(std::size_t i);

/// Which variant a block of scenarios uses.
[[nodiscard]] constexpr std::size_t variant_of_block(std::size_t block) {
    return block % BoxModel::kVariants;
}

}  // namespace mildway::odds
