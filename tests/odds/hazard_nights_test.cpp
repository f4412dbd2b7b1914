// A bad night at a hub burdens the nights after it.
#include "mildway/odds/hazards.hpp"

#include "catch.hpp"
#include "hazard_scene.hpp"

#include <string>

using namespace mildway;
using namespace mildway::odds;
using namespace mildway::testing;
using transit::LateOdds;
using transit::Role;

namespace {

// the trip is at the hub in the night of 3 March, 04:15Z to 13:00Z of the 4th with the margins
const char* const kNightBefore = "2027-03-03T08:00:00Z";
const char* const kTwoNightsBefore = "2027-03-02T08:00:00Z";

const LateOdds kStormy = mix_hazard(kBase, 1, 10, 0.3);
const double kExcess = kStormy.late() - kBase.late();

HazardousOdds after_thunder(const char* hour) {
    Scene scene;
    at_hour(scene.hub, scene.hub.outlook.thunder_probability, hour) = 1;
    return scene.odds(rules(rule("it", kThunder)));
}

/// The forecast begins at that hour; what went before is gone.
void begin(weather::PlaceOutlook& place, const char* first_hour) {
    place.outlook.first_hour = at(first_hour);
}

}  // namespace

TEST_CASE("half of what a night makes late burdens the next") {
    const HazardousOdds out = after_thunder(kNightBefore);
    CHECK(out.odds.late() == Approx(kBase.late() + 0.5 * kExcess).margin(1e-12));
    CHECK(out.odds.more_days ==
          Approx(kBase.more_days + 0.5 * (kStormy.more_days - kBase.more_days)).margin(1e-12));
}

TEST_CASE("a quarter of it burdens the third night") {
    CHECK(after_thunder(kTwoNightsBefore).odds.late() == Approx(kBase.late() + 0.25 * kExcess).margin(1e-12));
}

TEST_CASE("three nights later nothing is left") {
    Scene scene;
    begin(scene.hub, "2027-02-28T12:00:00Z");
    at_hour(scene.hub, scene.hub.outlook.thunder_probability, "2027-03-01T08:00:00Z") = 1;
    const HazardousOdds out = scene.odds(rules(rule("it", kThunder)));
    CHECK(out.odds.late() == kBase.late());
    CHECK(out.unknown.empty());
}

TEST_CASE("what earlier nights left is added to what the night itself does") {
    Scene scene;
    for (const char* hour : {kTwoNightsBefore, kNightBefore, "2027-03-04T08:00:00Z"})
        at_hour(scene.hub, scene.hub.outlook.thunder_probability, hour) = 1;
    const HazardousOdds out = scene.odds(rules(rule("it", kThunder)));
    CHECK(out.odds.late() == Approx(kStormy.late() + 0.75 * kExcess).margin(1e-12));
}

TEST_CASE("however bad the last nights a tenth of the parcels get through") {
    Scene scene;
    scene.hub.outlook.thunder_probability.assign(kHours, 1);
    const HazardousOdds out = scene.odds(rules(rule("it", kThunder, 1000)), {0.3, 0.1});
    CHECK(out.odds.late() == Approx(0.9).margin(1e-12));
    CHECK(out.odds.one_day >= 0);
    CHECK(out.odds.more_days >= 0);
}

TEST_CASE("weather at the ends leaves nothing behind") {
    Scene scene;
    at_hour(scene.counter, scene.counter.outlook.thunder_probability, "2027-03-03T01:00:00Z") = 1;
    at_hour(scene.destination, scene.destination.outlook.thunder_probability, "2027-03-03T13:00:00Z") = 1;
    CHECK(scene.odds(rules(rule("it", kThunder, 10, "ends"))).odds.late() == kBase.late());
}

TEST_CASE("what a night left behind is told with its date") {
    Scene scene;
    at_hour(scene.hub, scene.hub.outlook.snow_mm_per_h, kNightBefore) = 190;
    const HazardousOdds out = scene.odds(rules(rule("it", kSnow)));
    REQUIRE(out.found.size() == 1);
    // the night itself: 23 in 100, as told of such a night; half of what is above 3.5
    CHECK(out.found[0].text ==
          "foul weather at St. Louis MO in the night of Tue 2 Mar still holds parcels up: 13 in 100 parcels "
          "late instead of 3.5");
    CHECK(out.found[0].nights_before == 1);
    CHECK(out.found[0].chance == Approx(0.8413).margin(1e-4));
}

TEST_CASE("the hazard that is told of an earlier night is the one that made most parcels late") {
    Scene scene;
    at_hour(scene.hub, scene.hub.outlook.thunder_probability, kNightBefore) = 1;
    const std::string small = rule("small", kThunder, 3);
    const std::string large = rule("large", kThunder, 9);
    const HazardousOdds out = scene.odds(rules(GENERATE_COPY(small + "," + large, large + "," + small)));
    REQUIRE(out.found.size() == 1);
    CHECK(out.found[0].id == "large");
}

TEST_CASE("a hazard of the night itself has no nights before") {
    REQUIRE(after_thunder("2027-03-04T08:00:00Z").found.size() == 1);
    CHECK(after_thunder("2027-03-04T08:00:00Z").found[0].nights_before == 0);
}

TEST_CASE("nights before the forecast begins are told as unknown once and are no unknown winter") {
    Scene scene;
    begin(scene.hub, "2027-03-03T14:00:00Z");
    const HazardousOdds out = scene.odds(rules(rule("one", kSnow) + "," + rule("two", kThunder)));
    REQUIRE(out.unknown.size() == 1);
    CHECK(out.unknown[0].what == "what the last nights left behind");
    CHECK(out.unknown[0].text == "what the last nights left behind at St. Louis MO is not known");
    CHECK_FALSE(out.winter_unknown);
    CHECK(out.odds.late() == kBase.late());
}

TEST_CASE("of a night that is partly past the hours that are known count") {
    Scene scene;
    begin(scene.hub, "2027-03-03T06:00:00Z");
    at_hour(scene.hub, scene.hub.outlook.thunder_probability, kNightBefore) = 1;
    const HazardousOdds out = scene.odds(rules(rule("it", kThunder)));
    CHECK(out.odds.late() > kBase.late());
    REQUIRE(out.unknown.size() == 1);
    CHECK(out.unknown[0].what == "what the last nights left behind");
}

TEST_CASE("without rules for hubs nobody asks what the last nights left behind") {
    Scene scene;
    begin(scene.hub, "2027-03-03T14:00:00Z");
    CHECK(scene.odds(rules(rule("it", kSnow, 10, "ends"))).unknown.empty());
}

TEST_CASE("an hour of an earlier night that nobody forecasts is unknown") {
    Scene scene;
    at_hour(scene.hub, scene.hub.outlook.snow_mm_per_h, kNightBefore) = kUnknown;
    const HazardousOdds out = scene.odds(rules(rule("it", kSnow)));
    REQUIRE(out.unknown.size() == 1);
    CHECK(out.unknown[0].text ==
          "whether it snows at St. Louis MO in the night of Tue 2 Mar is not forecast; the ordinary odds are "
          "used");
}

TEST_CASE("unknown snow of an earlier night matters when it would leave one parcel in twenty late") {
    Scene scene;
    at_hour(scene.hub, scene.hub.outlook.snow_mm_per_h, kNightBefore) = kUnknown;
    // odds times 10: 26.6 in 100 late, half of what is above 3.5 is 11.6; times 2.5: 8.3, and 2.4
    CHECK(scene.odds(rules(rule("it", kSnow, 10))).winter_unknown);
    CHECK_FALSE(scene.odds(rules(rule("it", kSnow, 2.5))).winter_unknown);
}

TEST_CASE("unknown snow of an earlier night does not matter in the warm") {
    Scene scene;
    at_hour(scene.hub, scene.hub.outlook.snow_mm_per_h, kNightBefore) = kUnknown;
    scene.hub.outlook.temp_c[0].assign(kHours, 4.1);
    const HazardousOdds out = scene.odds(rules(rule("it", kSnow)));
    CHECK(out.unknown.empty());
    CHECK_FALSE(out.winter_unknown);
}

TEST_CASE("a layer that is missing in all three nights is one unknown") {
    Scene scene;
    scene.hub.outlook.gust_m_per_s.clear();
    CHECK(scene.odds(rules(rule("it", kGust))).unknown.size() == 1);
}

TEST_CASE("a fall of snow in a long stay at the hub counts once") {
    Scene scene;
    scene.trip.legs[3].end += hours(48);  // over a weekend; the earlier nights end where the stay begins
    for (std::size_t leg = 4; leg < scene.trip.legs.size(); ++leg) {
        scene.trip.legs[leg].start += hours(48);
        scene.trip.legs[leg].end += hours(48);
    }
    at_hour(scene.hub, scene.hub.outlook.thunder_probability, "2027-03-05T08:00:00Z") = 1;
    const HazardousOdds out = scene.odds(rules(rule("it", kThunder)));
    CHECK(out.odds.late() == Approx(kStormy.late()).margin(1e-12));
    CHECK(out.found.size() == 1);
}
