// Turning scenarios into figures.
#pragma once

#include "mildway/care/species.hpp"
#include "mildway/odds/assessment.hpp"

#include "aligned.hpp"

#include <array>
#include <span>
#include <vector>

namespace mildway::odds {

/// "More than 30 minutes outside".
inline constexpr float kNoticeableHours = 0.5f;

/// What happened to one box in each scenario of one stratum.
struct Outcomes {
    std::uint32_t scenarios = 0;
    AlignedFloats hours_cold;
    AlignedFloats hours_warm;
    AlignedFloats degree_hours_cold;
    AlignedFloats degree_hours_warm;
    AlignedFloats coldest_c;
    AlignedFloats warmest_c;
    std::vector<double> leg_hours_cold;  ///< [leg][lane of a block], summed over blocks
    std::vector<double> leg_hours_warm;

    void reset(std::uint32_t count, std::size_t legs);
};

/// Figures over strata and their weights, which need not add up to 1.
[[nodiscard]] Figures tally(std::span<const Outcomes* const> strata, std::span<const double> weights,
                            const care::Species& species);

/// Quantiles of weighted samples, by a histogram of 1,024 cells between the extremes, linear inside a cell.
/// `samples[i]` all weigh weights[i].
template <std::size_t kCount>
[[nodiscard]] std::array<double, kCount> quantiles(std::span<const std::span<const float>> samples,
                                                   std::span<const double> weights,
                                                   const std::array<double, kCount>& shares);

/// 5, 50 and 95 % of such samples.
[[nodiscard]] Spread spread_of(std::span<const std::span<const float>> samples,
                               std::span<const double> weights);

}  // namespace mildway::odds
