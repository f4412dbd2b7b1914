// Many parcels to one place: the figures of make_plan, worked out together.
#include "mildway/planning/lane_options.hpp"

#include "catch.hpp"
#include "plan_world.hpp"

#include <algorithm>
#include <memory>

using namespace mildway;
using namespace mildway::testing;

namespace {

planning::LaneRequest lane_request(const Order& order) {
    const planning::PlanRequest plan = request_for(order);
    planning::LaneRequest lane;
    lane.destination = plan.destination;
    lane.from = plan.from;
    lane.days = plan.days;
    lane.services = plan.services;
    lane.scenarios = plan.scenarios;
    lane.seed = plan.seed;
    lane.threads = plan.threads;
    lane.now = plan.now;
    return lane;
}

planning::Parcel parcel(const Order& order) {
    const planning::PlanRequest plan = request_for(order);
    return {plan.species, plan.contents, plan.packings, std::nullopt};
}

const planning::Option& same_option(const std::vector<planning::Option>& options, const std::string& key) {
    const auto found =
        std::find_if(options.begin(), options.end(), [&](const auto& one) { return key_of(one) == key; });
    REQUIRE(found != options.end());
    return *found;
}

}  // namespace

TEST_CASE("Parcels looked at together have the figures of their own plans to the last bit") {
    const Order snake{.species = "corn snake", .days = 2, .scenarios = 128};
    const Order gecko{.species = "crested gecko", .count = 2, .days = 2, .scenarios = 128};
    const planning::LaneOptions lane(starter(), demo_weather(), lane_request(snake));
    const std::vector<planning::Parcel> parcels{parcel(snake), parcel(gecko)};
    const auto together = lane.assess(parcels, {}, 2);
    REQUIRE(together.size() == 2);
    const Order* orders[] = {&snake, &gecko};
    for (std::size_t i = 0; i < 2; ++i) {
        const planning::Plan plan = plan_for(*orders[i]);
        REQUIRE(together[i].options.size() == plan.options.size());
        for (const planning::Option& own : plan.options) {
            const planning::Option& other = same_option(together[i].options, key_of(own));
            INFO(key_of(own));
            CHECK(other.assessment.all->hours_outside.value == own.assessment.all->hours_outside.value);
            CHECK(other.assessment.all->chance_harm.value == own.assessment.all->chance_harm.value);
            CHECK(other.assessment.all->coldest_c.p5 == own.assessment.all->coldest_c.p5);
            CHECK(other.cost.total_usd() == own.cost.total_usd());
            CHECK(other.verdict == own.verdict);
        }
    }
}

TEST_CASE("Lanes that share their draws have the figures of their own plans to the last bit") {
    const auto draws = std::make_shared<weather::SharedDraws>();
    for (const char* to : {"Albany NY", "Sacramento CA", "Duluth MN"}) {
        const Order order{.to = to, .species = "corn snake", .days = 2, .scenarios = 128};
        planning::LaneRequest request = lane_request(order);
        request.draws = draws;
        const planning::LaneOptions lane(starter(), demo_weather(), request);
        const std::vector<planning::Parcel> parcels{parcel(order)};
        const auto together = lane.assess(parcels, {}, 1);
        const planning::Plan plan = plan_for(order);
        REQUIRE(together.front().options.size() == plan.options.size());
        for (const planning::Option& own : plan.options) {
            const planning::Option& other = same_option(together.front().options, key_of(own));
            INFO(to << ", " << key_of(own));
            CHECK(other.assessment.all->hours_outside.value == own.assessment.all->hours_outside.value);
            CHECK(other.assessment.all->coldest_c.p5 == own.assessment.all->coldest_c.p5);
        }
    }
}

TEST_CASE("Only trips that are wanted are assessed") {
    const Order order{.days = 3, .scenarios = 128};
    const planning::LaneOptions lane(starter(), demo_weather(), lane_request(order));
    const std::vector<planning::Parcel> parcels{parcel(order), parcel(order)};
    const auto made = lane.assess(
        parcels,
        [](std::size_t i, const transit::Trip& trip, const transit::Service& service) {
            return i == 1 && service.id == "night-air" && trip.ship_date == demo_monday();
        },
        1);
    CHECK(made[0].options.empty());
    REQUIRE(made[1].options.size() == starter().packings.all().size());
    CHECK(made[1].options.front().service->id == "night-air");
}

TEST_CASE("A lane gives the same bytes on one thread and on two") {
    const Order order{.days = 2, .scenarios = 128};
    const planning::LaneOptions lane(starter(), demo_weather(), lane_request(order));
    const std::vector<planning::Parcel> parcels{parcel(order)};
    const auto one = lane.assess(parcels, {}, 1).front().options;
    const auto two = lane.assess(parcels, {}, 2).front().options;
    REQUIRE(one.size() == two.size());
    for (std::size_t i = 0; i < one.size(); ++i) {
        CHECK(key_of(one[i]) == key_of(two[i]));
        CHECK(one[i].assessment.all->hours_outside.value == two[i].assessment.all->hours_outside.value);
    }
}

TEST_CASE("Packings without room for a parcel's animals are told and passed over") {
    const Order many{.count = 12, .days = 1, .scenarios = 128};
    const planning::LaneOptions lane(starter(), demo_weather(), lane_request(many));
    const std::vector<planning::Parcel> parcels{parcel(many)};
    const auto made = lane.assess(parcels, {}, 1).front();
    CHECK(made.options.size() < starter().packings.all().size() * lane_request(many).services.size());
    CHECK_FALSE(made.left_out.empty());
}
