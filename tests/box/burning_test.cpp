// Warmers that share the oxygen of a box.
#include "mildway/box/burning.hpp"

#include "box_fixtures.hpp"
#include "catch.hpp"

#include <algorithm>
#include <array>
#include <stdexcept>
#include <vector>

using namespace mildway;
using namespace mildway::box;
using testing::kHour_s;

namespace {

constexpr double kManyLitres_per_h = 1e5;

/// Ten litres, with `count` of a warmer opened before packing.
Packing ten_litres(int count, double opened_h = 0) {
    Packing packing;
    packing.inner_m = {0.25, 0.20, 0.20};
    packing.warmers = {{0, count, opened_h}};
    return packing;
}

Warmers only(WarmerType type) {
    Warmers warmers;
    warmers.add(std::move(type));
    return warmers;
}

/// 2 W for a thousand hours.
Warmers steady_2w() {
    WarmerType type;
    type.power = {{0, 2}, {1000, 2}};
    return only(type);
}

/// 1 W, 3 W and back to nothing within 20 h: 30 W h.
Warmers hill() {
    WarmerType type;
    type.power = {{0, 0}, {10, 3}, {20, 0}};
    return only(type);
}

Burning one_use(const Packing& packing, const Warmers& types, double air_l_per_h, double scale = 1) {
    return {packing, types, air_l_per_h, std::array{scale}};
}

/// Heat given over `hours`, W h, by trapezia of a minute.
double energy_wh(Burning& burning, double hours) {
    double sum_wh = 0, before_w = burning.power_w();
    for (int minute = 0; minute < static_cast<int>(60 * hours); ++minute) {
        burning.advance(60);
        sum_wh += 0.5 * (before_w + burning.power_w()) / 60;
        before_w = burning.power_w();
    }
    return sum_wh;
}

}  // namespace

TEST_CASE("in free air a warmer gives its table") {
    const Warmers types = hill();
    Burning burning = one_use(ten_litres(1), types, kManyLitres_per_h);
    for (int hour = 1; hour < 20; ++hour) {
        burning.advance(kHour_s);
        CAPTURE(hour);
        CHECK(burning.power_w() == Approx(types.at(0).power_at(hour)).epsilon(0.001));
    }
}

TEST_CASE("a warmer opened before packing is that far into its table") {
    const Warmers types = hill();
    CHECK(one_use(ten_litres(1, 7.5), types, 10).power_w() == Approx(2.25));
}

TEST_CASE("a sealed box burns the oxygen of its air and no more") {
    const Warmers types = steady_2w();
    Burning burning = one_use(ten_litres(1), types, 0);
    const double energy = energy_wh(burning, 200);
    CHECK(burning.oxygen_share() < 1e-6);
    CHECK(energy == Approx(10 / air_litres_per_watt_hour()).epsilon(1e-4));
}

TEST_CASE("heat given in a sealed box is the oxygen that is gone at every moment") {
    const Warmers types = steady_2w();
    Burning burning = one_use(ten_litres(1), types, 0);
    for (int step = 0; step < 40; ++step) {
        burning.advance(1234);
        CHECK(2 * burning.burnt_h() ==
              Approx(10 * (1 - burning.oxygen_share()) / air_litres_per_watt_hour()).epsilon(1e-10));
    }
}

TEST_CASE("a starved warmer stalls with its table unspent") {
    const Warmers types = hill();
    Burning burning = one_use(ten_litres(1, 5), types, 0);
    burning.advance(200 * kHour_s);
    CHECK(burning.power_w() < 0.001);
    CHECK(burning.burnt_h() < 10);
}

TEST_CASE("a stalled warmer goes on where it stopped when it is aired") {
    const Warmers types = hill();
    Burning starved = one_use(ten_litres(1, 5), types, 0);
    starved.advance(200 * kHour_s);
    const Burning aired = one_use(ten_litres(1, 5 + starved.burnt_h()), types, kManyLitres_per_h);
    CHECK(aired.power_w() == Approx(types.at(0).power_at(5 + starved.burnt_h())));
    CHECK(aired.power_w() > 1.5);
}

TEST_CASE("air brings a box to the balance of what is burnt and what comes in") {
    const Warmers types = steady_2w();
    Burning burning = one_use(ten_litres(1), types, 6);
    burning.advance(300 * kHour_s);
    const double share = 6 / (6 + 2 * air_litres_per_watt_hour());
    CHECK(burning.oxygen_share() == Approx(share).epsilon(1e-9));
    CHECK(burning.power_w() == Approx(2 * share).epsilon(1e-9));
}

TEST_CASE("the settled share of oxygen is where burning settles") {
    const Warmers types = steady_2w();
    for (const double air_l_per_h : {0.3, 2.0, 25.0}) {
        CAPTURE(air_l_per_h);
        Burning burning = one_use(ten_litres(2), types, air_l_per_h);
        burning.advance(400 * kHour_s);
        CHECK(settled_oxygen_share(4, air_l_per_h) == Approx(burning.oxygen_share()).epsilon(1e-6));
    }
    CHECK(settled_oxygen_share(0, 0) == 1.0);
    CHECK(settled_oxygen_share(2, 0) == 0.0);
}

TEST_CASE("free air power and its most are those of all uses together") {
    const Warmers types = hill();  // 3 W ten hours after opening
    Packing packing = ten_litres(1, 4);
    packing.warmers.push_back({0, 2, 0});
    CHECK(free_air_power_w(packing, types, 6) == Approx(3 + 2 * 1.8));
    CHECK(most_free_air_power_w(packing, types) == Approx(2 * 3 + 1.8));
    packing.learnt.warmer_factor = 0.5;
    CHECK(free_air_power_w(packing, types, 6) == Approx(0.5 * (3 + 2 * 1.8)));
}

TEST_CASE("a warmer past its best at packing has its most at packing") {
    const Warmers types = hill();
    CHECK(most_free_air_power_w(ten_litres(1, 15), types) == Approx(1.5));
}

TEST_CASE("a warmer never gives more than the air that comes in could feed") {
    const Warmers types = steady_2w();
    for (const double air_l_per_h : {0.1, 1.0, 3.0, 10.0}) {
        CAPTURE(air_l_per_h);
        Burning burning = one_use(ten_litres(2), types, air_l_per_h);
        burning.advance(300 * kHour_s);
        CHECK(burning.power_w() < oxygen_limit(air_l_per_h).value());
    }
}

TEST_CASE("two warmers in one box give more than one but less than twice as much") {
    const Warmers types = steady_2w();
    Burning one = one_use(ten_litres(1), types, 6), two = one_use(ten_litres(2), types, 6);
    one.advance(24 * kHour_s);
    two.advance(24 * kHour_s);
    CHECK(two.power_w() > one.power_w());
    CHECK(two.power_w() < 1.9 * one.power_w());
}

TEST_CASE("two uses of one warmer are as two warmers of one use") {
    const Warmers types = hill();
    Packing two_uses = ten_litres(1);
    two_uses.warmers.push_back(two_uses.warmers.front());
    Burning apart(two_uses, types, 6, std::array{1.0, 1.0});
    Burning together = one_use(ten_litres(2), types, 6);
    for (int hour = 0; hour < 30; ++hour) {
        apart.advance(kHour_s);
        together.advance(kHour_s);
        CHECK(apart.power_w() == Approx(together.power_w()).epsilon(1e-12).margin(1e-12));
    }
}

// What is not burnt now is burnt later.
TEST_CASE("over its whole life a warmer gives the heat of its table whatever the oxygen") {
    const Warmers types = hill();
    for (const double air_l_per_h : {0.5, 3.0, 30.0}) {
        CAPTURE(air_l_per_h);
        Burning burning = one_use(ten_litres(1), types, air_l_per_h);
        CHECK(energy_wh(burning, 400) == Approx(30).epsilon(0.001));
    }
}

TEST_CASE("less air makes a warmer weaker and longer") {
    const Warmers types = hill();
    Burning fresh = one_use(ten_litres(1), types, 100), close = one_use(ten_litres(1), types, 1);
    fresh.advance(10 * kHour_s);
    close.advance(10 * kHour_s);
    CHECK(close.power_w() < fresh.power_w());
    fresh.advance(15 * kHour_s);
    close.advance(15 * kHour_s);
    CHECK(fresh.power_w() == 0.0);
    CHECK(close.power_w() > 0.1);
}

TEST_CASE("a scale multiplies a use and a dud gives nothing") {
    const Warmers types = steady_2w();
    CHECK(one_use(ten_litres(3), types, 10, 0.5).power_w() == Approx(3));
    CHECK(one_use(ten_litres(3), types, 10, 0).power_w() == 0.0);
}

TEST_CASE("what a logger has told of the warmers multiplies them all") {
    const Warmers types = steady_2w();
    Packing packing = ten_litres(2);
    packing.learnt.warmer_factor = 0.8;
    CHECK(one_use(packing, types, 10).power_w() == Approx(3.2));
}

TEST_CASE("long and short steps burn alike") {
    const Warmers types = hill();
    Burning whole = one_use(ten_litres(2), types, 4), pieces = one_use(ten_litres(2), types, 4);
    for (int step = 0; step < 16; ++step) {
        whole.advance(kHour_s);
        for (int piece = 0; piece < 7; ++piece) pieces.advance(kHour_s / 7);
        CHECK(whole.power_w() == Approx(pieces.power_w()).margin(1e-5));
    }
}

TEST_CASE("a box without warmers burns nothing") {
    Packing packing = ten_litres(1);
    packing.warmers.clear();
    Burning burning(packing, steady_2w(), 0, {});
    burning.advance(kHour_s);
    CHECK(burning.power_w() == 0.0);
    CHECK(burning.oxygen_share() == 1.0);
}

TEST_CASE("scales must be one for each use") {
    const Warmers types = steady_2w();
    CHECK_THROWS_AS(Burning(ten_litres(1), types, 5, std::array{1.0, 1.0}), std::invalid_argument);
}

TEST_CASE("warmers that are burnt out leave fresh air to come in as it does") {
    WarmerType type;
    type.power = {{0, 2}, {1, 2}, {1.1, 0}};
    const Warmers types = only(type);
    Burning once = one_use(ten_litres(1), types, 6), pieces = one_use(ten_litres(1), types, 6);
    once.advance(10 * kHour_s);
    for (int i = 0; i < 600; ++i) pieces.advance(kHour_s / 60);
    CHECK(once.oxygen_share() == Approx(pieces.oxygen_share()).epsilon(1e-9));
    CHECK(once.burnt_h() == Approx(pieces.burnt_h()).epsilon(1e-9));
    once.advance(1e7 * kHour_s);  // minute by minute it would take hours
    CHECK(once.oxygen_share() == Approx(1));
    CHECK(once.power_w() == 0);
}
