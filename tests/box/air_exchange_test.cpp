#include "mildway/box/air_exchange.hpp"

#include "box_fixtures.hpp"
#include "catch.hpp"

using namespace mildway;
using namespace mildway::box;
using testing::Dice;

namespace {

/// A box somewhere among those that people build.
struct VentedBox {
    Vents vents;
    double wall_m, height_m, difference_k;

    explicit VentedBox(Dice& dice)
        : vents{1 + static_cast<int>(dice.below(40)), dice.scaled(0.0005, 0.05)},
          wall_m(dice.scaled(0.001, 0.1)),
          height_m(dice.between(0.02, 0.6)),
          difference_k(dice.between(0.1, 30)) {}
    [[nodiscard]] double flow() const {
        return vent_exchange_l_per_h(vents, wall_m, height_m, Kelvins(difference_k));
    }
};

/// Flow through random boxes before and after `change`, which must not lessen it.
template <class Change>
void check_grows(std::uint64_t seed, Change change) {
    Dice dice(seed);
    for (int run = 0; run < 300; ++run) {
        CAPTURE(run);
        VentedBox box(dice);
        const double before = box.flow();
        change(box, dice);
        CHECK(box.flow() > before);
    }
}

}  // namespace

TEST_CASE("a box without vents passes no air through them") {
    CHECK(vent_exchange_l_per_h({}, 0.04, 0.15, Kelvins(5)) == 0.0);
}

TEST_CASE("more vents pass more air") {
    check_grows(401, [](VentedBox& box, Dice&) { ++box.vents.count; });
}

TEST_CASE("twice the vents pass twice the air") {
    const double four = vent_exchange_l_per_h({4, 0.008}, 0.04, 0.15, Kelvins(5));
    CHECK(vent_exchange_l_per_h({8, 0.008}, 0.04, 0.15, Kelvins(5)) == Approx(2 * four).epsilon(1e-12));
}

TEST_CASE("wider vents pass more air") {
    check_grows(402, [](VentedBox& box, Dice& dice) { box.vents.diameter_m *= dice.between(1.01, 2); });
}

TEST_CASE("a larger difference drives more air") {
    check_grows(403, [](VentedBox& box, Dice& dice) { box.difference_k *= dice.between(1.01, 3); });
}

TEST_CASE("a higher box drives more air") {
    check_grows(404, [](VentedBox& box, Dice& dice) { box.height_m *= dice.between(1.01, 3); });
}

TEST_CASE("a thinner wall passes more air") {
    check_grows(405, [](VentedBox& box, Dice& dice) { box.wall_m *= dice.between(0.3, 0.99); });
}

TEST_CASE("a box colder than its surroundings draws as much air as one as much warmer") {
    CHECK(vent_exchange_l_per_h({4, 0.008}, 0.04, 0.15, Kelvins(-5)) ==
          vent_exchange_l_per_h({4, 0.008}, 0.04, 0.15, Kelvins(5)));
}

TEST_CASE("air for a watt is the inverse of the watts from air") {
    CHECK(oxygen_limit(air_litres_per_watt_hour()).value() == Approx(1).epsilon(1e-12));
    CHECK(oxygen_limit(0).value() == 0.0);
}
