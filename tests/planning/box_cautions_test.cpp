#include "mildway/planning/box_cautions.hpp"

#include "catch.hpp"
#include "plan_world.hpp"

#include <algorithm>

using namespace mildway;
using namespace mildway::planning;
using testing::starter;

namespace {

PackedBox boxed(const box::Packing& packing, int count = 1, const char* species = "corn snake") {
    return {&packing, {count, 0.015}, &starter().species.find(species), std::nullopt};
}

bool told(const std::vector<care::Advice>& cautions, const std::string& words) {
    return std::any_of(cautions.begin(), cautions.end(), [&](const care::Advice& caution) {
        return caution.text.find(words) != std::string::npos;
    });
}

}  // namespace

TEST_CASE("a plain box calls for no caution of its own") {
    CHECK(box_cautions(starter(), boxed(starter().packings.find("small-38"))).empty());
}

TEST_CASE("a warmer is too much when the warmest likely air and its lift pass the band") {
    PackedBox parcel = boxed(starter().packings.find("small-38-1w"));  // a corn snake bears 30 degC
    parcel.warmest_around_c = 24;
    CHECK(told(box_cautions(starter(), parcel), "warmer can be too much"));
    parcel.warmest_around_c = 15;
    CHECK_FALSE(told(box_cautions(starter(), parcel), "warmer can be too much"));
}

TEST_CASE("air that is too warm by itself is blamed and the warmer only adds to it") {
    PackedBox parcel = boxed(starter().packings.find("small-38-1w"));
    parcel.warmest_around_c = 34;
    const auto cautions = box_cautions(starter(), parcel);
    CHECK(told(cautions, "The air around the box alone can be too warm: 34 °C"));
    CHECK(told(cautions, "Nothing in the box helps against that, and the warmer adds to it"));
    CHECK_FALSE(told(cautions, "warmer can be too much"));
}

TEST_CASE("a warmer that lifts by less than half a kelvin is not blamed") {
    box::Packing weak = starter().packings.find("small-38-1w");
    weak.learnt.warmer_factor = 0.03;
    PackedBox parcel = boxed(weak);
    parcel.warmest_around_c = 29.9;
    CHECK_FALSE(told(box_cautions(starter(), parcel), "warmer can be too much"));
}

TEST_CASE("temperatures that round to the same degree are told to a tenth") {
    box::Packing weak = starter().packings.find("small-38-1w");
    weak.learnt.warmer_factor = 0.08;  // lifts by 0.7 K or so
    PackedBox parcel = boxed(weak);
    parcel.warmest_around_c = 29.6;
    const auto cautions = box_cautions(starter(), parcel);
    CHECK(told(cautions, "with 29.6 °C around the box"));
    CHECK(told(cautions, "they bear 30.0 °C"));
}

TEST_CASE("a pack conditioned above the band is warmer than the animals bear") {
    box::Packing hot = starter().packings.find("small-38-1p");
    hot.coolant->conditioned_to_c = 40;
    CHECK(told(box_cautions(starter(), boxed(hot)), "The pack, at 40 °C, is warmer than these animals bear"));
}

TEST_CASE("a pack that melts above the band helps too late") {
    box::Packing late = starter().packings.find("small-38-1p");
    late.coolant->type.melts_at_c = 40;
    CHECK(told(box_cautions(starter(), boxed(late)),
               "The pack melts at 40 °C, warmer than these animals bear"));
}

TEST_CASE("without weather nothing is said about too much warmth") {
    CHECK_FALSE(told(box_cautions(starter(), boxed(starter().packings.find("small-38-2w"))), "too much"));
}

TEST_CASE("a warmer without a finger's width beside the cups may touch one") {
    box::Packing flat = starter().packings.find("small-38-1w");
    CHECK_FALSE(told(box_cautions(starter(), boxed(flat, 2)), "finger's width"));
    flat.inner_m = {0.225, 0.115, 0.065};  // two cups of 110 x 60 mm and 5 mm around them
    CHECK(told(box_cautions(starter(), boxed(flat, 2)), "finger's width"));
}

TEST_CASE("two warmers in a box without vents make stuffy air") {
    box::Packing sealed = starter().packings.find("small-38-2w");
    CHECK_FALSE(told(box_cautions(starter(), boxed(sealed)), "Stuffy"));
    sealed.vents = {};
    CHECK(told(box_cautions(starter(), boxed(sealed)), "Stuffy"));
}

TEST_CASE("no shipped recipe makes stuffy air or crowds its cups") {
    for (const box::Packing& packing : starter().packings.all()) {
        CAPTURE(packing.id);
        const auto cautions = box_cautions(starter(), boxed(packing));
        CHECK_FALSE(told(cautions, "Stuffy"));
        CHECK_FALSE(told(cautions, "finger's width"));
    }
}

TEST_CASE("frozen gel is colder than the animal bears and gathers water") {
    const auto cautions = box_cautions(starter(), boxed(starter().packings.find("small-38-1g")));
    CHECK(told(cautions, "colder than these animals bear"));
    CHECK(told(cautions, "Water will condense"));
}

TEST_CASE("a pack that melts at 22 degC is neither too cold nor wet for a snake") {
    CHECK(box_cautions(starter(), boxed(starter().packings.find("small-38-1p"))).empty());
}

TEST_CASE("the usual cautions follow those of the recipe") {
    const auto all = all_cautions(starter(), boxed(starter().packings.find("small-38-1g")));
    CHECK(told({all.front()}, "colder than these animals bear"));
    CHECK(told(all, "A cold pack never touches cup or animal"));
    CHECK_FALSE(told(all, "A warmer never touches"));
}
