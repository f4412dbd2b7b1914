#include "mildway/odds/hazards.hpp"

#include "catch.hpp"
#include "hazard_scene.hpp"

#include <string>

using namespace mildway;
using namespace mildway::odds;
using namespace mildway::testing;
using transit::LateOdds;
using transit::Role;

TEST_CASE("a hazard without a chance leaves the odds untouched to the bit") {
    const LateOdds out = mix_hazard(kBase, 0, 30, 0.9);
    CHECK(out.one_day == kBase.one_day);
    CHECK(out.more_days == kBase.more_days);
}

TEST_CASE("a quiet mild night has no hazards") {
    Scene scene;
    for (auto* place : {&scene.counter, &scene.hub, &scene.destination})
        place->outlook.temp_c[0].assign(kHours, 15);
    const auto all = HazardRules::read(ConfigNode::load(MILDWAY_SOURCE_DIR "/config/hazards.json"));
    const HazardousOdds out = scene.odds(all);
    CHECK(out.odds.late() == Approx(kBase.late()).margin(1e-15));
    CHECK(out.found.empty());
    CHECK(out.unknown.empty());
}

TEST_CASE("a certain hazard multiplies the odds of being late") {
    const LateOdds out = mix_hazard({0.08, 0.02}, 1, 9, 0.4);
    CHECK(out.late() == Approx(0.5).margin(1e-12));  // odds 1/9 times 9
    CHECK(out.more_days == Approx(0.2).margin(1e-12));
}

TEST_CASE("an uncertain hazard counts by its chance") {
    const LateOdds out = mix_hazard({0.08, 0.02}, 0.25, 9, 0.4);
    CHECK(out.late() == Approx(0.75 * 0.1 + 0.25 * 0.5).margin(1e-12));
    CHECK(out.more_days == Approx(0.75 * 0.02 + 0.25 * 0.2).margin(1e-12));
}

TEST_CASE("a hazard never takes days off parcels that are late anyway") {
    const transit::LateOdds mostly_two_days{0.01, 0.03};
    CHECK(mix_hazard(mostly_two_days, 1, 2, 0.15).more_days >= mostly_two_days.more_days);
}

TEST_CASE("a likelier or worse hazard never makes parcels more punctual") {
    double before = 0;
    for (int step = 0; step <= 20; ++step) {
        const double now = mix_hazard(kBase, step / 20.0, 12, 0.3).late();
        CHECK(now >= before);
        before = now;
    }
    before = 0;
    for (const double factor : {1.0, 1.5, 2.0, 7.0, 30.0, 1000.0}) {
        const double now = mix_hazard(kBase, 0.6, factor, 0.3).late();
        CHECK(now >= before);
        before = now;
    }
}

TEST_CASE("however bad the weather a tenth of the parcels get through") {
    CHECK(mix_hazard({0.5, 0.3}, 1, 1000, 0.5).late() == Approx(0.9).margin(1e-12));
    CHECK(mix_hazard({0.6, 0.3}, 1, 1000, 0.5).late() == Approx(0.9).margin(1e-12));
}

TEST_CASE("a service that is never late has no odds to multiply") {
    CHECK(mix_hazard({0, 0}, 1, 30, 0.5).late() == 0);
}

TEST_CASE("of one group only the most consequential hazard counts") {
    Scene scene;
    at_hour(scene.hub, scene.hub.outlook.thunder_probability, "2027-03-04T06:00:00Z") = 1;
    const HazardRules both = rules(rule("mild", kThunder + R"(, "group": "storm")", 2) + "," +
                                   rule("wild", kThunder + R"(, "group": "storm")", 6));
    const HazardousOdds out = scene.odds(both);
    REQUIRE(out.found.size() == 1);
    CHECK(out.found[0].id == "wild");
    CHECK(out.odds.late() == Approx(mix_hazard(kBase, 1, 6, 0.3).late()).margin(1e-12));
}

TEST_CASE("an unlikely bad hazard gives way to a likely lesser one that makes more parcels late") {
    Scene scene;
    at_hour(scene.hub, scene.hub.outlook.snow_mm_per_h, "2027-03-04T06:00:00Z") = 20;
    const HazardRules both =
        rules(rule("heavy", R"("kind": "snow", "above_mm": 300, "group": "winter")", 12) + "," +
              rule("light", R"("kind": "snow", "above_mm": 5, "group": "winter")", 3));
    const HazardousOdds out = scene.odds(both);
    REQUIRE(out.found.size() == 1);
    CHECK(out.found[0].id == "light");
}

TEST_CASE("hazards of two groups come one after the other") {
    Scene scene;
    at_hour(scene.hub, scene.hub.outlook.thunder_probability, "2027-03-04T06:00:00Z") = 1;
    const HazardousOdds out = scene.odds(rules(rule("one", kThunder, 2) + "," + rule("two", kThunder, 3)));
    CHECK(out.found.size() == 2);
    CHECK(out.odds.late() ==
          Approx(mix_hazard(mix_hazard(kBase, 1, 2, 0.3), 1, 3, 0.3).late()).margin(1e-12));
}

TEST_CASE("a rule for the ends looks at both") {
    Scene scene;
    const HazardRules ends = rules(rule("blow", kGust, 10, "ends"));
    at_hour(scene.counter, scene.counter.outlook.gust_m_per_s, "2027-03-04T01:00:00Z") = 40;
    at_hour(scene.destination, scene.destination.outlook.gust_m_per_s, "2027-03-04T13:00:00Z") = 40;
    const HazardousOdds out = scene.odds(ends);
    REQUIRE(out.found.size() == 2);
    CHECK(out.found[0].role == Role::origin);
    CHECK(out.found[1].role == Role::destination);
}

TEST_CASE("the hub counts from three hours before the parcel comes to three after it leaves") {
    // there from 07:15Z to 10:00Z: hours from 04:00Z to 12:00Z are asked about
    const auto [hour, counts] = GENERATE(table<const char*, bool>({{"2027-03-04T03:00:00Z", false},
                                                                   {"2027-03-04T04:00:00Z", true},
                                                                   {"2027-03-04T12:00:00Z", true},
                                                                   {"2027-03-04T13:00:00Z", false}}));
    Scene scene;
    at_hour(scene.hub, scene.hub.outlook.thunder_probability, hour) = 1;
    INFO(hour);
    CHECK(scene.odds(rules(rule("it", kThunder))).found.empty() != counts);
}

TEST_CASE("the origin counts from the hand-over until the parcel leaves") {
    const auto [hour, counts] = GENERATE(table<const char*, bool>({{"2027-03-03T22:00:00Z", false},
                                                                   {"2027-03-03T23:00:00Z", true},
                                                                   {"2027-03-04T03:00:00Z", true},
                                                                   {"2027-03-04T04:00:00Z", false}}));
    Scene scene;
    at_hour(scene.counter, scene.counter.outlook.thunder_probability, hour) = 1;
    INFO(hour);
    CHECK(scene.odds(rules(rule("it", kThunder, 10, "origin"))).found.empty() != counts);
}

TEST_CASE("weather at the home of the breeder does not hold up the carrier") {
    Scene scene;
    scene.home.outlook.thunder_probability.assign(kHours, 1);
    CHECK(scene.odds(rules(rule("it", kThunder, 10, "origin"))).found.empty());
}

TEST_CASE("the destination counts from arrival until the parcel is taken in") {
    const auto [hour, counts] = GENERATE(table<const char*, bool>({{"2027-03-04T10:00:00Z", false},
                                                                   {"2027-03-04T11:00:00Z", true},
                                                                   {"2027-03-04T15:00:00Z", true},
                                                                   {"2027-03-04T16:00:00Z", false}}));
    Scene scene;
    at_hour(scene.destination, scene.destination.outlook.thunder_probability, hour) = 1;
    INFO(hour);
    CHECK(scene.odds(rules(rule("it", kThunder, 10, "destination"))).found.empty() != counts);
}

TEST_CASE("a service that does not touch the hub has no hazards there") {
    Scene scene;
    scene.hub.outlook.thunder_probability.assign(kHours, 1);
    scene.trip.legs.erase(scene.trip.legs.begin() + 3);
    scene.trip.legs[2].stretch.to = Role::destination;
    scene.trip.legs.erase(scene.trip.legs.begin() + 3);
    const HazardousOdds out = scene.odds(rules(rule("it", kThunder)));
    CHECK(out.found.empty());
    CHECK(out.odds.late() == kBase.late());
}

TEST_CASE("a rule holds only between its latitudes") {
    Scene scene;
    at_hour(scene.hub, scene.hub.outlook.thunder_probability, "2027-03-04T06:00:00Z") = 1;
    const HazardRules two = rules(rule("south", kThunder + R"(, "latitude_below_deg": 37)") + "," +
                                  rule("north", kThunder + R"(, "latitude_from_deg": 37)"));
    REQUIRE(scene.odds(two).found.size() == 1);
    CHECK(scene.odds(two).found[0].id == "north");
    scene.hub.place.latitude_deg = -35;  // as far from the equator on the other side
    CHECK(scene.odds(two).found[0].id == "south");
}

TEST_CASE("snow that nobody forecasts is unknown and never none") {
    Scene scene;
    at_hour(scene.hub, scene.hub.outlook.snow_mm_per_h, "2027-03-04T08:00:00Z") = kUnknown;
    const HazardousOdds out = scene.odds(rules(rule("it", kSnow)));
    REQUIRE(out.unknown.size() == 1);
    CHECK(out.unknown[0].text ==
          "whether it snows at St. Louis MO in the night of Wed 3 Mar is not forecast; the ordinary odds are "
          "used");
    CHECK(out.winter_unknown);
    CHECK(out.odds.one_day == kBase.one_day);
}

TEST_CASE("a layer that the source does not have at all is unknown") {
    Scene scene;
    scene.hub.outlook.gust_m_per_s.clear();
    const HazardousOdds out = scene.odds(rules(rule("it", kGust)));
    CHECK(out.unknown.size() == 1);
    CHECK_FALSE(out.winter_unknown);
}

TEST_CASE("hours outside the window need not be known") {
    Scene scene;
    at_hour(scene.hub, scene.hub.outlook.snow_mm_per_h, "2027-03-04T14:00:00Z") = kUnknown;
    CHECK(scene.odds(rules(rule("it", kSnow))).unknown.empty());
}

TEST_CASE("two rules that lack the same layer are one unknown") {
    Scene scene;
    scene.hub.outlook.snow_mm_per_h.clear();
    CHECK(scene.odds(rules(rule("one", kSnow) + "," + rule("two", kSnow))).unknown.size() == 1);
}

TEST_CASE("where it is too warm for snow it does not matter that none is forecast") {
    Scene scene;
    scene.hub.outlook.snow_mm_per_h.clear();
    scene.hub.outlook.temp_c[0].assign(kHours, 4.1);
    CHECK_FALSE(scene.odds(rules(rule("it", kSnow))).winter_unknown);
    scene.hub.outlook.temp_c[0].assign(kHours, 3.9);
    CHECK(scene.odds(rules(rule("it", kSnow))).winter_unknown);
}

TEST_CASE("a temperature of the climate must be further from frost to rule out snow") {
    Scene scene;
    scene.hub.outlook.snow_mm_per_h.clear();
    scene.hub.outlook.temp_c[0].assign(kHours, 4.5);  // a spring low strays by 4.6 K
    scene.hub.outlook.basis = weather::Basis::climate;
    CHECK(scene.odds(rules(rule("it", kSnow))).winter_unknown);
}

TEST_CASE("an unknown temperature does not rule out snow") {
    Scene scene;
    scene.hub.outlook.snow_mm_per_h.clear();
    scene.hub.outlook.temp_c[0].assign(kHours, kUnknown);
    CHECK(scene.odds(rules(rule("it", kSnow))).winter_unknown);
}

TEST_CASE("hours that are forecast count beside hours that are not") {
    Scene scene;
    at_hour(scene.hub, scene.hub.outlook.snow_mm_per_h, "2027-03-04T05:00:00Z") = 190;
    at_hour(scene.hub, scene.hub.outlook.snow_mm_per_h, "2027-03-04T08:00:00Z") = kUnknown;
    const HazardousOdds out = scene.odds(rules(rule("it", kSnow)));
    CHECK(out.found.size() == 1);
    CHECK(out.winter_unknown);
}

TEST_CASE("warnings nobody was asked for are unknown") {
    Scene scene;
    scene.hub.outlook.alerts_known = false;
    const HazardousOdds out = scene.odds(rules(rule("it", kAlert)));
    REQUIRE(out.unknown.size() == 1);
    CHECK(out.unknown[0].text ==
          "whether there are warnings for St. Louis MO is not known; the ordinary odds are used");
}

TEST_CASE("a hazard is told in parcels out of a hundred") {
    Scene scene;
    at_hour(scene.hub, scene.hub.outlook.snow_mm_per_h, "2027-03-04T05:00:00Z") = 190;
    const HazardousOdds out = scene.odds(rules(rule("it", kSnow)));
    REQUIRE(out.found.size() == 1);
    // odds 0.035 / 0.965 times 10 make 26.6 in 100; 0.841 of that and 0.159 of 3.5
    CHECK(
        out.found[0].text ==
        "foul weather at St. Louis MO in the night of Wed 3 Mar: 84 in 100 likely, 19 cm forecast; 23 in 100 "
        "parcels late instead of 3.5");
    CHECK(out.found[0].chance == Approx(0.8413).margin(1e-4));
}

TEST_CASE("what hardly changes the odds is not told but counts") {
    Scene scene;
    scene.hub.outlook.thunder_probability.assign(kHours, 0.02);
    const HazardousOdds out = scene.odds(rules(rule("it", kThunder, 2)));
    CHECK(out.found.empty());
    CHECK(out.odds.late() > kBase.late());
}

TEST_CASE("a second hub counts like the first in its own hours") {
    const auto [hour, counts] = GENERATE(table<const char*, bool>({{"2027-03-04T08:00:00Z", false},
                                                                   {"2027-03-04T09:00:00Z", true},
                                                                   {"2027-03-04T16:00:00Z", true},
                                                                   {"2027-03-04T17:00:00Z", false}}));
    // after St. Louis the parcel lies in Columbus from 12:00Z to 14:00Z
    Scene scene;
    weather::PlaceOutlook second = quiet({"Columbus OH", 39.96, -83.0, "America/New_York"});
    at_hour(second, second.outlook.thunder_probability, hour) = 1;
    auto& legs = scene.trip.legs;
    legs[4].stretch.to = Role::second_hub;
    legs[4].end = at("2027-03-04T12:00:00Z");
    legs[5].stretch = {Role::second_hub, Role::second_hub};
    legs[5].start = legs[4].end;
    legs[5].end = at("2027-03-04T14:00:00Z");
    const HazardousOdds out = with_hazards(rules(rule("it", kThunder)), scene.service, kBase, scene.trip,
                                           {&scene.home, &scene.counter, &scene.hub, &second, nullptr});
    INFO(hour);
    REQUIRE(out.found.size() == (counts ? 1u : 0u));
    if (counts) CHECK(out.found[0].role == Role::second_hub);
}

TEST_CASE("a stop on the way to a hub is not the hub") {
    // the flight comes down halfway from 05:30Z to 06:30Z: thunder at the hub at 03:00Z is still too early
    Scene scene;
    auto& legs = scene.trip.legs;
    transit::Leg stop = legs[2];
    stop.stretch = {Role::counter, Role::hub, 0.5, 0.5};
    stop.start = at("2027-03-04T05:30:00Z");
    stop.end = at("2027-03-04T06:30:00Z");
    transit::Leg on = legs[2];
    on.stretch.from_share = 0.5;
    on.start = stop.end;
    legs[2].stretch.to_share = 0.5;
    legs[2].end = stop.start;
    legs.insert(legs.begin() + 3, {stop, on});
    at_hour(scene.hub, scene.hub.outlook.thunder_probability, "2027-03-04T03:00:00Z") = 1;
    CHECK(scene.odds(rules(rule("it", kThunder))).found.empty());
    at_hour(scene.hub, scene.hub.outlook.thunder_probability, "2027-03-04T04:00:00Z") = 1;
    CHECK(scene.odds(rules(rule("it", kThunder))).found.size() == 1);
}

TEST_CASE("fog that nobody forecasts is unknown") {
    Scene scene;
    scene.hub.outlook.fog_probability.clear();
    const HazardousOdds out = scene.odds(rules(rule("it", kFog)));
    REQUIRE(out.unknown.size() == 1);
    CHECK(out.unknown[0].what == "fog");
    CHECK_FALSE(out.winter_unknown);
}

TEST_CASE("that no warning is out so far ahead is no news and told once for a place") {
    Scene scene;
    scene.hub.outlook.issued = at("2027-03-01T04:00:00Z");  // 72 h before the window at the hub
    const HazardRules two = rules(rule("one", kAlert) + "," + rule("two", kAlert));
    const HazardousOdds out = scene.odds(two);
    REQUIRE(out.unknown.size() == 1);
    CHECK(out.unknown[0].what == "warnings so far ahead");
    CHECK(out.unknown[0].text ==
          "warnings for St. Louis MO in the night of Wed 3 Mar are not out yet so far ahead");
    scene.hub.outlook.issued = at("2027-03-01T05:00:00Z");
    CHECK(scene.odds(two).unknown.empty());
}

TEST_CASE("a warning that is out far ahead counts and nothing is said of others to come") {
    Scene scene;
    scene.hub.outlook.issued = at("2027-03-01T04:00:00Z");
    weather::Alert alert;
    alert.event = "Blizzard Watch";
    alert.phenomenon = "BZ";
    alert.begins = at("2027-03-04T06:00:00Z");
    scene.hub.outlook.alerts = {alert};
    const HazardousOdds out = scene.odds(rules(rule("it", kAlert)));
    CHECK(out.found.size() == 1);
    CHECK(out.unknown.empty());
}

TEST_CASE("where nobody has warnings none are to come") {
    Scene scene;
    scene.hub.outlook.issued = at("2027-03-01T04:00:00Z");
    scene.hub.outlook.alerts_known = false;
    const HazardousOdds out = scene.odds(rules(rule("it", kAlert)));
    REQUIRE(out.unknown.size() == 1);
    CHECK(out.unknown[0].what == "warnings");
}
