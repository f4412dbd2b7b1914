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

TEST_CASE("The starter settings are the eight of the model") {
    CHECK(fixtures::settings().names() == std::vector<std::string>{"indoors", "vehicle", "warehouse",
                                                                   "aircraft", "outdoors", "doorstep",
                                                                   "parked-vehicle", "trailer"});
}

namespace {

/// The formula of setting.hpp under lasting cold without sun, with heating and hold the given number of
/// spreads from their means.
double inside_c(const Setting& room, double outside_c, double spreads = 0) {
    const double hold_c = room.hold_c + spreads * room.hold_spread_k;
    const double free_c = hold_c + room.follow * (outside_c - hold_c);
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
    CHECK(inside_c(hall, 0) == Approx(14).margin(0.01));
    CHECK(inside_c(hall, -30) == Approx(14).margin(0.01));
}

TEST_CASE("The starter warehouse is between 10 and 18 C in winter at two spreads") {
    const Setting& hall = starter("warehouse");
    CHECK(inside_c(hall, -15, -2) == Approx(10).margin(0.01));
    CHECK(inside_c(hall, -15, 2) == Approx(18).margin(0.01));
}

TEST_CASE("The starter aircraft reaches the typical range of decks at three spreads") {
    const Setting& hold = starter("aircraft");
    CHECK(hold.follow == 0);
    CHECK(hold.hold_c - 3 * hold.hold_spread_k == Approx(5).margin(1.5));
    CHECK(hold.hold_c + 3 * hold.hold_spread_k == Approx(25).margin(1.5));
}

TEST_CASE("Sun falls on the parcel in the open settings and warms the air of the others") {
    for (const Setting& setting : fixtures::settings().all()) {
        CAPTURE(setting.name);
        const bool open = setting.name == "outdoors" || setting.name == "doorstep";
        CHECK(setting.has_sun_on_box() == open);
        CHECK_FALSE((open && setting.has_sun_lift()));
    }
}

TEST_CASE("Every starter setting has a spread of its air speed") {
    for (const Setting& setting : fixtures::settings().all()) {
        CAPTURE(setting.name);
        CHECK(setting.air_speed_factor > 1);
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

TEST_CASE("Memory and soak and sun on the box are read as they are written") {
    const char* hall = R"({"name": "hall", "hold_c": 24, "follow": 0.7, "sun_lift_k": 8, "lag_hours": 3.5,
        "air_speed_m_per_s": 0.3, "source": "made up"})";
    const char* parked =
        R"({"name": "parked", "hold_c": 20, "follow": 1, "sun_lift_k": 22, "soak_minutes": 30,
        "sun_on_box_w_per_m2": 40, "sun_on_box_spread_w_per_m2": 15, "air_speed_m_per_s": 0.3,
        "air_speed_factor": 1.8, "source": "made up"})";
    const Settings settings = read(joined(kIndoors, joined(kVehicle, joined(hall, parked))));
    CHECK(settings.at(2).lag_hours == 3.5);
    CHECK(settings.at(3).soak_minutes == 30);
    CHECK(settings.at(3).sun_on_box_w_per_m2 == 40);
    CHECK(settings.at(3).sun_on_box_spread_w_per_m2 == 15);
    CHECK(settings.at(3).air_speed_factor == 1.8);
}

TEST_CASE("A setting that says nothing of memory and soak and sun on the box has none") {
    const Setting indoors = read(joined(kIndoors, kVehicle)).at(0);
    CHECK(indoors.lag_hours == 0);
    CHECK(indoors.soak_minutes == 0);
    CHECK_FALSE(indoors.has_sun_on_box());
    CHECK(indoors.air_speed_factor == 1);
}

TEST_CASE("What a setting may say has limits") {
    const auto complaint_of = [](const std::string& field) {
        const std::string entry =
            R"({"name": "x", "hold_c": 20, "follow": 1, "air_speed_m_per_s": 1, "source": "made up", )" +
            field;
        return [entry] { (void)read(joined(kIndoors, joined(kVehicle, entry + "}"))); };
    };
    CHECK_THROWS_WITH(complaint_of(R"("lag_hours": 49)")(),
                      Catch::Contains("/settings/2/lag_hours: is 49; expected a number from 0 to 48"));
    CHECK_THROWS_WITH(complaint_of(R"("lag_hours": -1)")(), Catch::Contains("from 0 to 48"));
    CHECK_THROWS_WITH(complaint_of(R"("soak_minutes": 601)")(), Catch::Contains("from 0 to 600"));
    CHECK_THROWS_WITH(complaint_of(R"("sun_on_box_w_per_m2": -3)")(), Catch::Contains("from 0 to 1000"));
    CHECK_THROWS_WITH(complaint_of(R"("sun_on_box_spread_w_per_m2": 501)")(),
                      Catch::Contains("from 0 to 500"));
    CHECK_THROWS_WITH(complaint_of(R"("air_speed_factor": 0.5)")(), Catch::Contains("from 1 to 5"));
}

TEST_CASE("A place cannot both remember and be closed up when the leg begins") {
    const char* both = R"({"name": "x", "hold_c": 20, "follow": 1, "lag_hours": 2, "soak_minutes": 30,
        "air_speed_m_per_s": 1, "source": "made up"})";
    CHECK_THROWS_WITH(read(joined(kIndoors, joined(kVehicle, both))),
                      Catch::Contains("/settings/2/soak_minutes: stands beside 'lag_hours'"));
}
