// The kernel (single precision, sixteen scenarios at once) against box::ParcelRun (double precision, one at a
// time).
#include "kernel.hpp"

#include "mildway/box/parcel.hpp"
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
    AlignedFloats step_s, range, ambient, power, scratch;
};

struct Results {
    explicit Results(std::size_t legs) : by_leg_cold(legs * kLanes), by_leg_warm(legs * kLanes) {
        for (auto* series : {&cold, &warm, &k_cold, &k_warm, &low, &high}) series->resize(kLanes);
    }
    [[nodiscard]] BlockOutcome view() {
        return {cold.data(), warm.data(),        k_cold.data(),      k_warm.data(), low.data(),
                high.data(), by_leg_cold.data(), by_leg_warm.data(), nullptr};
    }
    AlignedFloats cold, warm, k_cold, k_warm, low, high, by_leg_cold, by_leg_warm;
};

/// What one lane should give: exact steps, the curve between two points in 40 pieces that are exact too, and
/// a straight line only inside a piece.
struct Truth {
    double cold_h = 0, warm_h = 0, cold_k_h = 0, warm_k_h = 0, low_c = 1e9, high_c = -1e9;

    void add_point(double temp_c) {
        low_c = std::min(low_c, temp_c);
        high_c = std::max(high_c, temp_c);
    }
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

Truth follow(const RandomTrip& trip, const BoxModel& box, std::size_t lane) {
    constexpr int kPieces = 40;
    const auto setting_of = [&](std::size_t leg) { return static_cast<std::size_t>(trip.settings[leg]); };
    Truth truth;
    box::ParcelRun parcel(box.network(0, setting_of(0)), static_cast<double>(trip.ambient[lane]));
    const std::size_t animals = box.network(0, 0).animals;
    const bool warm_box = !box.packing().warmers.empty();
    const auto at = [&](const AlignedFloats& series, std::size_t p, double part) {
        return std::lerp(static_cast<double>(series[p * kLanes + lane]),
                         static_cast<double>(series[(p + 1) * kLanes + lane]), part);
    };
    const auto power_at = [&](std::size_t p, double part) {
        return warm_box ? at(trip.power, p, part) : 0.0;
    };
    std::size_t point = 0;
    for (std::size_t leg = 0; leg < trip.steps.size(); ++leg, ++point) {
        parcel.enter(box.modes(0, setting_of(leg)));
        const double piece_s = static_cast<double>(trip.step_s[leg * kLanes + lane]) / kPieces;
        truth.add_point(parcel.temps_c()[animals]);
        for (int k = 0; k < trip.steps[leg]; ++k, ++point) {
            for (int i = 0; i < kPieces; ++i) {
                const double a = static_cast<double>(i) / kPieces, b = static_cast<double>(i + 1) / kPieces;
                const double before = parcel.temps_c()[animals];
                parcel.advance(piece_s, at(trip.ambient, point, a), at(trip.ambient, point, b),
                               power_at(point, a), power_at(point, b));
                truth.add_piece(before, parcel.temps_c()[animals], piece_s / 3600);
            }
            truth.add_point(parcel.temps_c()[animals]);
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
    const BoxModel box(shipped.packings.find(packing), shipped.supplies.warmers, {1, 0.015}, settings, 15);
    const bool warm_box = !box.packing().warmers.empty();
    testing::Dice dice(seed);
    Gaps gaps;
    for (int i = 0; i < 12; ++i) {
        RandomTrip trip(dice, settings.all().size(), 7);
        Results results(trip.steps.size());
        BlockOutcome outcome = results.view();
        run_block(trip.view(), box.table(0), warm_box ? trip.power.data() : nullptr, kSafe,
                  trip.scratch.data(), outcome);
        for (std::size_t lane = 0; lane < kLanes; ++lane) gaps.add(follow(trip, box, lane), results, lane);
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

TEST_CASE("the kernel follows a coolant like the finely stepped parcel") {
    const char* packing = GENERATE("small-38-1p", "small-38-1g");
    const Gaps gaps = compare(packing, 14);
    INFO(packing << ": " << gaps.temperature_k << " K, " << gaps.hours << " h at most, " << gaps.mean_hours
                 << " h on average");
    CHECK(gaps.temperature_k < 0.05);
    CHECK(gaps.mean_hours < 0.005);
}

TEST_CASE("hours by leg add up to the hours of the trip") {
    testing::Dice dice(13);
    const testing::ShippedBoxes shipped;
    const auto settings =
        transit::Settings::read(ConfigNode::load(MILDWAY_SOURCE_DIR "/config/settings.json"));
    const BoxModel box(shipped.packings.find("small-38"), shipped.supplies.warmers, {1, 0.015}, settings, 15);
    RandomTrip trip(dice, settings.all().size(), 9);
    Results results(trip.steps.size());
    BlockOutcome outcome = results.view();
    run_block(trip.view(), box.table(3), nullptr, kSafe, trip.scratch.data(), outcome);
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
