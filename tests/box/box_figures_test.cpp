#include "mildway/box/box_figures.hpp"

#include "mildway/box/burning.hpp"
#include "mildway/box/films.hpp"

#include "box_fixtures.hpp"
#include "catch.hpp"

using namespace mildway;
using namespace mildway::box;

namespace {

const testing::ShippedBoxes& shipped() {
    static const testing::ShippedBoxes boxes;
    return boxes;
}

BoxFigures figures(const Packing& packing, const Contents& contents = {1, 0.015}) {
    return figures_of(packing, shipped().supplies.warmers, contents, outside_film(0));
}

double path(const BoxFigures& figures, const std::string& name) {
    for (const HeatPath& path : figures.paths) {
        if (path.name == name) return path.conductance.value();
    }
    FAIL("no path " << name);
    return 0;
}

}  // namespace

TEST_CASE("the paths of heat add up to the whole for every shipped recipe") {
    for (const Packing& packing : shipped().packings.all()) {
        const BoxFigures box = figures(packing);
        double sum = 0;
        for (const HeatPath& path : box.paths) sum += path.conductance.value();
        CAPTURE(packing.id);
        CHECK(sum == Approx(box.whole.value()).epsilon(1e-12));
    }
}

TEST_CASE("edges and corners lead more of a thick liner than of a thin one") {
    Packing packing = shipped().packings.find("small-38");
    const BoxFigures thick = figures(packing);
    packing.liner.thickness_m = 0.010;
    const BoxFigures thin = figures(packing);
    CHECK(path(thick, "edges") / thick.whole.value() > 2 * path(thin, "edges") / thin.whole.value());
}

TEST_CASE("air through vents and seams is told apart in proportion") {
    Packing packing = shipped().packings.find("small-38");
    const double both = path(figures(packing), "vents") + path(figures(packing), "seams");
    CHECK(both == Approx(1.2 / 3.6 * packing.air_exchange_l_per_h() / 1000).epsilon(1e-9));
    packing.vents = {};
    CHECK(path(figures(packing), "vents") == 0);
    CHECK(path(figures(packing), "seams") > 0);
}

TEST_CASE("time constants are told slowest first") {
    const auto hours = figures(shipped().packings.find("small-38-1w")).time_constants_h;
    REQUIRE(hours.size() == 4);
    for (std::size_t i = 1; i < hours.size(); ++i) CHECK(hours[i - 1] > hours[i]);
}

TEST_CASE("a warmer lifts by its power over the leak and a little more for the way to the animal") {
    const BoxFigures box = figures(shipped().packings.find("small-38-1w"));
    REQUIRE(box.warmers);
    CHECK(box.warmers->animals_lift_k == Approx(box.warmers->power_w / box.whole.value()).epsilon(0.001));
    CHECK(box.warmers->power_w < box.warmers->free_air_w);
}

TEST_CASE("fewer vents leave less oxygen and less power") {
    Packing packing = shipped().packings.find("small-38-2w");
    const BoxFigures aired = figures(packing);
    packing.vents = {};
    const BoxFigures sealed = figures(packing);
    CHECK(sealed.warmers->oxygen_share < aired.warmers->oxygen_share);
    CHECK(sealed.warmers->power_w < aired.warmers->power_w);
    CHECK(sealed.warmers->free_air_w == aired.warmers->free_air_w);
}

TEST_CASE("warmers opened long before packing are told by what is left") {
    Packing packing = shipped().packings.find("small-38-1w");
    packing.warmers.front().opened_before_packing_h = 37;  // half way down its tail
    CHECK(most_free_air_power_w(packing, shipped().supplies.warmers) == Approx(1.0).epsilon(0.01));
}

TEST_CASE("a coolant's plateau is its latent heat over what ten kelvins bring") {
    const BoxFigures box = figures(shipped().packings.find("small-38-1p"));
    REQUIRE(box.coolant);
    const double watts = 10 / (1 / box.coolant->to_cavity_w_per_k + 1 / box.whole.value());
    CHECK(box.coolant->plateau_h_per_10_k == Approx(0.25 * 167e3 / watts / 3600).epsilon(1e-9));
}

TEST_CASE("learnt figures take the place of reckoned ones") {
    Packing packing = shipped().packings.find("small-38-1w");
    const BoxFigures reckoned = figures(packing);
    packing.learnt = {1.2, 30.0, 0.5};
    const BoxFigures learnt = figures(packing);
    CHECK(path(learnt, "walls") > 1.1 * path(reckoned, "walls"));
    CHECK(learnt.air_exchange_l_per_h == 30.0);
    CHECK(learnt.warmers->free_air_w == Approx(0.5 * reckoned.warmers->free_air_w));
}

TEST_CASE("the gap beside the cups is what a warmer can use") {
    Packing packing = shipped().packings.find("small-38");  // 250 x 200 x 150 mm inside, cups 110 x 60 mm
    CHECK(packing.clearance_m(1) == Approx(0.250 - 0.110));
    CHECK(packing.clearance_m(2) == Approx(0.150 - 0.060).margin(1e-9));
    CHECK(packing.clearance_m(4) == Approx(0.150 - 2 * 0.060));  // two to a floor
    packing.inner_m[2] = 0.065;
    CHECK(packing.clearance_m(2) == Approx(0.200 - 0.110));
}

namespace {

/// The one warmer of a recipe, with this table and opened at packing.
double half_power_until_h(std::vector<WarmerType::Point> power) {
    WarmerType type = shipped().supplies.warmers.at(0);
    type.power = std::move(power);
    Warmers types;
    types.add(type);
    Packing packing = shipped().packings.find("small-38-1w");
    packing.warmers = {{0, 1, 0}};
    return figures_of(packing, types, {1, 0.015}, outside_film(0)).warmers->half_power_until_h;
}

}  // namespace

TEST_CASE("half power ends where the falling piece of the table crosses it") {
    CHECK(half_power_until_h({{0, 0}, {1, 2}, {20, 2}, {30.4, 0.4}}) == Approx(26.5).epsilon(1e-9));
}

TEST_CASE("half power of a table longer than ten days is told to its end") {
    CHECK(half_power_until_h({{0, 1}, {800, 1}, {1000, 0}}) == Approx(900).epsilon(1e-9));
}

TEST_CASE("half power of a table that breaks off lasts until it does") {
    CHECK(half_power_until_h({{0, 2}, {33.3, 1.5}}) == Approx(33.3).epsilon(1e-9));
}

TEST_CASE("half power counts the last time that the output is high") {
    CHECK(half_power_until_h({{0, 2}, {10, 0}, {20, 2}, {30, 0}}) == Approx(25).epsilon(1e-9));
}

TEST_CASE("warmers that are burnt out at packing have no half power") {
    Packing packing = shipped().packings.find("small-38-1w");
    packing.warmers.front().opened_before_packing_h = 60;
    CHECK(figures(packing).warmers->half_power_until_h == 0);
}
