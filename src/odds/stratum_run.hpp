// All boxes through one trip in many scenarios.
#pragma once

#include "mildway/odds/assess.hpp"

#include "block_burning.hpp"
#include "exposure.hpp"
#include "tally.hpp"

#include <span>
#include <vector>

namespace mildway::odds {

/// Boxes whose outsides take up the same share of sunlight have the same surroundings.
struct Alike {
    double solar_absorptance;
    std::vector<std::size_t> boxes;
};

[[nodiscard]] std::vector<Alike> by_absorptance(std::span<const Occupied> boxes);

/// The extremes of the air around a box in each scenario.
struct AirAround {
    AlignedFloats coldest_c;
    AlignedFloats warmest_c;
};

/// Figures of one stratum as they come out of the kernel.
struct StratumOutcomes {
    std::vector<Outcomes> boxes;    ///< [box]
    AlignedFloats in_box_h;         ///< [scenario], the same for every box
    std::vector<AirAround> around;  ///< [group of boxes]
};

/// Runs every box through one stratum. Borrows all it is given.
class StratumRun {
public:
    StratumRun(const Exposure& exposure, const World& world, std::span<const Occupied> boxes,
               std::span<const Alike> groups);

    void run(StratumOutcomes& outcomes);

    /// The same in parts, for the boxes alone: prepared once, then any blocks in order.
    void prepare_boxes(StratumOutcomes& outcomes) const;
    void run_blocks(std::uint32_t first, std::uint32_t last, StratumOutcomes& outcomes);

private:
    /// One block's hours outside by leg, [leg][lane].
    struct LegSums {
        AlignedFloats cold;
        AlignedFloats warm;
    };
    /// `also` is called for each block and group, while the air around it is at hand.
    template <class Also>
    void run_each(std::uint32_t first, std::uint32_t last, StratumOutcomes& outcomes, Also also);
    void run_box(const Occupied& occupied, std::uint32_t block, Outcomes& into);

    const Exposure* exposure_;
    std::span<const Occupied> boxes_;
    std::span<const Alike> groups_;
    BlockBurning burning_;
    BlockArrays arrays_;
    AlignedFloats scratch_;
    LegSums legs_;
};

}  // namespace mildway::odds
