#include "hazard_chance.hpp"

#include "mildway/weather/forecast_error.hpp"

#include "catch.hpp"
#include "hazard_scene.hpp"

#include <string>
#include <vector>

using namespace mildway;
using namespace mildway::odds;
using namespace mildway::testing;

namespace {

/// What the outlook of the hub makes of a rule over the night of the trip.
double chance_at_hub(const Scene& scene, const std::string& fields) {
    const HazardRules one = rules(rule("it", fields));
    const WindowHours night(scene.hub.place, {at("2027-03-04T04:15:00Z"), at("2027-03-04T13:00:00Z")});
    return chance_of(one.all().front(), scene.hub, night).chance;
}

weather::Alert alert(const char* event, const char* phenomenon, const char* begins) {
    weather::Alert out;
    out.event = event;
    out.phenomenon = phenomenon;
    out.begins = at(begins);
    return out;
}

}  // namespace

TEST_CASE("a part of the day runs past midnight") {
    const ClockSpan night{minutes(21 * 60), minutes(5 * 60)};
    CHECK(night.holds(21));
    CHECK(night.holds(0));
    CHECK(night.holds(4.99));
    CHECK_FALSE(night.holds(5));
    CHECK_FALSE(night.holds(20.99));
}

TEST_CASE("a part of the day follows the clocks when they change") {
    // 10:00Z is 04:00 in St. Louis on 13 March 2027 and 05:00 on the 14th, after the change
    const HazardRules night =
        rules(rule("it", kThunder + R"(, "clock_from": "21:00", "clock_until": "05:00")"));
    weather::PlaceOutlook hub = quiet({"St. Louis MO", 38.63, -90.2, "America/Chicago"});
    hub.outlook.first_hour = at("2027-03-13T00:00:00Z");
    const auto chance = [&](const char* thunder_at, const char* from, const char* until) {
        weather::PlaceOutlook stormy = hub;
        at_hour(stormy, stormy.outlook.thunder_probability, thunder_at) = 1;
        return chance_of(night.all().front(), stormy, WindowHours(hub.place, {at(from), at(until)})).chance;
    };
    CHECK(chance("2027-03-13T10:00:00Z", "2027-03-13T04:00:00Z", "2027-03-13T13:00:00Z") == 1);
    CHECK(chance("2027-03-14T10:00:00Z", "2027-03-14T04:00:00Z", "2027-03-14T13:00:00Z") == 0);
    CHECK(chance("2027-03-14T09:00:00Z", "2027-03-14T04:00:00Z", "2027-03-14T13:00:00Z") == 1);
}

TEST_CASE("fog is as likely as in its likeliest hour of the small hours") {
    Scene scene;
    at_hour(scene.hub, scene.hub.outlook.fog_probability, "2027-03-04T05:00:00Z") =
        0.9;  // 23:00 on the clock
    at_hour(scene.hub, scene.hub.outlook.fog_probability, "2027-03-04T09:00:00Z") = 0.5;
    at_hour(scene.hub, scene.hub.outlook.fog_probability, "2027-03-04T10:00:00Z") = 0.25;
    CHECK(chance_at_hub(scene, kFog + R"(, "clock_from": "00:00", "clock_until": "07:00")") == 0.5);
}

TEST_CASE("as much snow as the threshold is a coin toss") {
    Scene scene;
    scene.hub.outlook.snow_mm_per_h.assign(kHours, 0);
    for (const char* hour : {"2027-03-04T05:00:00Z", "2027-03-04T09:00:00Z"})
        at_hour(scene.hub, scene.hub.outlook.snow_mm_per_h, hour) = 50;
    CHECK(chance_at_hub(scene, kSnow) == Approx(0.5).margin(1e-12));
}

TEST_CASE("nearly twice the threshold of snow is one standard deviation above it") {
    Scene scene;
    at_hour(scene.hub, scene.hub.outlook.snow_mm_per_h, "2027-03-04T05:00:00Z") = 190;
    CHECK(chance_at_hub(scene, kSnow) == Approx(0.8413).margin(1e-4));  // normal table at 1
}

TEST_CASE("no snow forecast is no snow") {
    CHECK(chance_at_hub(Scene{}, kSnow) == 0);
}

TEST_CASE("gusts err by a fifth of themselves") {
    Scene scene;
    double& gust = at_hour(scene.hub, scene.hub.outlook.gust_m_per_s, "2027-03-04T05:00:00Z");
    gust = 18;
    CHECK(chance_at_hub(scene, kGust) == Approx(0.5).margin(1e-12));
    gust = 15;
    CHECK(chance_at_hub(scene, kGust) == Approx(0.1587).margin(1e-4));  // (15 - 18) / 3 = -1
}

TEST_CASE("severe cold is as likely as the error of the forecast lets it be") {
    Scene scene;
    scene.hub.outlook.temp_c[0].assign(kHours, 20);
    // 06:00 on 4 March in St. Louis, 24 h ahead: a spring low
    at_hour(scene.hub, scene.hub.outlook.temp_c[0], "2027-03-04T12:00:00Z") =
        -18 + weather::error_sd_k(weather::Phase::low, weather::Season::spring, Climate::elsewhere, 24);
    CHECK(chance_at_hub(scene, kCold) == Approx(0.1587).margin(1e-4));
}

TEST_CASE("of an ensemble the members that are cold make the cold likely") {
    Scene scene;
    scene.hub.outlook.basis = weather::Basis::ensemble;
    scene.hub.outlook.temp_c.assign(4, std::vector<double>(kHours, 10));
    scene.hub.outlook.temp_c[2].assign(kHours, -40);
    CHECK(chance_at_hub(scene, kCold) == Approx(0.25).margin(1e-6));
}

TEST_CASE("a warning mostly comes true and a watch every other time") {
    Scene scene;
    scene.hub.outlook.alerts = {alert("Blizzard Watch", "BZ", "2027-03-04T06:00:00Z")};
    CHECK(chance_at_hub(scene, kAlert) == 0.5);
    scene.hub.outlook.alerts.push_back(alert("Ice Storm Warning", "IS", "2027-03-04T06:00:00Z"));
    CHECK(chance_at_hub(scene, kAlert) == 0.9);
}

TEST_CASE("a warning without an end lasts") {
    Scene scene;
    scene.hub.outlook.alerts = {alert("Blizzard Warning", "BZ", "2027-03-01T00:00:00Z")};
    CHECK(chance_at_hub(scene, kAlert) == 0.9);
}

TEST_CASE("warnings of another kind or another time do not count") {
    Scene scene;
    scene.hub.outlook.alerts = {alert("Flood Warning", "FL", "2027-03-04T06:00:00Z"),
                                alert("Blizzard Warning", "BZ", "2027-03-04T13:00:00Z"),
                                alert("Blizzard Warning", "BZ", "2027-03-03T00:00:00Z")};
    scene.hub.outlook.alerts[2].ends = at("2027-03-04T04:15:00Z");
    CHECK(chance_at_hub(scene, kAlert) == 0);
}
