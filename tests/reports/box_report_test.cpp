#include "mildway/reports/box_report.hpp"

#include "catch.hpp"
#include "report_text.hpp"
#include "traced_box.hpp"

#include <nlohmann/json.hpp>

using namespace mildway;
using namespace mildway::reports;
using testing::flat;
using testing::TracedBox;

namespace {

BoxSubject explained(const std::string& packing) {
    static std::vector<std::unique_ptr<TracedBox>> kept;  // the subject borrows from it
    kept.push_back(
        std::make_unique<TracedBox>(testing::Order{.packings = {packing}, .days = 1, .scenarios = 128}));
    return explained_box(kept.back()->subject(), kept.back()->timeline());
}

}  // namespace

TEST_CASE("the box of a trace is told in the settings of its trip each once") {
    const BoxSubject box = explained("small-38");
    CHECK(box.settings.size() >= 4);
    auto sorted = box.settings;
    std::sort(sorted.begin(), sorted.end());
    CHECK(std::adjacent_find(sorted.begin(), sorted.end()) == sorted.end());
}

TEST_CASE("the liner lies between the coldest and the warmest air of the trip") {
    const BoxSubject box = explained("small-38");
    CHECK(box.liner_c > -25);
    CHECK(box.liner_c < *box.parcel.warmest_around_c);
}

TEST_CASE("the text names every path and keeps to 80 columns") {
    for (const char* packing : {"small-38", "small-38-2w", "small-38-1p", "small-38-1g", "medium-38-2w"}) {
        const std::string text = box_text(explained(packing));
        for (const char* word : {"walls", "edges", "corners", "vents", "seams", "Time constants", "Biot"})
            CHECK_THAT(text, Catch::Contains(word));
        for (const auto& line : testing::lines_of(text)) CHECK(testing::columns_of(line) <= 80);
    }
}

TEST_CASE("warmers and coolants are told only where they are") {
    CHECK_THAT(flat(box_text(explained("small-38"))),
               !Catch::Contains("Warmers:") && !Catch::Contains("Coolant:"));
    CHECK_THAT(flat(box_text(explained("small-38-1w"))), Catch::Contains("Warmers: 2.1 W"));
    CHECK_THAT(flat(box_text(explained("small-38-1p"))), Catch::Contains("Coolant: melting at 22"));
}

TEST_CASE("burnt-out warmers are told in no half of their power") {
    BoxSubject box = explained("small-38-1w");
    box::Packing burnt = *box.parcel.packing;
    burnt.warmers.front().opened_before_packing_h = 60;
    box.parcel.packing = &burnt;
    const std::string text = flat(box_text(box));
    CHECK_THAT(text, Catch::Contains("they give nothing after packing"));
    CHECK_THAT(text, !Catch::Contains("half of that"));
}

TEST_CASE("the same figures stand in JSON") {
    const auto json = box_json(explained("small-38-1w"));
    const auto& first = json.at("settings").front();
    const double sum = first.at("walls_w_per_k").get<double>() + first.at("edges_w_per_k").get<double>() +
                       first.at("corners_w_per_k").get<double>() + first.at("vents_w_per_k").get<double>() +
                       first.at("seams_w_per_k").get<double>();
    CHECK(sum == Approx(first.at("whole_w_per_k").get<double>()));
    CHECK(json.at("warmers").at("animals_lift_k").get<double>() > 5);
    CHECK(json.at("coolant").is_null());
    CHECK(json.at("held_j_per_k").at("animals").get<double>() > 0);
}

TEST_CASE("what a logger has told is said in text and JSON") {
    planning::Workspace workspace = testing::starter();
    for (auto& packing : workspace.packings.all()) packing.learnt.wall_factor = 1.2;
    const TracedBox traced({.packings = {"small-38"}, .days = 1, .scenarios = 128}, workspace);
    const BoxSubject box = explained_box(traced.subject(), traced.timeline());
    CHECK_THAT(flat(box_text(box)), Catch::Contains("Learnt from a logger: the liner leads 1.20 times"));
    CHECK(box_json(box).at("learnt").at("wall_factor") == 1.2);
    CHECK(box_json(box).at("learnt").at("warmer_factor").is_null());
    CHECK_THAT(box_text(explained("small-38")), !Catch::Contains("Learnt"));
}
