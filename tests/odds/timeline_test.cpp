#include "mildway/odds/timeline.hpp"

#include "catch.hpp"
#include "small_world.hpp"

#include <algorithm>

using namespace mildway;
using namespace mildway::odds;
using testing::SmallWorld;

TEST_CASE("the timeline runs from packing to the end in whole hours") {
    const SmallWorld world({});
    const auto trip = world.trip(0);
    const Timeline timeline = trace_trip(trip, world.world(), world.box("small-38"), minutes(60));
    REQUIRE(timeline.moments.size() > 3);
    CHECK(timeline.moments.front().when == trip.packed);
    CHECK(timeline.moments.back().when == trip.end());
    CHECK(timeline.moments[2].when - timeline.moments[1].when == hours(1));
    CHECK(timeline.cut_short.empty());
}

TEST_CASE("air around the box is the room it stands in") {
    const SmallWorld world({.warm_room_c = 20, .cold_room_c = 5});
    const Timeline timeline = trace_trip(world.trip(0), world.world(), world.box("small-38"), minutes(60));
    int in_the_hall = 0;
    for (const auto& moment : timeline.moments) {
        const double expected_c = moment.leg == "packed" || moment.leg == "drive" ? 20 : 5;
        if (moment.leg == "yard" || moment.leg == "porch") continue;
        if (moment.when == world.trip(0).legs[2].start || moment.when == world.trip(0).legs[3].start)
            continue;  // either side
        CHECK(moment.around_c.p50 == Approx(expected_c).margin(0.02));
        in_the_hall += moment.leg == "hall" ? 1 : 0;
    }
    CHECK(in_the_hall >= 2);
}

TEST_CASE("the timeline and the assessment agree on the coldest moment") {
    const SmallWorld world({.cold_room_c = 8, .outside_c = 2, .late_one_day = 0, .late_more_days = 0});
    std::vector<BoxModel> boxes;
    boxes.push_back(world.box("small-38"));
    const auto species = testing::species_with({12, 30}, {5, 40});
    const auto assessed = assess_trip(world.cases(), world.world(), boxes, species).front().all;
    const Timeline timeline = trace_trip(world.trip(0), world.world(), boxes.front(), minutes(10));
    REQUIRE(assessed);
    // no single scenario need be the coldest in all hours, so the lowest of the hourly 5 % lines bounds from
    // above
    double coldest_p5 = 1e9;
    for (const auto& moment : timeline.moments) coldest_p5 = std::min(coldest_p5, moment.animals_c.p5);
    CHECK(coldest_p5 >= assessed->coldest_c.p5 - 0.05);
    CHECK(coldest_p5 <= assessed->coldest_c.p5 + 1.0);
}

TEST_CASE("a timeline stops where the forecast does and says so") {
    const SmallWorld world({.forecast_hours = 30});
    const Timeline timeline = trace_trip(world.trip(0), world.world(), world.box("small-38"), minutes(60));
    CHECK(timeline.cut_short == "the forecast for Far ends Mon 1 Mar 23:00, before the trip does");
    REQUIRE_FALSE(timeline.moments.empty());
    CHECK(timeline.moments.back().when <= testing::at("2027-03-02T05:00:00Z"));
}

TEST_CASE("a timeline tells of coolant and oxygen only where they are") {
    const SmallWorld world({});
    const auto traced = [&](const char* packing) {
        return trace_trip(world.trip(0), world.world(), world.box(packing), minutes(60)).moments.back();
    };
    CHECK_FALSE(traced("small-38").coolant_c);
    CHECK_FALSE(traced("small-38").oxygen_share_p50);
    CHECK(traced("small-38-1g").coolant_c);
    CHECK_FALSE(traced("small-38-1g").oxygen_share_p50);
    CHECK(traced("small-38-1w").oxygen_share_p50);
    CHECK_FALSE(traced("small-38-1w").coolant_c);
}

TEST_CASE("a coolant begins as it was conditioned and stays at its melting point while it melts") {
    const SmallWorld world({.warm_room_c = 25, .cold_room_c = 25, .outside_c = 25});
    const box::CoolantUse& use = *world.boxes.packings.find("small-38-1g").coolant;
    const Timeline timeline = trace_trip(world.trip(0), world.world(), world.box("small-38-1g"), minutes(60));
    REQUIRE(use.conditioned_to_c < use.type.melts_at_c);
    CHECK(timeline.moments.front().coolant_c->p50 == Approx(use.conditioned_to_c).margin(0.01));
    // some 4 W reach a pack of 78 kJ: it melts for hours
    CHECK(timeline.moments[3].coolant_c->p50 == Approx(use.type.melts_at_c).margin(0.01));
    CHECK(timeline.moments[3].cavity_c.p50 > use.type.melts_at_c);
    CHECK(timeline.moments.back().coolant_c->p50 > use.type.melts_at_c + 1);
}

TEST_CASE("warmers use up oxygen and vents keep more of it") {
    const SmallWorld world({});
    box::Packing sealed = world.boxes.packings.find("small-38-2w");
    sealed.vents = {};
    const BoxModel tight(sealed, world.boxes.supplies.warmers, {1, 0.015}, world.settings(), 15);
    const Timeline vented = trace_trip(world.trip(0), world.world(), world.box("small-38-2w"), minutes(60));
    const Timeline closed = trace_trip(world.trip(0), world.world(), tight, minutes(60));
    CHECK(*vented.moments.front().oxygen_share_p50 == Approx(1));
    for (std::size_t i = 2; i < vented.moments.size(); ++i) {
        CAPTURE(i);
        CHECK(*vented.moments[i].oxygen_share_p50 < 1);
        CHECK(*vented.moments[i].oxygen_share_p50 > *closed.moments[i].oxygen_share_p50);
        CHECK(*closed.moments[i].oxygen_share_p50 > 0);
    }
}
