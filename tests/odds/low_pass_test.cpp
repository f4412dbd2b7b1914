#include "mildway/odds/low_pass.hpp"

#include "catch.hpp"
#include "small_world.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <vector>

using namespace mildway;
using namespace mildway::odds;

namespace {

/// Any shape that repeats every 24 h: a few waves of random size and phase.
std::vector<double> random_day(testing::Dice& dice, std::size_t samples) {
    std::vector<double> day(samples, 0.0);
    for (int wave = 1; wave <= 3; ++wave) {
        const double size = dice.between(0, 10), phase = dice.between(0, 6);
        for (std::size_t i = 0; i < samples; ++i) {
            const double turn = static_cast<double>(i) / static_cast<double>(samples);
            day[i] += size * std::cos(2 * std::numbers::pi * wave * turn + phase);
        }
    }
    return day;
}

/// The output over the last of many equal days.
std::vector<double> settled(const std::vector<double>& day, double lag_hours) {
    const LowPass pass(24.0 / static_cast<double>(day.size()), lag_hours);
    std::vector<double> out(day.size(), 0.0);
    double y = day[0];
    for (int round = 0; round < 30; ++round) {
        for (std::size_t i = 0; i < day.size(); ++i) {
            out[i] = y;
            y = pass.next(y, day[i], day[(i + 1) % day.size()]);
        }
    }
    return out;
}

double swing(const std::vector<double>& values) {
    const auto [low, high] = std::minmax_element(values.begin(), values.end());
    return *high - *low;
}

}  // namespace

TEST_CASE("a step is answered by 1 - exp of time over lag") {
    const double lag_h = GENERATE(0.3, 1.0, 6.0, 48.0);
    const LowPass pass(0.25, lag_h);
    double y = 0;
    for (int i = 1; i <= 100; ++i) {
        y = pass.next(y, 1.0, 1.0);
        CHECK(y == Approx(1 - std::exp(-0.25 * i / lag_h)).epsilon(1e-12));
    }
}

TEST_CASE("a ramp is answered by a ramp that comes late by the lag") {
    const double rate_k_per_h = 2, lag_h = 3;
    const LowPass pass(1, lag_h);
    double y = 0;
    for (int i = 1; i <= 40; ++i) {
        y = pass.next(y, rate_k_per_h * (i - 1), rate_k_per_h * i);
        CHECK(y == Approx(rate_k_per_h * (i - lag_h * -std::expm1(-i / lag_h))).epsilon(1e-12));
    }
}

TEST_CASE("without a lag the output is the input") {
    const LowPass pass(0.25, 0);
    CHECK(pass.next(3.0, 5.0, 7.0) == 7.0);
}

TEST_CASE("what stays the same passes unchanged") {
    const LowPass pass(1, GENERATE(0.1, 2.0, 48.0));
    double y = 17.5;
    for (int i = 0; i < 100; ++i) y = pass.next(y, 17.5, 17.5);
    CHECK(y == Approx(17.5).epsilon(1e-13));
}

TEST_CASE("the gain of a daily wave is that of a first-order lag") {
    const double lag_h = GENERATE(1.0, 2.0, 3.0, 6.0, 12.0);
    std::vector<double> day(96);
    for (std::size_t i = 0; i < day.size(); ++i)
        day[i] = std::sin(2 * std::numbers::pi * static_cast<double>(i) / 96);
    const double w = 2 * std::numbers::pi / 24;
    CHECK(swing(settled(day, lag_h)) / 2 == Approx(1 / std::sqrt(1 + w * w * lag_h * lag_h)).epsilon(0.002));
}

TEST_CASE("a longer lag never widens the daily swing") {
    testing::Dice dice(11);
    for (int draw = 0; draw < 200; ++draw) {
        const auto day = random_day(dice, 96);
        const double shorter_h = dice.between(0, 12), longer_h = shorter_h + dice.between(0, 12);
        CAPTURE(shorter_h, longer_h);
        CHECK(swing(settled(day, longer_h)) <= swing(settled(day, shorter_h)) + 0.005);
    }
}

TEST_CASE("the output of a sum is the sum of the outputs") {
    testing::Dice dice(12);
    const auto a = random_day(dice, 24), b = random_day(dice, 24);
    std::vector<double> both(24);
    for (std::size_t i = 0; i < both.size(); ++i) both[i] = a[i] + b[i];
    const auto of_a = settled(a, 4), of_b = settled(b, 4), of_both = settled(both, 4);
    for (std::size_t i = 0; i < both.size(); ++i) CHECK(of_both[i] == Approx(of_a[i] + of_b[i]).margin(1e-9));
}
