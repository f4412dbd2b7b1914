#include "tally.hpp"

#include "mildway/odds/handling.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>

namespace mildway::odds {

namespace {

constexpr std::size_t kCells = 1024;

/// Sums over the scenarios of one stratum.
struct Sums {
    double cold = 0;
    double warm = 0;
    double degree_cold = 0;
    double degree_warm = 0;
};

Sums sum_up(const Outcomes& outcomes) {
    Sums sums;
    for (std::uint32_t s = 0; s < outcomes.scenarios; ++s) {
        sums.cold += static_cast<double>(outcomes.hours_cold[s]);
        sums.warm += static_cast<double>(outcomes.hours_warm[s]);
        sums.degree_cold += static_cast<double>(outcomes.degree_hours_cold[s]);
        sums.degree_warm += static_cast<double>(outcomes.degree_hours_warm[s]);
    }
    return sums;
}

/// How much more a chance seen in `n` scenarios may be off than its own scatter says, as a variance: Agresti
/// and Coull (1998, two more hits and two more misses), so that "never seen" is not taken for "certain".
double unseen_variance(double seen, std::size_t n) {
    const double count = static_cast<double>(n);
    const double cautious = (seen * count + 2) / (count + 4);
    return std::max(0.0, cautious * (1 - cautious) / (count + 4) - seen * (1 - seen) / count);
}

/// A quantity in every scenario of every stratum, and the strata's shares of the estimate.
struct Quantity {
    std::vector<double> shares;
    std::vector<std::vector<float>> values;  ///< [stratum][scenario]
};

double mean_of(const std::vector<float>& values) {
    double sum = 0;
    for (const float value : values) sum += static_cast<double>(value);
    return sum / static_cast<double>(values.size());
}

/// The sum of share * mean, and its error. Strata use the same scenarios as far as they reach (one luck, on
/// time or late), so their means are correlated: what each scenario adds to the estimate is summed up before
/// it is squared.
Estimate estimate_of(const Quantity& quantity) {
    Estimate estimate;
    std::vector<double> influence;
    for (std::size_t k = 0; k < quantity.values.size(); ++k) {
        const auto& values = quantity.values[k];
        const double mean = mean_of(values);
        const double weight = quantity.shares[k] / static_cast<double>(values.size());
        estimate.value += quantity.shares[k] * mean;
        influence.resize(std::max(influence.size(), values.size()), 0.0);
        for (std::size_t s = 0; s < values.size(); ++s)
            influence[s] += weight * (static_cast<double>(values[s]) - mean);
    }
    double variance = 0;
    for (const double part : influence) variance += part * part;
    estimate.error = std::sqrt(variance);
    return estimate;
}

/// The same for a chance, given 0 or 1 in every scenario.
Estimate chance_of(const Quantity& happened) {
    Estimate estimate = estimate_of(happened);
    double variance = estimate.error * estimate.error;
    for (std::size_t k = 0; k < happened.values.size(); ++k) {
        const double share = happened.shares[k];
        variance += share * share * unseen_variance(mean_of(happened.values[k]), happened.values[k].size());
    }
    estimate.error = std::sqrt(variance);
    return estimate;
}

}  // namespace

void Outcomes::reset(std::uint32_t count, std::size_t legs) {
    scenarios = count;
    for (AlignedFloats* series :
         {&hours_cold, &hours_warm, &degree_hours_cold, &degree_hours_warm, &coldest_c, &warmest_c}) {
        series->resize(count);
    }
    leg_hours_cold.assign(legs * kBlock, 0.0);
    leg_hours_warm.assign(legs * kBlock, 0.0);
}

template <std::size_t kCount>
std::array<double, kCount> quantiles(std::span<const std::span<const float>> samples,
                                     std::span<const double> weights,
                                     const std::array<double, kCount>& shares) {
    float low = samples.front().front();
    float high = low;
    double total = 0;
    for (std::size_t i = 0; i < samples.size(); ++i) {
        for (const float value : samples[i]) {
            low = std::min(low, value);
            high = std::max(high, value);
        }
        total += weights[i] * static_cast<double>(samples[i].size());
    }
    std::array<double, kCount> results{};
    results.fill(static_cast<double>(low));
    if (!(high > low)) return results;

    std::array<double, kCells> cells{};
    const float scale = static_cast<float>(kCells) / (high - low);
    for (std::size_t i = 0; i < samples.size(); ++i) {
        for (const float value : samples[i]) {
            const auto cell = static_cast<std::size_t>((value - low) * scale);
            cells[std::min(cell, kCells - 1)] += weights[i];
        }
    }
    const double cell_width = static_cast<double>(high - low) / static_cast<double>(kCells);
    double below = 0;
    std::size_t cell = 0;
    for (std::size_t q = 0; q < kCount; ++q) {
        const double wanted = shares[q] * total;
        while (cell + 1 < kCells && below + cells[cell] < wanted) below += cells[cell++];
        const double part = cells[cell] > 0 ? std::clamp((wanted - below) / cells[cell], 0.0, 1.0) : 0.0;
        results[q] = static_cast<double>(low) + cell_width * (static_cast<double>(cell) + part);
    }
    return results;
}

template std::array<double, 1> quantiles(std::span<const std::span<const float>>, std::span<const double>,
                                         const std::array<double, 1>&);
template std::array<double, 3> quantiles(std::span<const std::span<const float>>, std::span<const double>,
                                         const std::array<double, 3>&);

Spread spread_of(std::span<const std::span<const float>> samples, std::span<const double> weights) {
    const auto q = quantiles<3>(samples, weights, {0.05, 0.50, 0.95});
    return {q[0], q[1], q[2]};
}

Figures tally(std::span<const Outcomes* const> strata, std::span<const double> weights,
              const care::Species& species) {
    const double total_weight = std::accumulate(weights.begin(), weights.end(), 0.0);
    const auto harm_low = static_cast<float>(species.harm.low_c);
    const auto harm_high = static_cast<float>(species.harm.high_c);

    Figures figures;
    Quantity hours, outside, harm, harm_cold;
    std::vector<double> each_weighs;  // one scenario of each stratum
    std::vector<std::span<const float>> coldest, warmest;
    for (std::size_t k = 0; k < strata.size(); ++k) {
        const Outcomes* stratum = strata[k];
        const double share = weights[k] / total_weight;
        const Sums sums = sum_up(*stratum);
        const double each = share / stratum->scenarios;
        figures.hours_cold += each * sums.cold;
        figures.hours_warm += each * sums.warm;
        figures.degree_hours_cold += each * sums.degree_cold;
        figures.degree_hours_warm += each * sums.degree_warm;
        each_weighs.push_back(each);
        coldest.emplace_back(stratum->coldest_c);
        warmest.emplace_back(stratum->warmest_c);
        const auto add = [&](Quantity& quantity, auto value_in) {
            quantity.shares.push_back(share);
            auto& values = quantity.values.emplace_back(stratum->scenarios);
            for (std::uint32_t s = 0; s < stratum->scenarios; ++s) values[s] = value_in(s);
        };
        const Outcomes& o = *stratum;
        add(hours, [&](std::uint32_t s) { return o.hours_cold[s] + o.hours_warm[s]; });
        add(outside, [&](std::uint32_t s) {
            return o.hours_cold[s] + o.hours_warm[s] > kNoticeableHours ? 1.0f : 0.0f;
        });
        add(harm, [&](std::uint32_t s) {
            return o.coldest_c[s] < harm_low || o.warmest_c[s] > harm_high ? 1.0f : 0.0f;
        });
        add(harm_cold, [&](std::uint32_t s) { return o.coldest_c[s] < harm_low ? 1.0f : 0.0f; });
    }
    figures.hours_outside = estimate_of(hours);
    figures.chance_outside = chance_of(outside);
    figures.chance_harm = chance_of(harm);
    figures.chance_harm_cold = estimate_of(harm_cold).value;

    figures.coldest_c = spread_of(coldest, each_weighs);
    figures.warmest_c = spread_of(warmest, each_weighs);
    const std::vector<std::span<const float>> all_hours(hours.values.begin(), hours.values.end());
    figures.hours_p90 = quantiles<1>(all_hours, each_weighs, {0.90})[0];
    return figures;
}

}  // namespace mildway::odds
