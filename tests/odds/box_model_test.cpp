#include "mildway/odds/box_model.hpp"

#include "box_fixtures.hpp"
#include "catch.hpp"

#include <array>
#include <cmath>

using namespace mildway;
using namespace mildway::odds;

namespace {

double correlation(const BoxModel::Order& a, const BoxModel::Order& b) {
    double sum = 0;
    for (std::size_t v = 0; v < BoxModel::kVariants; ++v) sum += slice_quantile(a[v]) * slice_quantile(b[v]);
    return sum / BoxModel::kVariants;
}

BoxModel model_of(const char* packing, double outside_c) {
    static const testing::ShippedBoxes shipped;
    static const auto settings =
        transit::Settings::read(ConfigNode::load(MILDWAY_SOURCE_DIR "/config/settings.json"));
    return BoxModel(shipped.packings.find(packing), shipped.supplies.warmers, {1, 0.015}, settings,
                    outside_c);
}

}  // namespace

TEST_CASE("what differs between parcels is uncorrelated") {
    const std::array orders{BoxModel::kWallOrder, BoxModel::kAnimalHeatOrder, BoxModel::kAirOrder,
                            BoxModel::kAirSpeedOrder};
    for (std::size_t i = 0; i < orders.size(); ++i) {
        CHECK(correlation(orders[i], orders[i]) == Approx(1).epsilon(1e-6));
        for (std::size_t j = 0; j < i; ++j)
            CHECK(correlation(orders[i], orders[j]) == Approx(0).margin(1e-6));
    }
}

TEST_CASE("air exchange spreads by the recipe's factor about its own value") {
    const BoxModel model = model_of("small-38", 15);
    double logs = 0, squares = 0;
    for (std::size_t v = 0; v < BoxModel::kVariants; ++v) {
        const double log = std::log(model.air_exchange_l_per_h(v) / model.packing().air_exchange_l_per_h());
        logs += log / BoxModel::kVariants;
        squares += log * log / BoxModel::kVariants;
    }
    CHECK(logs == Approx(0).margin(1e-6));
    CHECK(std::sqrt(squares) == Approx(std::log(model.packing().air_spread)).epsilon(1e-6));
}

TEST_CASE("the liner of a box with a warmer is warmer than that of one without") {
    CHECK(model_of("small-38-1w", 0).variant(0, 0).liner_c >
          model_of("small-38", 0).variant(0, 0).liner_c + 2);
}

TEST_CASE("a cold day makes the foam insulate better") {
    const BoxModel cold = model_of("small-38", -10), warm = model_of("small-38", 30);
    const auto leak = [](const BoxModel& model, std::size_t setting) {
        return box::whole_conductance(model.network(0, setting), model.outside_film(0, setting)).value();
    };
    bool differs = false;
    for (std::size_t setting = 0; setting < 3; ++setting) {
        CHECK(leak(cold, setting) <= leak(warm, setting));
        differs = differs || leak(cold, setting) < leak(warm, setting);
    }
    CHECK(differs);
}
