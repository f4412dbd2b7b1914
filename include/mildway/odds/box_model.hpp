// One packing with its animals, ready for the kernel.
#pragma once

#include "mildway/box/modes.hpp"
#include "mildway/box/network.hpp"
#include "mildway/box/packing.hpp"
#include "mildway/transit/setting.hpp"

#include <memory>
#include <span>
#include <vector>

namespace mildway::odds {

struct BoxTable;

/// A packing taken apart into modes for every setting, in a few variants that stand for the spread of walls
/// and animals: the quantiles (i + 1/2) / kVariants of both, walls in order, animals shuffled so that the two
/// are uncorrelated. Blocks of scenarios take the variants in turn.
class BoxModel {
public:
    static constexpr std::size_t kVariants = 8;

    BoxModel(const box::Packing& packing, const box::Warmers& warmers, const box::Contents& contents,
             const transit::Settings& settings);
    ~BoxModel();
    BoxModel(BoxModel&& other) noexcept;
    BoxModel& operator=(BoxModel&& other) noexcept;
    BoxModel(const BoxModel&) = delete;
    BoxModel& operator=(const BoxModel&) = delete;

    [[nodiscard]] const box::Packing& packing() const { return *packing_; }
    [[nodiscard]] const box::Contents& contents() const { return contents_; }
    [[nodiscard]] const box::Modes& modes(std::size_t variant, std::size_t setting) const;
    [[nodiscard]] const box::Network& network(std::size_t variant) const { return networks_[variant]; }
    [[nodiscard]] BoxTable table(std::size_t variant) const;

private:
    struct Tables;
    const box::Packing* packing_;
    box::Contents contents_;
    std::size_t settings_;
    std::vector<box::Network> networks_;  ///< [variant]
    std::vector<box::Modes> modes_;       ///< [variant][setting]
    std::unique_ptr<Tables> tables_;
};

/// Which variant a block of scenarios uses.
[[nodiscard]] constexpr std::size_t variant_of_block(std::size_t block) {
    return block % BoxModel::kVariants;
}

}  // namespace mildway::odds
