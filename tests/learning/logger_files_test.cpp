// The demo logs: that they are what make_logger writes, and that a fit finds in them what was put in.
#include "../../fixtures/loggers/logger_files.hpp"

#include "mildway/base/files.hpp"

#include "box_fixtures.hpp"
#include "catch.hpp"

using namespace mildway;

namespace {

const std::filesystem::path kFolder = std::filesystem::path(MILDWAY_SOURCE_DIR) / "fixtures/loggers";
constexpr std::size_t kCap = std::size_t{1} << 24;

std::string text_of(const char* name) {
    return read_file(kFolder / name, kCap);
}

learning::LoggerLog log_of(const char* name, learning::LoggerPart part) {
    learning::LoggerOptions options;
    options.part = part;
    options.zone = &find_zone("America/Denver");
    options.zone_is_given = true;
    return learning::read_logger(name, text_of(name), options);
}

learning::Fit fit_of(learning::LoggerSeries inside, learning::LoggerSeries outside) {
    const testing::ShippedBoxes boxes;
    learning::FitRequest request;
    request.file = "demo.csv";
    request.packing = &boxes.packings.find(demo::kDemoBoxPacking);
    request.warmers = &boxes.supplies.warmers;
    request.contents = demo::MadeLog{}.contents;
    request.film = demo::indoor_film();
    request.inside = std::move(inside);
    request.outside = std::move(outside);
    return learning::fit_box(request);
}

void check_figures(const learning::Fit& fit) {
    REQUIRE(fit.figures.size() == 3);
    CHECK(fit.all_told());
    CHECK(fit.figures[0].value == Approx(demo::kDemoBox.wall_factor).epsilon(0.05));
    CHECK(fit.figures[1].value == Approx(demo::kDemoBox.air_l_per_h).epsilon(0.15));
    CHECK(fit.figures[2].value == Approx(demo::kDemoBox.warmer_factor).epsilon(0.05));
}

}  // namespace

TEST_CASE("demo logger files are what make_logger writes") {
    for (const auto& file : demo::logger_files(std::filesystem::path(MILDWAY_SOURCE_DIR) / "config")) {
        INFO(file.name << ": make_logger fixtures/loggers config writes it anew");
        const bool same = file.text == text_of(file.name.c_str());  // a CHECK of texts would print both
        CHECK(same);
    }
}

TEST_CASE("demo logger files say that they are no measurement") {
    for (const auto& file : demo::logger_files(std::filesystem::path(MILDWAY_SOURCE_DIR) / "config"))
        CHECK_THAT(file.text, Catch::Contains("not a measurement"));
}

TEST_CASE("demo log of one file tells the box it was made of") {
    auto log = log_of("box-and-room.csv", learning::LoggerPart::box);
    check_figures(fit_of(std::move(*log.inside), std::move(*log.outside)));
}

TEST_CASE("demo logs of two loggers tell the box they were made of") {
    auto inside = log_of("box-fahrenheit.csv", learning::LoggerPart::box);
    auto outside = log_of("room-comma.csv", learning::LoggerPart::surroundings);
    check_figures(fit_of(std::move(*inside.inside), std::move(*outside.outside)));
}
