// What must hold whatever the box, the trip and the weather.
#include "mildway/odds/box_model.hpp"

#include "aligned.hpp"
#include "box_fixtures.hpp"
#include "catch.hpp"
#include "kernel.hpp"

#include <algorithm>
#include <vector>

using namespace mildway;
using namespace mildway::odds;

namespace {

constexpr int kLegs = 6;
constexpr int kMostSteps = 24;

/// One block through a few legs of random length and weather.
struct Trip {
    explicit Trip(std::uint64_t seed) {
        testing::Dice dice(seed);
        for (int leg = 0; leg < kLegs; ++leg) {
            steps.push_back(static_cast<int>(1 + dice.below(kMostSteps)));
            settings.push_back(static_cast<int>(dice.below(6)));
            for (int lane = 0; lane < kLanes; ++lane)
                step_s.push_back(static_cast<float>(dice.between(300, 1000)));
            const auto* first = step_s.data() + leg * kLanes;
            range.push_back(*std::min_element(first, first + kLanes));
            range.push_back(*std::max_element(first, first + kLanes));
            for (int k = 0; k <= steps.back(); ++k) {
                const double level = dice.between(0, 40);
                for (int lane = 0; lane < kLanes; ++lane)
                    ambient.push_back(static_cast<float>(level + dice.between(-3, 3)));
            }
        }
    }

    [[nodiscard]] double length_h(std::size_t lane) const {
        double hours = 0;
        for (std::size_t leg = 0; leg < kLegs; ++leg) {
            hours += steps[leg] * static_cast<double>(step_s[leg * kLanes + lane]) / 3600;
        }
        return hours;
    }

    std::vector<int> steps, settings;
    AlignedFloats step_s, range, ambient;
};

struct Hours {
    AlignedFloats cold = AlignedFloats(kLanes), warm = AlignedFloats(kLanes);
    AlignedFloats low = AlignedFloats(kLanes), high = AlignedFloats(kLanes);
};

const BoxModel& box() {
    static const testing::ShippedBoxes shipped;
    static const auto settings =
        transit::Settings::read(ConfigNode::load(MILDWAY_SOURCE_DIR "/config/settings.json"));
    static const BoxModel model(shipped.packings.find("small-38"), shipped.supplies.warmers, {1, 0.015},
                                settings, 15);
    return model;
}

/// The box without the animals' own heat, so that nothing in it tells warm from cold.
struct SourcelessTable {
    SourcelessTable() {
        const BoxTable whole = box().table(2);
        modes.assign(whole.table, whole.table + whole.settings);
        for (auto& setting : modes) std::fill(std::begin(setting.offset), std::end(setting.offset), 0.0f);
        table = {whole.modes, whole.settings, modes.data(), whole.transition, nullptr};
    }
    std::vector<ModeTable> modes;
    BoxTable table{};
};

Hours run(const Trip& trip, SafeBand safe, const BoxTable& table = box().table(2)) {
    Hours hours;
    AlignedFloats k_cold(kLanes), k_warm(kLanes), leg_cold(kLegs * kLanes), leg_warm(kLegs * kLanes);
    AlignedFloats scratch(2 * (kMostSteps + 1) * kLanes);
    BlockOutcome outcome{hours.cold.data(), hours.warm.data(), k_cold.data(),
                         k_warm.data(),     hours.low.data(),  hours.high.data(),
                         leg_cold.data(),   leg_warm.data(),   nullptr};
    const BlockExposure exposure{kLegs,
                                 kMostSteps + 1,
                                 trip.steps.data(),
                                 trip.settings.data(),
                                 trip.step_s.data(),
                                 trip.range.data(),
                                 trip.ambient.data()};
    run_block(exposure, table, nullptr, safe, scratch.data(), outcome);
    return hours;
}

}  // namespace

TEST_CASE("time below and above a band without width is the whole trip") {
    // no time can be lost or counted twice at an edge
    for (std::uint64_t seed = 1; seed <= 40; ++seed) {
        const Trip trip(seed);
        const Hours hours = run(trip, {19.0f, 19.0f});
        for (std::size_t lane = 0; lane < kLanes; ++lane) {
            INFO("trip " << seed << ", lane " << lane);
            CHECK(static_cast<double>(hours.cold[lane] + hours.warm[lane]) ==
                  Approx(trip.length_h(lane)).epsilon(2e-5));
        }
    }
}

TEST_CASE("cold and warm are counted alike") {
    // the mirrored weather, 40 - T, against the mirrored band: cold and warm change places
    const SourcelessTable sourceless;
    for (std::uint64_t seed = 41; seed <= 60; ++seed) {
        const Trip trip(seed);
        Trip mirrored(seed);
        for (float& temp : mirrored.ambient) temp = 40.0f - temp;
        const Hours hours = run(trip, {16.0f, 26.0f}, sourceless.table);
        const Hours other = run(mirrored, {14.0f, 24.0f}, sourceless.table);
        for (std::size_t lane = 0; lane < kLanes; ++lane) {
            CHECK(static_cast<double>(hours.cold[lane]) ==
                  Approx(static_cast<double>(other.warm[lane])).margin(1e-3));
            CHECK(static_cast<double>(hours.low[lane]) ==
                  Approx(40 - static_cast<double>(other.high[lane])).margin(1e-4));
        }
    }
}

TEST_CASE("a wider band never means more hours outside") {
    for (std::uint64_t seed = 61; seed <= 80; ++seed) {
        const Trip trip(seed);
        const Hours narrow = run(trip, {15.0f, 25.0f});
        const Hours wide = run(trip, {13.0f, 28.0f});
        for (std::size_t lane = 0; lane < kLanes; ++lane) {
            CHECK(wide.cold[lane] <= narrow.cold[lane] + 1e-5f);
            CHECK(wide.warm[lane] <= narrow.warm[lane] + 1e-5f);
        }
    }
}

TEST_CASE("an animal without a source of heat stays between the extremes of the air around it") {
    // up to its own metabolic heat, which lifts it by under 0.1 K
    for (std::uint64_t seed = 81; seed <= 100; ++seed) {
        const Trip trip(seed);
        const Hours hours = run(trip, {0.0f, 40.0f});
        const auto [coolest, hottest] = std::minmax_element(trip.ambient.begin(), trip.ambient.end());
        for (std::size_t lane = 0; lane < kLanes; ++lane) {
            CHECK(hours.low[lane] >= *coolest - 1e-3f);
            CHECK(hours.high[lane] <= *hottest + 0.1f);
        }
    }
}
