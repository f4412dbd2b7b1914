#include "fixtures.hpp"

#include <algorithm>

using namespace mildway;
using namespace mildway::transit;

namespace {

constexpr const char* kIndoors =
    R"({"name": "indoors", "hold_c": 21, "follow": 0, "air_speed_m_per_s": 0.1, "source": "made up"})";
constexpr const char* kVehicle = R"({"name": "vehicle", "hold_c": 20, "hold_spread_k": 2, "follow": 0.9,
    "sun_lift_k": 14, "sun_lift_spread_k": 6, "air_speed_m_per_s": 0.5, "source": "made up"})";

Settings read(const std::string& entries) {
    return Settings::read(ConfigNode::parse("settings.json", "{\"settings\": [" + entries + "]}"));
}

std::string joined(const char* a, const std::string& b) {
    return std::string(a) + "," + b;
}

}  // namespace

TEST_CASE("A setting is read as it is written and spreads default to none") {
    const Settings settings = read(joined(kIndoors, kVehicle));
    const Setting& indoors = settings.at(settings.find("indoors"));
    CHECK(indoors.hold_c == 21);
    CHECK(indoors.hold_spread_k == 0);
    CHECK(indoors.sun_lift_k == 0);
    const Setting& vehicle = settings.at(settings.find("vehicle"));
    CHECK(vehicle.hold_spread_k == 2);
    CHECK(vehicle.follow == 0.9);
    CHECK(vehicle.sun_lift_k == 14);
    CHECK(vehicle.sun_lift_spread_k == 6);
    CHECK(vehicle.air_speed_m_per_s == 0.5);
    CHECK(settings.names() == std::vector<std::string>{"indoors", "vehicle"});
}

TEST_CASE("The settings that every trip begins in must be there") {
    CHECK_THROWS_WITH(read(kIndoors), Catch::Contains("holds no setting called 'vehicle'"));
    CHECK_THROWS_WITH(read(kVehicle), Catch::Contains("holds no setting called 'indoors'"));
}

TEST_CASE("Two settings may not share a name") {
    CHECK_THROWS_WITH(read(joined(kIndoors, joined(kVehicle, kIndoors))),
                      Catch::Contains("/settings/2/name: is 'indoors' a second time"));
}

TEST_CASE("Following the outside is a share") {
    std::string entry = kIndoors;
    entry.replace(entry.find("\"follow\": 0"), 11, "\"follow\": 90");
    CHECK_THROWS_WITH(read(joined(kVehicle, entry)),
                      Catch::Contains("/follow: is 90; expected a number from 0 to 1"));
}

TEST_CASE("A setting without a source is refused") {
    CHECK_THROWS_WITH(read(R"({"name": "attic", "hold_c": 21, "follow": 0, "air_speed_m_per_s": 0.1})"),
                      Catch::Contains("/source: is missing"));
}

TEST_CASE("A misspelt key of a setting is an error") {
    std::string entry = kVehicle;
    entry.replace(entry.find("sun_lift_k"), 10, "sun_lift_c");
    CHECK_THROWS_WITH(read(joined(kIndoors, entry)), Catch::Contains("did you mean 'sun_lift_k'?"));
}

TEST_CASE("An unknown setting is answered with the nearest") {
    CHECK_THROWS_WITH(fixtures::settings().find("dorstep"), Catch::Contains("did you mean 'doorstep'?"));
}

TEST_CASE("The starter settings are the six of the model") {
    CHECK(fixtures::settings().names() ==
          std::vector<std::string>{"indoors", "vehicle", "warehouse", "aircraft", "outdoors", "doorstep"});
}

namespace {

/// The formula of setting.hpp, with heating and hold the given number of spreads from their means.
double inside_c(const Setting& room, double outside_c, double sun_share, double spreads = 0) {
    const double hold_c = room.hold_c + spreads * room.hold_spread_k;
    const double free_c = hold_c + room.follow * (outside_c - hold_c) + room.sun_lift_k * sun_share;
    if (!room.heated_to_c) return free_c;
    return std::max(*room.heated_to_c + spreads * room.heated_to_spread_k, free_c);
}

const Setting& starter(const char* name) {
    return fixtures::settings().at(fixtures::settings().find(name));
}

}  // namespace

// The sentences tested here are the `source` of the setting in config/settings.json.
TEST_CASE("The starter warehouse is heated to 14 C however hard it freezes") {
    const Setting& hall = starter("warehouse");
    CHECK(inside_c(hall, 0, 0) == Approx(14).margin(0.01));
    CHECK(inside_c(hall, -30, 0) == Approx(14).margin(0.01));
}

TEST_CASE("The starter warehouse is between 10 and 18 C in winter at two spreads") {
    const Setting& hall = starter("warehouse");
    CHECK(inside_c(hall, -15, 0, -2) == Approx(10).margin(0.01));
    CHECK(inside_c(hall, -15, 0, 2) == Approx(18).margin(0.01));
}

TEST_CASE("The starter warehouse is 34 C when it is 30 C outside at noon") {
    const Setting& hall = starter("warehouse");
    CHECK(inside_c(hall, 30, 1) == Approx(34).margin(0.5));
}

TEST_CASE("The starter warehouse is 2 to 6 K above the outside air on a summer day") {
    const Setting& hall = starter("warehouse");
    for (const double outside_c : {26.0, 28.0, 30.0, 32.0}) {
        CAPTURE(outside_c);
        CHECK(inside_c(hall, outside_c, 0.9) - outside_c >= 2);
        CHECK(inside_c(hall, outside_c, 0.9) - outside_c <= 6);
    }
}

TEST_CASE("Only the starter warehouse is heated") {
    for (const Setting& setting : fixtures::settings().all()) {
        CAPTURE(setting.name);
        CHECK(setting.heated_to_c.has_value() == (setting.name == "warehouse"));
    }
}

TEST_CASE("A setting without heating has none rather than one at nought") {
    const Settings settings = read(joined(kIndoors, kVehicle));
    CHECK_FALSE(settings.at(0).heated_to_c.has_value());
}

TEST_CASE("A setting's heating is read with its spread") {
    const char* heated = R"({"name": "hall", "hold_c": 24, "follow": 0.7, "heated_to_c": -3.5,
        "heated_to_spread_k": 2, "air_speed_m_per_s": 0.3, "source": "made up"})";
    const Setting hall = read(joined(kIndoors, joined(kVehicle, heated))).at(2);
    REQUIRE(hall.heated_to_c);
    CHECK(*hall.heated_to_c == -3.5);
    CHECK(hall.heated_to_spread_k == 2);
}
