// What a parcel is billed for, where a service is sold, and what it costs.
#include "mildway/transit/price.hpp"

#include "catch.hpp"

#include <algorithm>
#include <random>

#include <fmt/format.h>

using namespace mildway;
using namespace mildway::transit;

namespace {

const Place kDuluth{"Duluth MN", 46.79, -92.10, ""};
const Place kMinneapolis{"Minneapolis MN", 44.98, -93.27, ""};  // 221 km from Duluth
const Place kChicago{"Chicago IL", 41.88, -87.63, ""};          // 651 km
const Place kSacramento{"Sacramento CA", 38.58, -121.49, ""};
const Place kHonolulu{"Honolulu HI", 21.31, -157.86, ""};
const Place kHilo{"Hilo HI", 19.71, -155.09, ""};

Zones zones(const std::string& list) {
    return Zones::read(ConfigNode::parse("services.json", R"({"zones": )" + list + "}"));
}

const std::string kIslandsText =
    R"({"zone": "islands", "within": [{"latitude_deg": [18.5, 22.5], "longitude_deg": [-161, -154.5]}]})";

const Zones& near_far_islands() {
    static const Zones all = zones(
        R"([{"zone": "near", "up_to_km": 400}, {"zone": "far", "up_to_km": 1500}, )" + kIslandsText + "]");
    return all;
}
constexpr std::size_t kNear = 0;
constexpr std::size_t kFar = 1;
constexpr std::size_t kIslands = 2;

/// Not sold to the islands, nor above 5 kg.
Price table() {
    Price price;
    price.dimensional_kg_per_m3 = 200;
    price.mass_up_to_kg = {0.3, 1, 2, 5};
    price.usd_by_zone = {{20, 22, 26, 38}, {30, 33, 40, 60}, {}};
    return price;
}

double usd(const Price& price, std::size_t zone, double mass_kg, double volume_m3 = 0) {
    return std::get<double>(carriage_usd(price, zone, mass_kg, volume_m3));
}

std::string refusal(const std::variant<std::size_t, NotSold>& sold) {
    const auto* none = std::get_if<NotSold>(&sold);
    return none == nullptr ? "" : none->reason;
}

std::string refusal(const std::variant<double, NotSold>& sold) {
    const auto* none = std::get_if<NotSold>(&sold);
    return none == nullptr ? "" : none->reason;
}

/// 1 to 6 steps up to some 30 kg and one row, both rising; every other table goes on beyond the last step.
Price random_table(std::mt19937& random) {
    std::uniform_real_distribution<double> share(0, 1);
    Price price;
    price.dimensional_kg_per_m3 = 300 * share(random);
    price.usd_by_zone.emplace_back();
    double step_kg = 0;
    double step_usd = 40 * share(random);
    const int steps = 1 + static_cast<int>(5.99 * share(random));
    for (int i = 0; i < steps; ++i) {
        price.mass_up_to_kg.push_back(step_kg += 0.05 + 5 * share(random));
        price.usd_by_zone[0].push_back(step_usd += 30 * share(random));
    }
    if (share(random) < 0.5) price.per_kg_above_usd = 8 * share(random);
    return price;
}

}  // namespace

TEST_CASE("A destination lies in the nearest distance that reaches it") {
    CHECK(near_far_islands().find(kDuluth, kDuluth) == kNear);
    CHECK(near_far_islands().find(kDuluth, kMinneapolis) == kNear);
    CHECK(near_far_islands().find(kDuluth, kChicago) == kFar);
}

TEST_CASE("A destination beyond all distances and outside all rectangles lies in no zone") {
    CHECK_FALSE(near_far_islands().find(kDuluth, kSacramento));
    CHECK_FALSE(zones("[" + kIslandsText + "]").find(kHonolulu, kSacramento));
    CHECK_FALSE(Zones{}.find(kDuluth, kDuluth));
}

TEST_CASE("A destination exactly as far as a zone reaches lies in it") {
    const double away_km = distance_km(kDuluth, kMinneapolis);
    const auto just_reaching = zones(fmt::format(R"([{{"zone": "a", "up_to_km": {}}}])", away_km));
    const auto too_short = zones(fmt::format(R"([{{"zone": "a", "up_to_km": {}}}])", away_km - 1e-6));
    CHECK(just_reaching.find(kDuluth, kMinneapolis) == 0);
    CHECK_FALSE(too_short.find(kDuluth, kMinneapolis));
}

TEST_CASE("A rectangle goes before a distance wherever it stands in the file") {
    CHECK(near_far_islands().find(kHilo, kHonolulu) == kIslands);  // 339 km, near by distance
    CHECK(zones("[" + kIslandsText + R"(, {"zone": "near", "up_to_km": 400}])").find(kHilo, kHonolulu) == 0);
}

TEST_CASE("Of rectangles that overlap the first in the file counts") {
    const Zones overlapping = zones(
        R"([{"zone": "small", "within": [{"latitude_deg": [21, 22], "longitude_deg": [-159, -157]}]}, )" +
        kIslandsText + "]");
    CHECK(overlapping.find(kDuluth, kHonolulu) == 0);
    CHECK(overlapping.find(kDuluth, kHilo) == 1);
}

TEST_CASE("Any rectangle of a zone will do edges included") {
    const Zones two = zones(R"([{"zone": "two", "within": [
        {"latitude_deg": [10, 20], "longitude_deg": [-70, -60]},
        {"latitude_deg": [50, 60], "longitude_deg": [170, 180]}]}])");
    const auto is_in = [&](double latitude_deg, double longitude_deg) {
        return two.find(kDuluth, {"there", latitude_deg, longitude_deg, ""}).has_value();
    };
    CHECK(is_in(15, -65));
    CHECK(is_in(55, 175));
    CHECK(is_in(10, -70));
    CHECK(is_in(20, -60));
    CHECK_FALSE(is_in(9.999, -65));
    CHECK_FALSE(is_in(20.001, -65));
    CHECK_FALSE(is_in(15, -70.001));
    CHECK_FALSE(is_in(15, -59.999));
    CHECK_FALSE(is_in(15, 175));  // latitude of one, longitude of the other
}

TEST_CASE("A service is sold to the zones that have prices") {
    CHECK(std::get<std::size_t>(zone_for(table(), near_far_islands(), kDuluth, kMinneapolis)) == kNear);
    CHECK(std::get<std::size_t>(zone_for(table(), near_far_islands(), kDuluth, kChicago)) == kFar);
}

TEST_CASE("A zone that is not sold to is named") {
    CHECK(refusal(zone_for(table(), near_far_islands(), kDuluth, kHonolulu)) ==
          "not sold to Honolulu HI (zone 'islands')");
}

TEST_CASE("A destination beyond all zones is told how far it is") {
    // a quarter of a meridian of WGS 84 is 10001.966 km
    CHECK(refusal(zone_for(table(), near_far_islands(), {"equator", 0, 0, ""}, {"the pole", 90, 0, ""})) ==
          "not sold to the pole: 10002 km from the counter, the farthest zone ends at 1500 km");
}

TEST_CASE("A destination a little beyond the last zone does not read as if it were within") {
    // a degree of the equator is 111.319 km
    Price price = table();
    price.usd_by_zone.resize(1);
    CHECK(refusal(zone_for(price, zones(R"([{"zone": "all", "up_to_km": 111}])"), {"equator", 0, 0, ""},
                           {"a degree east", 0, 1, ""})) ==
          "not sold to a degree east: 112 km from the counter, the farthest zone ends at 111 km");
}

TEST_CASE("Where no zone goes by distance none is told") {
    const Zones islands = zones("[" + kIslandsText + "]");
    Price price = table();
    price.usd_by_zone = {{20, 22, 26, 38}};
    CHECK(refusal(zone_for(price, islands, kHilo, kChicago)) ==
          "not sold to Chicago IL: it lies in none of the carrier's zones");
}

TEST_CASE("A flat price is sold anywhere whatever the zones") {
    Price flat;
    flat.base_usd = 38;
    CHECK(refusal(zone_for(flat, near_far_islands(), kDuluth, kSacramento)).empty());
    CHECK(refusal(zone_for(flat, Zones{}, kDuluth, kHonolulu)).empty());
}

TEST_CASE("A box of 40 by 30 by 20 cm is billed as 4.8 kg by a divisor of 5000 cm3 for each kg") {
    Price price;
    price.dimensional_kg_per_m3 = 1e6 / 5000;
    CHECK(billed_mass_kg(price, 2.1, 0.40 * 0.30 * 0.20) == Approx(4.8).margin(1e-12));  // 24000 / 5000
    CHECK(billed_mass_kg(price, 5.3, 0.40 * 0.30 * 0.20) == 5.3);
}

TEST_CASE("Without a dimensional weight the mass alone is billed") {
    CHECK(billed_mass_kg(Price{}, 0.4, 1.0) == 0.4);
}

TEST_CASE("Law - a parcel is never billed below its mass or its dimensional weight") {
    std::mt19937 random(5);
    std::uniform_real_distribution<double> share(0, 1);
    for (int i = 0; i < 2000; ++i) {
        Price price;
        price.dimensional_kg_per_m3 = i % 4 == 0 ? 0 : 400 * share(random);
        const double mass_kg = 10 * share(random);
        const double volume_m3 = 0.1 * share(random);
        const double billed_kg = billed_mass_kg(price, mass_kg, volume_m3);
        INFO("case " << i);
        CHECK(billed_kg >= mass_kg);
        CHECK(billed_kg >= volume_m3 * price.dimensional_kg_per_m3);
    }
}

TEST_CASE("A flat price is the base and so much for each kg billed") {
    Price flat;
    flat.base_usd = 38;
    flat.per_kg_usd = 4.4;
    flat.dimensional_kg_per_m3 = 200;
    CHECK(usd(flat, 0, 2, 0) == Approx(46.8).margin(1e-9));
    CHECK(usd(flat, 0, 2, 0.024) == Approx(59.12).margin(1e-9));  // 38 + 4.4 x 4.8
}

TEST_CASE("A mass between two steps costs as much as the upper one by zone") {
    CHECK(usd(table(), kNear, 0.01) == 20);
    CHECK(usd(table(), kNear, 0.31) == 22);
    CHECK(usd(table(), kFar, 0.31) == 33);
    CHECK(usd(table(), kNear, 4.99) == 38);
    CHECK(usd(table(), kNear, 0.2, 0.0101) == 38);  // billed as 2.02 kg
}

TEST_CASE("A mass of exactly a step belongs to it and so does what adding up made of it") {
    const double added_up_kg = 0.1 + 0.2;
    REQUIRE(added_up_kg > 0.3);
    CHECK(usd(table(), kNear, 0.3) == 20);
    CHECK(usd(table(), kNear, added_up_kg) == 20);
    CHECK(usd(table(), kNear, 1 + 1e-12) == 22);
    CHECK(usd(table(), kNear, 5 + 1e-12) == 38);
}

TEST_CASE("A gram above a step costs the next one") {
    CHECK(usd(table(), kNear, 0.301) == 22);
    CHECK(usd(table(), kNear, 2.001) == 38);
}

TEST_CASE("A parcel above the last step is not sold") {
    CHECK(refusal(carriage_usd(table(), kNear, 7.2, 0)) ==
          "a parcel billed at 7.2 kg is above the 5 kg of the price list");
    CHECK(refusal(carriage_usd(table(), kNear, 1, 0.036)) ==  // by volume
          "a parcel billed at 7.2 kg is above the 5 kg of the price list");
}

TEST_CASE("A parcel a gram above the last step does not read as if it were within") {
    CHECK(refusal(carriage_usd(table(), kNear, 5.001, 0)) ==
          "a parcel billed at 5.01 kg is above the 5 kg of the price list");
}

TEST_CASE("Beyond the last step each kg begun is charged") {
    Price price = table();
    price.per_kg_above_usd = 4;
    CHECK(usd(price, kNear, 5) == 38);
    CHECK(usd(price, kNear, 5.001) == 42);
    CHECK(usd(price, kNear, 6) == 42);
    CHECK(usd(price, kFar, 7.2) == 72);  // three kg begun
}

TEST_CASE("What adding up made of a whole kg beyond the last step begins no further kg") {
    Price price = table();
    price.per_kg_above_usd = 4;
    CHECK(usd(price, kNear, 5 + 1e-12) == 38);
    CHECK(usd(price, kNear, 6 + 1e-12) == 42);
}

TEST_CASE("Law - where rows rise the price never falls with the mass and once not sold stays so") {
    std::mt19937 random(11);
    for (int i = 0; i < 300; ++i) {
        const Price price = random_table(random);
        std::uniform_real_distribution<double> mass_kg(0, 1.3 * price.mass_up_to_kg.back());
        std::vector<double> masses_kg = price.mass_up_to_kg;  // the steps themselves too
        for (int k = 0; k < 40; ++k) masses_kg.push_back(mass_kg(random));
        std::sort(masses_kg.begin(), masses_kg.end());
        double before_usd = 0;
        bool refused = false;
        for (const double mass : masses_kg) {
            INFO("table " << i << ", " << mass << " kg");
            const auto carriage = carriage_usd(price, 0, mass, 0.01);
            const auto* now_usd = std::get_if<double>(&carriage);
            if (now_usd == nullptr) {
                refused = true;
                continue;
            }
            CHECK_FALSE(refused);
            CHECK(*now_usd >= before_usd);
            before_usd = *now_usd;
        }
    }
}
