// Parcels that weather makes late wait where the weather is.
#include "mildway/odds/hazards.hpp"

#include "catch.hpp"
#include "hazard_scene.hpp"

#include <numeric>
#include <vector>

using namespace mildway;
using namespace mildway::odds;
using namespace mildway::testing;
using transit::Role;

namespace {

// of night_service(): at the hub, at the counter, at the airport and in the van of the destination
enum : std::size_t { kAtHub, kAtCounter, kAtAirport, kInVan };

const double kStormy = mix_hazard(kBase, 1, 10, 0.3).late();
/// Of late parcels, the part that would be late anyway when odds are ten times as high.
const double kAnyway = kBase.late() / kStormy;

std::vector<double> shares_after(Scene& scene, weather::PlaceOutlook Scene::*place, const char* hour) {
    at_hour(scene.*place, (scene.*place).outlook.thunder_probability, hour) = 1;
    return scene.odds(rules(rule("hub", kThunder) + "," + rule("ends", kThunder, 10, "ends"))).wait_shares;
}

double sum(const std::vector<double>& shares) {
    return std::accumulate(shares.begin(), shares.end(), 0.0);
}

}  // namespace

TEST_CASE("without hazards late parcels wait where the service says") {
    CHECK(Scene{}.odds(rules(rule("it", kThunder))).wait_shares == std::vector{0.5, 0.2, 0.1, 0.2});
}

TEST_CASE("what a hazard at the hub makes late waits at the hub") {
    Scene scene;
    const auto shares = shares_after(scene, &Scene::hub, "2027-03-04T06:00:00Z");
    CHECK(shares[kAtHub] == Approx(kAnyway * 0.5 + (1 - kAnyway)).margin(1e-12));
    CHECK(shares[kAtCounter] == Approx(kAnyway * 0.2).margin(1e-12));
    CHECK(sum(shares) == Approx(1).margin(1e-12));
}

TEST_CASE("what the night before left behind waits at the hub") {
    Scene scene;
    const auto shares = shares_after(scene, &Scene::hub, "2027-03-03T06:00:00Z");
    const double anyway = kBase.late() / (kBase.late() + 0.5 * (kStormy - kBase.late()));
    CHECK(shares[kAtHub] == Approx(anyway * 0.5 + (1 - anyway)).margin(1e-12));
}

TEST_CASE("what a hazard at the counter makes late waits at the counter") {
    Scene scene;
    const auto shares = shares_after(scene, &Scene::counter, "2027-03-04T01:00:00Z");
    CHECK(shares[kAtCounter] == Approx(kAnyway * 0.2 + (1 - kAnyway)).margin(1e-12));
}

TEST_CASE("what a hazard at the destination makes late waits there as the service's parcels do") {
    Scene scene;
    const auto shares = shares_after(scene, &Scene::destination, "2027-03-04T13:00:00Z");
    CHECK(shares[kAtAirport] == Approx(kAnyway * 0.1 + (1 - kAnyway) / 3).margin(1e-12));
    CHECK(shares[kInVan] == Approx(kAnyway * 0.2 + (1 - kAnyway) * 2 / 3).margin(1e-12));
    CHECK(sum(shares) == Approx(1).margin(1e-12));
}

TEST_CASE("where no parcel of the service waits at the place all waits take their part") {
    Scene scene;
    scene.service.waits = {{2, 0.7, 0, "at the hub"}, {4, 0.3, 0, "in the van"}};
    const auto shares = shares_after(scene, &Scene::counter, "2027-03-04T01:00:00Z");
    CHECK(shares[0] == Approx(0.7).margin(1e-12));
    CHECK(shares[1] == Approx(0.3).margin(1e-12));
}

TEST_CASE("a leg that ends on the way is a wait at no place") {
    Scene scene;
    scene.service.legs[3].stretch.to_share = 0.5;  // what was the airport stands on the road now
    const auto shares = shares_after(scene, &Scene::destination, "2027-03-04T13:00:00Z");
    CHECK(shares[kAtAirport] == Approx(kAnyway * 0.1).margin(1e-12));
    CHECK(shares[kInVan] == Approx(kAnyway * 0.2 + (1 - kAnyway)).margin(1e-12));
}

TEST_CASE("hazards at several places each add to their own") {
    Scene scene;
    at_hour(scene.hub, scene.hub.outlook.thunder_probability, "2027-03-04T06:00:00Z") = 1;
    const auto shares = shares_after(scene, &Scene::destination, "2027-03-04T13:00:00Z");
    const double all = mix_hazard(mix_hazard(kBase, 1, 10, 0.3), 1, 10, 0.3).late();
    CHECK(shares[kAtHub] == Approx((kBase.late() * 0.5 + (kStormy - kBase.late())) / all).margin(1e-12));
    CHECK(shares[kInVan] == Approx((kBase.late() * 0.2 + (all - kStormy) * 2 / 3) / all).margin(1e-12));
    CHECK(sum(shares) == Approx(1).margin(1e-12));
}

TEST_CASE("a service that is never late keeps its shares") {
    Scene scene;
    scene.hub.outlook.thunder_probability.assign(kHours, 1);
    CHECK(scene.odds(rules(rule("it", kThunder)), {0, 0}).wait_shares == std::vector{0.5, 0.2, 0.1, 0.2});
}
