#include "mildway/learning/learnt.hpp"

#include "mildway/base/errors.hpp"

#include "box_fixtures.hpp"
#include "catch.hpp"
#include "temp_workspace.hpp"

#include <functional>

using namespace mildway;
using learning::Figure;
using learning::FigureKind;
using learning::Fit;
using learning::Learnt;
using learning::LearntRecord;

namespace {

const testing::ShippedBoxes& shipped() {
    static const testing::ShippedBoxes boxes;
    return boxes;
}

std::string recipe_now(const std::string& packing) {
    return learning::recipe_text(shipped().packings.find(packing), shipped().supplies.warmers);
}

LearntRecord record_for(const std::string& packing, double wall_factor, const std::string& recipe = "any") {
    return {packing,
            recipe,
            learning::LearntFigure{wall_factor, 0.05, "box.csv"},
            std::nullopt,
            learning::LearntFigure{0.8, 0.02, "box.csv"},
            4320,
            *parse_instant("2027-01-12T15:00:00Z"),
            *parse_instant("2027-01-15T15:00:00Z")};
}

Learnt parsed(const std::string& text) {
    return learning::read_learnt(ConfigNode::parse("learnt.json", text));
}

std::string complaint(const std::string& text) {
    try {
        (void)parsed(text);
    } catch (const InputError& error) {
        return error.what();
    }
    return "";
}

/// One record whose line of figures is `figures`.
std::string file_with(const std::string& figures, const std::string& version = "1") {
    return "{\"version\": " + version + ", \"packings\": [{\"id\": \"small-38\", \"recipe\": \"any\", " +
           figures +
           ", \"readings\": 10,\n\"fitted_range\": [\"2027-01-12T15:00:00Z\", "
           "\"2027-01-15T15:00:00Z\"]}]}";
}

const std::string kTold = R"("wall_factor": 1.1, "wall_factor_error": 0.1, "wall_factor_from_log": "a.csv")";

Fit told_fit() {
    Fit fit;
    fit.fits = true;
    fit.readings = 100;
    fit.stretches = {{*parse_instant("2027-01-12T15:00:00Z"), *parse_instant("2027-01-15T15:00:00Z")}};
    Figure wall;
    wall.value = 1.2;
    wall.relative_error = 0.1;
    wall.told = true;
    Figure air;
    air.kind = FigureKind::air_exchange;
    air.value = 10;
    fit.figures = {wall, air};
    return fit;
}

}  // namespace

TEST_CASE("learnt figures are read as they were written") {
    const Learnt back = parsed(learning::learnt_json({record_for("small-38", 1.23456789)}));
    REQUIRE(back.size() == 1);
    CHECK(back[0].packing == "small-38");
    CHECK(back[0].wall_factor->value == 1.23456789);
    CHECK(back[0].wall_factor->error == 0.05);
    CHECK_FALSE(back[0].air_exchange_l_per_h.has_value());
    CHECK(back[0].warmer_factor->value == 0.8);
    CHECK(back[0].recipe == "any");
    CHECK(back[0].wall_factor->from_log == "box.csv");
    CHECK(back[0].readings == 4320);
    CHECK(format_instant(back[0].to) == "2027-01-15T15:00:00Z");
}

TEST_CASE("learnt figures are put into the packings they were learnt of") {
    testing::ShippedBoxes boxes;
    CHECK(learning::apply({record_for("small-38-1w", 1.2, recipe_now("small-38-1w"))}, boxes.packings,
                          boxes.supplies.warmers)
              .empty());
    const box::Packing& packing = boxes.packings.find("small-38-1w");
    CHECK(packing.learnt.wall_factor == 1.2);
    CHECK_FALSE(packing.learnt.air_exchange_l_per_h.has_value());
    CHECK(packing.learnt.warmer_factor == 0.8);
    CHECK_FALSE(boxes.packings.find("small-38").learnt.wall_factor.has_value());
}

TEST_CASE("learnt figures of a packing that is gone are named") {
    testing::ShippedBoxes boxes;
    CHECK(learning::apply({record_for("gone", 1.2)}, boxes.packings, boxes.supplies.warmers) ==
          std::vector<std::string>{"learnt.json speaks of a packing 'gone', which packings.json lacks"});
}

TEST_CASE("learnt figures of a packing that was changed are named and not used") {
    using Change = std::function<void(box::Packing&)>;
    const std::vector<Change> changes{[](box::Packing& packing) { packing.inner_m[2] += 0.01; },
                                      [](box::Packing& packing) { packing.liner.material.name = "other"; },
                                      [](box::Packing& packing) { packing.liner.thickness_m *= 2; },
                                      [](box::Packing& packing) { packing.board.thickness_m *= 2; },
                                      [](box::Packing& packing) { packing.vents.count = 0; },
                                      [](box::Packing& packing) { packing.seams_l_per_h += 1; },
                                      [](box::Packing& packing) { packing.warmers.front().type ^= 1u; },
                                      [](box::Packing& packing) { packing.warmers.front().count += 1; },
                                      [](box::Packing& packing) { packing.warmers.clear(); }};
    for (std::size_t i = 0; i < changes.size(); ++i) {
        CAPTURE(i);
        testing::ShippedBoxes boxes;
        for (box::Packing& packing : boxes.packings.all()) {
            if (packing.id == "small-38-1w") changes[i](packing);
        }
        const auto remarks = learning::apply({record_for("small-38-1w", 1.2, recipe_now("small-38-1w"))},
                                             boxes.packings, boxes.supplies.warmers);
        REQUIRE(remarks.size() == 1);
        CHECK_THAT(remarks.front(), Catch::Contains("'small-38-1w' has been changed since its log was read"));
        CHECK_FALSE(boxes.packings.find("small-38-1w").learnt.wall_factor.has_value());
    }
}

TEST_CASE("learnt figures that a new log does not tell are kept with the log they are from") {
    const testing::TempFolder folder;
    const auto file = folder.path() / "learnt.json";
    (void)learning::save_learnt(file, record_for("small-38", 1.1));
    LearntRecord second = record_for("small-38", 1.3);
    second.wall_factor->from_log = "second.csv";
    second.warmer_factor.reset();
    CHECK(learning::save_learnt(file, second) == std::vector<FigureKind>{FigureKind::warmer});
    const Learnt learnt = parsed(testing::slurp(file));
    CHECK(learnt[0].wall_factor->value == 1.3);
    CHECK(learnt[0].wall_factor->from_log == "second.csv");
    CHECK(learnt[0].warmer_factor->value == 0.8);
    CHECK(learnt[0].warmer_factor->from_log == "box.csv");
}

TEST_CASE("learnt figures of an older recipe are not kept") {
    const testing::TempFolder folder;
    const auto file = folder.path() / "learnt.json";
    (void)learning::save_learnt(file, record_for("small-38", 1.1));
    LearntRecord second = record_for("small-38", 1.3, "another");
    second.warmer_factor.reset();
    CHECK(learning::save_learnt(file, second).empty());
    CHECK_FALSE(parsed(testing::slurp(file))[0].warmer_factor.has_value());
}

TEST_CASE("learnt file of a log whose name is not UTF-8 can be written") {
    LearntRecord record = record_for("small-38", 1.1);
    record.wall_factor->from_log = "b\xFCx.csv";
    CHECK(parsed(learning::learnt_json({record}))[0].wall_factor->from_log == "b\xEF\xBF\xBDx.csv");
}

TEST_CASE("learnt figures that are saved replace those of the same packing and keep the others") {
    const testing::TempFolder folder;
    const auto file = folder.path() / "learnt.json";
    (void)learning::save_learnt(file, record_for("small-38", 1.1));
    (void)learning::save_learnt(file, record_for("small-19", 0.9));
    (void)learning::save_learnt(file, record_for("small-38", 1.3));
    const Learnt learnt = parsed(testing::slurp(file));
    REQUIRE(learnt.size() == 2);
    CHECK(learnt[0].packing == "small-38");
    CHECK(learnt[0].wall_factor->value == 1.3);
    CHECK(learnt[1].wall_factor->value == 0.9);
}

TEST_CASE("learnt figures are not saved over a file that cannot be read") {
    const testing::TempFolder folder;
    const auto file = folder.path() / "learnt.json";
    testing::spill(file, "{");
    CHECK_THROWS_AS(learning::save_learnt(file, record_for("small-38", 1.1)), InputError);
    CHECK(testing::slurp(file) == "{");
}

TEST_CASE("learnt file of another version is refused") {
    CHECK_THAT(complaint(file_with(kTold, "2")), Catch::StartsWith("learnt.json:1: /version"));
}

TEST_CASE("learnt file with figures out of bounds is refused") {
    CHECK(complaint(file_with(kTold)).empty());
    CHECK_THAT(complaint(file_with("\"wall_factor\": 11, \"wall_factor_error\": 0.1")),
               Catch::Contains("/packings/0/wall_factor: is 11"));
    CHECK_THAT(complaint(file_with("\"wall_factor\": 1.1")), Catch::Contains("wall_factor_error"));
    CHECK_THAT(complaint(file_with("\"wall_factor_error\": 0.1")),
               Catch::Contains("stands without 'wall_factor'"));
    CHECK_THAT(complaint(file_with("\"air_exchange_l_per_h\": -1, \"air_exchange_error\": 1")),
               Catch::Contains("/packings/0/air_exchange_l_per_h: is -1"));
}

TEST_CASE("learnt file with two records of one packing is refused") {
    CHECK_THAT(complaint(learning::learnt_json({record_for("small-38", 1), record_for("small-38", 2)})),
               Catch::Contains("is 'small-38' a second time"));
}

TEST_CASE("learnt record holds the figures that were told and no others") {
    const auto record = learning::record_of(shipped().packings.find("small-38"), shipped().supplies.warmers,
                                            "/somewhere/box.csv", told_fit());
    REQUIRE(record.has_value());
    CHECK(record->wall_factor->value == 1.2);
    CHECK(record->wall_factor->error == Approx(0.12));
    CHECK_FALSE(record->air_exchange_l_per_h.has_value());
    CHECK(record->wall_factor->from_log == "box.csv");
    CHECK(record->recipe == recipe_now("small-38"));
}

TEST_CASE("learnt record is not made of a fit that tells nothing or does not fit") {
    const auto is_made = [](const Fit& fit) {
        return learning::record_of(shipped().packings.find("small-38"), shipped().supplies.warmers, "box.csv",
                                   fit)
            .has_value();
    };
    Fit nothing = told_fit();
    nothing.figures.front().told = false;
    CHECK_FALSE(is_made(nothing));
    Fit poor = told_fit();
    poor.fits = false;
    CHECK_FALSE(is_made(poor));
}
