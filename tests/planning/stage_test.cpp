// What a plan knows before it assesses: services on their lanes, their weather, and whose luck is whose.
#include "mildway/planning/plan.hpp"

#include "catch.hpp"
#include "plan_world.hpp"
#include "temp_workspace.hpp"

#include <string>
#include <vector>

using namespace mildway;
using namespace mildway::planning;

namespace {

/// The starter, with a road service that goes anywhere, past no hub.
struct LongRoad {
    LongRoad() {
        folder.edit_json("services.json", [](nlohmann::ordered_json& json) {
            for (auto& service : json["services"]) {
                if (service["id"] == "road") service["price"] = {{"base_usd", 12}};
            }
        });
        workspace = Workspace::load(folder.path());
    }
    testing::TempWorkspace folder;
    Workspace workspace;
};

const Workspace& with_long_road() {
    static const LongRoad road;
    return road.workspace;
}

PlanRequest request_on_road(const std::vector<std::string>& services) {
    return testing::request_for({.services = services, .packings = {"small-38"}, .days = 2, .scenarios = 256},
                                with_long_road());
}

}  // namespace

TEST_CASE("services past a place without a forecast are closed and others go on") {
    const Plan plan = make_plan(with_long_road(), testing::WithoutPlace("St. Louis MO"),
                                request_on_road({"night-air", "two-day", "road"}));
    REQUIRE(plan.options.size() == 2);
    for (const Option& option : plan.options) {
        CHECK(option.service->id == "road");
        CHECK(option.assessment.all);
    }
    REQUIRE(plan.closed.size() == 4);
    for (const ClosedDay& closed : plan.closed) {
        CHECK(closed.service->id != "road");
        CHECK(closed.reason == "no forecast for St. Louis MO");
        CHECK(closed.brief == "no weather for a place on the way");
    }
    for (const PlaceWeather& there : plan.weather) CHECK(there.place != "St. Louis MO");
}

TEST_CASE("a service past a place without a forecast that was not asked about does no harm") {
    const Plan plan =
        make_plan(with_long_road(), testing::WithoutPlace("St. Louis MO"), request_on_road({"road"}));
    CHECK(plan.closed.empty());
    CHECK(plan.options.size() == 2);
    for (const Change& change : plan.changes) CHECK(change.option.service->id == "road");
}

TEST_CASE("when every service asked about passes the place without a forecast the plan ends") {
    CHECK_THROWS_AS(
        make_plan(with_long_road(), testing::WithoutPlace("St. Louis MO"), request_on_road({"night-air"})),
        WeatherError);
    CHECK_THROWS_AS(
        make_plan(with_long_road(), testing::WithoutPlace("El Paso TX"), request_on_road({"road"})),
        WeatherError);
}

TEST_CASE("the weather told is that of the places that the services asked about pass") {
    const auto places = [](const std::vector<std::string>& services) {
        std::vector<std::string> names;
        const Stage stage(with_long_road(), testing::demo_weather(), request_on_road(services));
        for (const PlaceWeather& there : stage.weather()) names.push_back(there.place);
        return names;
    };
    CHECK(places({"road"}) == std::vector<std::string>{"Las Cruces NM", "El Paso TX", "Duluth MN"});
    CHECK(places({"night-air"}) ==
          std::vector<std::string>{"Las Cruces NM", "El Paso TX", "St. Louis MO", "Duluth MN"});
}

TEST_CASE("whether a service past other places is asked about changes no figure of the others") {
    // the road passes no hub, night air does
    const auto road_alone = make_plan(with_long_road(), testing::demo_weather(), request_on_road({"road"}));
    const auto with_air =
        make_plan(with_long_road(), testing::demo_weather(), request_on_road({"night-air", "road"}));
    for (const Option& option : road_alone.options) {
        const Option& same = testing::find_option(with_air, testing::key_of(option));
        CAPTURE(testing::key_of(option));
        CHECK(option.assessment.all.value().hours_outside.value ==
              same.assessment.all.value().hours_outside.value);
        CHECK(option.assessment.all->hours_outside.error == same.assessment.all->hours_outside.error);
        CHECK(option.assessment.all->coldest_c.p5 == same.assessment.all->coldest_c.p5);
        CHECK(option.assessment.all->chance_harm.value == same.assessment.all->chance_harm.value);
        CHECK(option.assessment.in_box_h.p95 == same.assessment.in_box_h.p95);
    }
}

TEST_CASE("a service that is not sold to the destination is left out with a sentence") {
    const Plan plan = testing::plan_for({.packings = {"small-38"}, .days = 1, .scenarios = 16});
    REQUIRE(plan.left_out.size() == 1);
    CHECK_THAT(plan.left_out.front(), Catch::StartsWith("Road is not sold"));
    for (const Option& option : plan.options) CHECK(option.service->id != "road");
    for (const ClosedDay& closed : plan.closed) CHECK(closed.service->id != "road");
}

TEST_CASE("a plan of a service that is not sold to the destination is refused with why") {
    CHECK_THROWS_AS(testing::plan_for({.services = {"road"}, .scenarios = 16}), UsageError);
    CHECK_THROWS_WITH(testing::plan_for({.services = {"road"}, .scenarios = 16}),
                      Catch::StartsWith("nothing can be shipped on the days asked about: Road is not sold"));
}

TEST_CASE("a parcel heavier than a price list goes is left out with a sentence") {
    testing::TempWorkspace folder;
    folder.edit_json("services.json", [](nlohmann::ordered_json& json) {
        for (auto& service : json["services"]) {
            if (service["id"] == "two-day") service["price"].erase("per_kg_above_usd");
            if (service["id"] == "two-day") service["price"]["mass_up_to_kg"] = {1, 2, 3, 3.5, 4, 4.2, 4.4};
        }
    });
    const Workspace workspace = Workspace::load(folder.path());
    const Plan plan = make_plan(
        workspace, testing::demo_weather(),
        testing::request_for(
            {.services = {"night-air", "two-day"}, .packings = {"small-38"}, .days = 1, .scenarios = 16},
            workspace));
    REQUIRE(plan.options.size() == 1);
    CHECK(plan.options.front().service->id == "night-air");
    REQUIRE(plan.left_out.size() == 1);
    CHECK_THAT(plan.left_out.front(), Catch::StartsWith("38 mm foam in Two-day: "));
}

TEST_CASE("a day that no service runs on a lane is told and not an error of the config") {
    testing::TempWorkspace folder;
    folder.edit_json("services.json", [](nlohmann::ordered_json& json) {
        // its flight reaches a destination one zone east before it has left the hub
        auto& flight = json["leg_templates"]["flight to destination"]["ends"];
        flight["clock"] = "04:20";
    });
    const Workspace workspace = Workspace::load(folder.path());
    // 04:20 in Sacramento is 06:20 at the hub: it fits; 04:20 in Albany is 03:20 there: it does not
    PlanRequest request = testing::request_for({.to = "Sacramento CA",
                                                .services = {"night-air"},
                                                .packings = {"small-38"},
                                                .days = 1,
                                                .scenarios = 16},
                                               workspace);
    CHECK(make_plan(workspace, testing::demo_weather(), request).options.size() == 1);
    request.destination = *workspace.find_place("Albany NY");
    CHECK_THROWS_WITH(make_plan(workspace, testing::demo_weather(), request),
                      Catch::Contains("Night cannot be laid to Albany NY: its leg 'flight to destination'"));
}
