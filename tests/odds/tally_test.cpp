#include "tally.hpp"

#include "catch.hpp"
#include "small_world.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <vector>

using namespace mildway;
using namespace mildway::odds;

namespace {

const care::Species kAnimal = testing::species_with({12, 30}, {8, 34});

struct Weighted {
    double weight;
    Outcomes outcomes;
};

Weighted outcomes(double weight, const std::vector<float>& hours_cold, float coldest_c = 15) {
    Outcomes all;
    all.reset(static_cast<std::uint32_t>(hours_cold.size()), 1);
    std::copy(hours_cold.begin(), hours_cold.end(), all.hours_cold.begin());
    std::fill(all.hours_warm.begin(), all.hours_warm.end(), 0.0f);
    std::fill(all.degree_hours_cold.begin(), all.degree_hours_cold.end(), 2.0f);
    std::fill(all.degree_hours_warm.begin(), all.degree_hours_warm.end(), 0.0f);
    std::fill(all.coldest_c.begin(), all.coldest_c.end(), coldest_c);
    std::fill(all.warmest_c.begin(), all.warmest_c.end(), 25.0f);
    return {weight, std::move(all)};
}

Figures tally_all(const std::vector<Weighted>& strata) {
    std::vector<const Outcomes*> pointers;
    std::vector<double> weights;
    for (const auto& stratum : strata) {
        pointers.push_back(&stratum.outcomes);
        weights.push_back(stratum.weight);
    }
    return tally(pointers, weights, kAnimal);
}

}  // namespace

TEST_CASE("a stratum counts by its chance and not by its number of scenarios") {
    const Figures figures = tally_all(
        {outcomes(0.9, std::vector<float>(100, 0.0f)), outcomes(0.1, std::vector<float>(10, 5.0f))});
    CHECK(figures.hours_outside.value == Approx(0.5));
    CHECK(figures.chance_outside.value == Approx(0.1));
}

TEST_CASE("the sampling error of one stratum is the standard error of its mean") {
    std::vector<float> hours(100);
    for (std::size_t i = 0; i < hours.size(); ++i) hours[i] = i % 2 == 0 ? 0.0f : 2.0f;  // variance 1
    CHECK(tally_all({outcomes(1, hours)}).hours_outside.error == Approx(std::sqrt(1.0 / 100)));
}

TEST_CASE("strata that share their luck add their errors and not only the squares") {
    // hours 0 and 2 by turns in both strata, the same scenarios: the estimate 0.8 m + 0.2 m' moves as one
    std::vector<float> many(100), few(50);
    for (std::size_t i = 0; i < many.size(); ++i) many[i] = i % 2 == 0 ? 0.0f : 2.0f;
    for (std::size_t i = 0; i < few.size(); ++i) few[i] = many[i];
    const double shared = 0.8 / 100 + 0.2 / 50, alone = 0.8 / 100;
    const Figures figures = tally_all({outcomes(0.8, many), outcomes(0.2, few)});
    CHECK(figures.hours_outside.error == Approx(std::sqrt(50 * shared * shared + 50 * alone * alone)));
}

TEST_CASE("luck that turns round between the strata cancels") {
    std::vector<float> on_time(100), late(100);
    for (std::size_t i = 0; i < on_time.size(); ++i) {
        on_time[i] = i % 2 == 0 ? 0.0f : 2.0f;
        late[i] = 2.0f - on_time[i];
    }
    CHECK(tally_all({outcomes(0.5, on_time), outcomes(0.5, late)}).hours_outside.error ==
          Approx(0).margin(1e-12));
}

TEST_CASE("half an hour outside is what counts as outside") {
    const Figures figures = tally_all({outcomes(1, {0.0f, 0.49f, 0.51f, 3.0f})});
    CHECK(figures.chance_outside.value == Approx(0.5));
}

TEST_CASE("harm never seen still carries a sampling error") {
    const Figures figures = tally_all({outcomes(1, std::vector<float>(96, 0.0f))});
    CHECK(figures.chance_harm.value == 0);
    CHECK(figures.chance_harm.error == Approx(std::sqrt(0.02 * 0.98 / 100)));  // Agresti and Coull: 2 of 100
}

TEST_CASE("crossing the cold harm limit is counted as cold harm") {
    const Figures figures = tally_all({outcomes(1, {1.0f, 1.0f}, 7.5f)});
    CHECK(figures.chance_harm.value == 1);
    CHECK(figures.chance_harm_cold == 1);
}

TEST_CASE("weighted quantiles agree with sorting a sample that repeats each value by its weight") {
    testing::Dice dice(3);
    std::vector<float> a(500), b(100);
    for (auto& value : a) value = static_cast<float>(dice.between(-20, 20));
    for (auto& value : b) value = static_cast<float>(dice.between(10, 60));
    std::vector<float> repeated = a;                                                  // weight 1
    for (int i = 0; i < 3; ++i) repeated.insert(repeated.end(), b.begin(), b.end());  // weight 3
    std::sort(repeated.begin(), repeated.end());
    const std::array<std::span<const float>, 2> samples{std::span<const float>(a), std::span<const float>(b)};
    const std::array<double, 2> weights{1.0, 3.0};
    const auto q = quantiles<3>(samples, weights, {0.05, 0.50, 0.95});
    const auto sorted_at = [&](double share) {
        return static_cast<double>(
            repeated[static_cast<std::size_t>(share * static_cast<double>(repeated.size()))]);
    };
    // neighbours in the sorted sample lie 0.1 K apart and more, wider than a cell: between them any value is
    // right
    const auto lies_between = [&](double value, double share) {
        return value >= sorted_at(share - 0.005) && value <= sorted_at(share + 0.005);
    };
    CHECK(lies_between(q[0], 0.05));
    CHECK(lies_between(q[1], 0.50));
    CHECK(lies_between(q[2], 0.95));
}

TEST_CASE("quantiles of equal values are that value") {
    const std::vector<float> same(32, 4.5f);
    const std::array<std::span<const float>, 1> samples{std::span<const float>(same)};
    const std::array<double, 1> weights{1.0};
    CHECK(quantiles<1>(samples, weights, {0.9})[0] == 4.5);
}
