// Warmers with shared oxygen in the kernel (single precision, 15-minute steps) against box::Burning (double
// precision, minute by minute).
#include "mildway/box/burning.hpp"

#include "catch.hpp"
#include "random_parcel.hpp"

#include <algorithm>
#include <cmath>

using namespace mildway;
using namespace mildway::odds;

namespace {

transit::Settings settings() {
    return transit::Settings::read(ConfigNode::load(MILDWAY_SOURCE_DIR "/config/settings.json"));
}

}  // namespace

TEST_CASE("oxygen in the kernel follows the finely stepped fire") {
    const testing::ShippedBoxes shipped;
    const auto all = settings();
    double most_share = 0, most_heat = 0;
    for (std::uint64_t seed = 1; seed <= 60; ++seed) {
        testing::Dice dice(seed);
        const box::Packing packing = testing::random_packing(dice, shipped.supplies);
        if (packing.warmers.empty()) continue;
        const testing::RandomTrip trip(dice, all, packing, shipped.supplies.warmers);
        const std::size_t lane = dice.below(kLanes);
        box::Burning fire(packing, shipped.supplies.warmers, packing.air_exchange_l_per_h(),
                          trip.scales(lane));
        double burnt_wh = 0, kernel_wh = 0;
        std::size_t point = 0;
        for (std::size_t leg = 0; leg < trip.legs(); ++leg, ++point) {
            const double step_h = trip.step_s(leg, lane) / 3600;
            for (int k = 0; k < trip.steps(leg); ++k, ++point) {
                constexpr int kPieces = 15;
                for (int i = 0; i < kPieces; ++i) {
                    const double before_w = fire.power_w();
                    fire.advance(step_h * 3600 / kPieces);
                    burnt_wh += 0.5 * (before_w + fire.power_w()) * step_h / kPieces;
                }
                const auto kernel = [&](const float* series, std::size_t p) {
                    return static_cast<double>(series[p * kLanes + lane]);
                };
                kernel_wh +=
                    0.5 * (kernel(trip.power_w(), point) + kernel(trip.power_w(), point + 1)) * step_h;
                most_share = std::max(most_share,
                                      std::abs(kernel(trip.oxygen_share(), point + 1) - fire.oxygen_share()));
            }
        }
        most_heat = std::max(most_heat, std::abs(kernel_wh - burnt_wh) / (1 + burnt_wh));
    }
    INFO("oxygen off by " << most_share << ", heat by " << most_heat);
    CHECK(most_share < 0.001);
    CHECK(most_heat < 0.0005);
}
