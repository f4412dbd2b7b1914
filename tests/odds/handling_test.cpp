#include "mildway/odds/handling.hpp"

#include "catch.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>

using namespace mildway;
using namespace mildway::odds;

namespace {

const transit::Settings& settings() {
    static const auto all = transit::Settings::read(ConfigNode::parse("settings.json", R"({"settings": [
        {"name": "indoors", "hold_c": 20, "follow": 0, "air_speed_m_per_s": 0.1, "source": "test"},
        {"name": "vehicle", "hold_c": 20, "follow": 0, "sun_lift_k": 10, "sun_lift_spread_k": 4,
         "sun_on_box_w_per_m2": 300, "sun_on_box_spread_w_per_m2": 60, "air_speed_m_per_s": 0.1,
         "source": "test"},
        {"name": "porch", "hold_c": 20, "follow": 1, "sun_on_box_w_per_m2": 100,
         "sun_on_box_spread_w_per_m2": 100, "air_speed_m_per_s": 0.1, "source": "test"}]})"));
    return all;
}

const Handling& handling() {
    static const Handling drawn({}, settings(), box::Warmers{}, 16384, 5);
    return drawn;
}

}  // namespace

TEST_CASE("sun on the box is drawn around its mean with its spread") {
    const auto sun = handling().sun_on_box_w_per_m2(1);
    const double n = static_cast<double>(sun.size());
    const double mean = std::accumulate(sun.begin(), sun.end(), 0.0) / n;
    double squares = 0;
    for (const float value : sun) squares += std::pow(static_cast<double>(value) - mean, 2);
    CHECK(mean == Approx(300).margin(2));                     // 4 standard errors of 60 in 16,384
    CHECK(std::sqrt(squares / n) == Approx(60).margin(1.5));  // the same
}

TEST_CASE("sun on the box is never below nought") {
    const auto sun = handling().sun_on_box_w_per_m2(2);
    CHECK(*std::min_element(sun.begin(), sun.end()) == 0);
    const auto dark = std::count(sun.begin(), sun.end(), 0.0f);
    CHECK(static_cast<double>(dark) / static_cast<double>(sun.size()) == Approx(0.159).margin(0.012));
}

TEST_CASE("a setting without sun on the box has none in any scenario") {
    const auto sun = handling().sun_on_box_w_per_m2(0);
    CHECK(std::all_of(sun.begin(), sun.end(), [](float value) { return value == 0; }));
}

TEST_CASE("a place is as sunny to the parcel as to its air") {
    const auto on_box = handling().sun_on_box_w_per_m2(1), lift = handling().sun_lift_k(1);
    for (std::size_t s = 0; s < 500; ++s) {
        if (lift[s] <= 0) continue;
        CHECK((on_box[s] - 300) / 60 == Approx((lift[s] - 10) / 4).margin(1e-4));
    }
}

TEST_CASE("every leg and wait of a service has luck of its own and legs of one name share it") {
    transit::Service one, other;
    transit::LegPlan van, flight;
    van.name = "van";
    flight.name = "flight";
    one.legs = {van, flight};
    one.waits = {{0, 1, 0, "wait after van"}};
    other.legs = {flight};
    const std::vector<const transit::Service*> both{&one, &other}, alone{&other};
    const Handling drawn(both, settings(), box::Warmers{}, 128, 5);
    const Handling fewer(alone, settings(), box::Warmers{}, 128, 5);
    const auto same = [](std::span<const float> a, std::span<const float> b) {
        return std::equal(a.begin(), a.end(), b.begin(), b.end());
    };
    CHECK(same(drawn.leg_time("flight"), fewer.leg_time("flight")));
    CHECK(same(drawn.leg_time("parked"), fewer.leg_time("parked")));
    CHECK_FALSE(same(drawn.leg_time("van"), drawn.leg_time("flight")));
    CHECK_FALSE(same(drawn.leg_time("van"), drawn.leg_time("wait after van")));
}

TEST_CASE("a leg for which no luck was drawn is an error of the program") {
    CHECK_THROWS_AS(handling().leg_time("balloon"), std::logic_error);
}
