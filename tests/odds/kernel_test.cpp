// The kernel (single precision, sixteen scenarios at once) against box::step (double precision, one at a
// time).
#include "kernel.hpp"

#include "mildway/odds/box_model.hpp"

#include "aligned.hpp"
#include "box_fixtures.hpp"
#include "catch.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <vector>

using namespace mildway;
using namespace mildway::odds;

namespace {

constexpr SafeBand kSafe{13.0f, 27.0f};

/// Random legs through random settings, different step lengths and weather in every lane.
struct RandomTrip {
    RandomTrip(testing::Dice& dice, std::size_t setting_count, int leg_count) {
        for (int leg = 0; leg < leg_count; ++leg) {
            steps.push_back(static_cast<int>(1 + dice.below(30)));
            settings.push_back(static_cast<int>(dice.below(setting_count)));
            for (int lane = 0; lane < kLanes; ++lane)
                step_s.push_back(static_cast<float>(dice.scaled(60, 1000)));
            const auto* first = &step_s[static_cast<std::size_t>(leg) * kLanes];
            range.push_back(*std::min_element(first, first + kLanes));
            range.push_back(*std::max_element(first, first + kLanes));
            const double level = dice.between(-10, 35);
            std::array<double, kLanes> walk{};
            walk.fill(level);
            for (int k = 0; k <= steps.back(); ++k) {
                for (auto& value : walk) ambient.push_back(static_cast<float>(value += dice.between(-1, 1)));
                for (int lane = 0; lane < kLanes; ++lane)
                    power.push_back(static_cast<float>(dice.between(1.5, 2.5)));
            }
        }
        for (int lane = 0; lane < kLanes; ++lane) scale.push_back(static_cast<float>(dice.between(0.6, 1.4)));
        scratch.resize(2 * 31 * kLanes);
    }

    [[nodiscard]] BlockExposure view() const {
        return {static_cast<int>(steps.size()),
                31,
                steps.data(),
                settings.data(),
                step_s.data(),
                range.data(),
                ambient.data()};
    }

    std::vector<int> steps, settings;
    AlignedFloats step_s, range, ambient, power, scale, scratch;
};

struct Results {
    explicit Results(std::size_t legs) : by_leg_cold(legs * kLanes), by_leg_warm(legs * kLanes) {
        for (auto* series : {&cold, &warm, &k_cold, &k_warm, &low, &high}) series->resize(kLanes);
    }
    [[nodiscard]] BlockOutcome view() {
        return {cold.data(), warm.data(), k_cold.data(),      k_warm.data(),
                low.data(),  high.data(), by_leg_cold.data(), by_leg_warm.data()};
    }
    AlignedFloats cold, warm, k_cold, k_warm, low, high, by_leg_cold, by_leg_warm;
};

/// What one lane should give: exact steps, the curve between two points in 40 pieces that are exact too, and
/// a straight line only inside a piece.
struct Truth {
    double cold_h = 0, warm_h = 0, cold_k_h = 0, warm_k_h = 0, low_c = 1e9, high_c = -1e9;

    void add_piece(double before_c, double after_c, double piece_h) {
        const auto add = [&](double a, double b, double& hours,
                             double& degree_hours) {  // excess at both ends
            const double above = std::max(a, 0.0) + std::max(b, 0.0);
            const double share = above > 0 ? above / (std::abs(a) + std::abs(b)) : 0.0;
            hours += share * piece_h;
            degree_hours += share * above / 2 * piece_h;
        };
        add(static_cast<double>(kSafe.low_c) - before_c, static_cast<double>(kSafe.low_c) - after_c, cold_h,
            cold_k_h);
        add(before_c - static_cast<double>(kSafe.high_c), after_c - static_cast<double>(kSafe.high_c), warm_h,
            warm_k_h);
    }
};

Truth follow(const RandomTrip& trip, const BoxModel& box, std::size_t lane, bool warm_box, double limit_w) {
    constexpr int kPieces = 40;
    Truth truth;
    box::NodeTemps temps{};
    temps.fill(static_cast<double>(trip.ambient[lane]));
    const std::size_t animals = box.network(0).animals;
    const auto power_at = [&](std::size_t p) {
        return warm_box
                   ? std::min(static_cast<double>(trip.power[p * kLanes + lane] * trip.scale[lane]), limit_w)
                   : 0.0;
    };
    std::size_t point = 0;
    for (std::size_t leg = 0; leg < trip.steps.size(); ++leg, ++point) {
        const box::Modes& modes = box.modes(0, static_cast<std::size_t>(trip.settings[leg]));
        box::NodeTemps x = box::to_modes(modes, temps);
        const double step_s = static_cast<double>(trip.step_s[leg * kLanes + lane]);
        truth.low_c = std::min(truth.low_c, temps[animals]);
        truth.high_c = std::max(truth.high_c, temps[animals]);
        for (int k = 0; k < trip.steps[leg]; ++k, ++point) {
            const double u0 = static_cast<double>(trip.ambient[point * kLanes + lane]);
            const double u1 = static_cast<double>(trip.ambient[(point + 1) * kLanes + lane]);
            const double p0 = power_at(point), p1 = power_at(point + 1);
            for (int i = 0; i < kPieces; ++i) {
                const double a = static_cast<double>(i) / kPieces, b = static_cast<double>(i + 1) / kPieces;
                const double before = temps[animals];
                box::step(modes, x, step_s / kPieces, u0 + a * (u1 - u0), u0 + b * (u1 - u0),
                          p0 + a * (p1 - p0), p0 + b * (p1 - p0));
                temps = box::to_temps(modes, x);
                truth.add_piece(before, temps[animals], step_s / kPieces / 3600);
            }
            truth.low_c = std::min(truth.low_c, temps[animals]);
            truth.high_c = std::max(truth.high_c, temps[animals]);
        }
    }
    return truth;
}

struct Gaps {
    double temperature_k = 0, hours = 0, mean_hours = 0, degree_hours_share = 0;
    int count = 0;
    void add(const Truth& truth, const Results& results, std::size_t lane) {
        const auto gap = [&](double a, float b) { return std::abs(a - static_cast<double>(b)); };
        temperature_k = std::max(
            {temperature_k, gap(truth.low_c, results.low[lane]), gap(truth.high_c, results.high[lane])});
        const double worse =
            std::max(gap(truth.cold_h, results.cold[lane]), gap(truth.warm_h, results.warm[lane]));
        hours = std::max(hours, worse);
        mean_hours += worse;
        const double all_k_h = truth.cold_k_h + truth.warm_k_h + 1;
        degree_hours_share =
            std::max({degree_hours_share, gap(truth.cold_k_h, results.k_cold[lane]) / all_k_h,
                      gap(truth.warm_k_h, results.k_warm[lane]) / all_k_h});
        ++count;
    }
};

Gaps compare(const char* packing, std::uint64_t seed) {
    static const testing::ShippedBoxes shipped;
    static const transit::Settings settings =
        transit::Settings::read(ConfigNode::load(MILDWAY_SOURCE_DIR "/config/settings.json"));
    const BoxModel box(shipped.packings.find(packing), shipped.warmers, {1, 0.015}, settings);
    const bool warm_box = box.packing().warmer.has_value();
    constexpr float kLimitW = 2.4f;
    testing::Dice dice(seed);
    Gaps gaps;
    for (int i = 0; i < 12; ++i) {
        RandomTrip trip(dice, settings.all().size(), 7);
        Results results(trip.steps.size());
        BlockOutcome outcome = results.view();
        run_block(trip.view(), box.table(0),
                  {warm_box ? trip.power.data() : nullptr, trip.scale.data(), kLimitW}, kSafe,
                  trip.scratch.data(), outcome);
        for (std::size_t lane = 0; lane < kLanes; ++lane) {
            gaps.add(follow(trip, box, lane, warm_box, static_cast<double>(kLimitW)), results, lane);
        }
    }
    gaps.mean_hours /= gaps.count;
    return gaps;
}

}  // namespace

TEST_CASE("the kernel follows exact double precision steps through leg changes") {
    const char* packing = GENERATE("small-19", "small-38", "small-38-1w", "medium-38-2w");
    const Gaps gaps = compare(packing, 11);
    INFO(packing << ": " << gaps.temperature_k << " K, " << gaps.hours << " h at most, " << gaps.mean_hours
                 << " h on average");
    CHECK(gaps.temperature_k < 2e-3);
}

TEST_CASE("hours outside are found between the points of the kernel") {
    const char* packing = GENERATE("small-19", "small-38", "small-38-1w", "medium-38-2w");
    const Gaps gaps = compare(packing, 12);
    INFO(packing << ": " << gaps.hours << " h at most, " << gaps.mean_hours << " h on average, "
                 << 100 * gaps.degree_hours_share << " % of the degree hours");
    CHECK(gaps.mean_hours < 0.005);
    CHECK(gaps.hours < 0.05);
    CHECK(gaps.degree_hours_share < 0.01);
}

TEST_CASE("hours by leg add up to the hours of the trip") {
    testing::Dice dice(13);
    const testing::ShippedBoxes shipped;
    const auto settings =
        transit::Settings::read(ConfigNode::load(MILDWAY_SOURCE_DIR "/config/settings.json"));
    const BoxModel box(shipped.packings.find("small-38"), shipped.warmers, {1, 0.015}, settings);
    RandomTrip trip(dice, settings.all().size(), 9);
    Results results(trip.steps.size());
    BlockOutcome outcome = results.view();
    run_block(trip.view(), box.table(3), {nullptr, nullptr, 0}, kSafe, trip.scratch.data(), outcome);
    for (std::size_t lane = 0; lane < kLanes; ++lane) {
        double legs_h = 0, trip_h = 0;
        for (std::size_t leg = 0; leg < trip.steps.size(); ++leg) {
            legs_h += static_cast<double>(results.by_leg_cold[leg * kLanes + lane] +
                                          results.by_leg_warm[leg * kLanes + lane]);
            trip_h += trip.steps[leg] * static_cast<double>(trip.step_s[leg * kLanes + lane]) / 3600;
        }
        const double outside_h = static_cast<double>(results.cold[lane] + results.warm[lane]);
        CHECK(legs_h == Approx(outside_h).margin(1e-4));
        CHECK(outside_h <= trip_h * (1 + 1e-6));
    }
}
