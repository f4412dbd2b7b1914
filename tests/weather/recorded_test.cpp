#include "mildway/weather/recorded.hpp"

#include "mildway/base/errors.hpp"

#include "catch.hpp"

#include <filesystem>
#include <string>

using namespace mildway;
using namespace mildway::weather;

namespace {

const std::filesystem::path kFolder = std::filesystem::path(MILDWAY_SOURCE_DIR) / "fixtures/weather/recorded";

std::string refusal(const RecordedSource& source, const Place& place) {
    try {
        (void)source.outlook(place);
    } catch (const WeatherError& error) {
        return error.what();
    }
    return "an outlook was found";
}

}  // namespace

TEST_CASE("a place gets the file whose cell holds it") {
    const RecordedSource source(kFolder);
    const Outlook outlook = source.outlook({"Elsewhere", 30.0, -90.0, "America/Chicago"});
    CHECK_THAT(outlook.origin, Catch::EndsWith("d_elsewhere.json"));
}

TEST_CASE("of two forecasts for a cell the latest issued counts") {
    const RecordedSource source(kFolder);
    const Outlook outlook = source.outlook({"Here", 40.0, -100.0, "America/Chicago"});
    CHECK_THAT(outlook.origin, Catch::EndsWith("a_newer.json"));
    CHECK(outlook.temp_c.front().front() == 7);
}

TEST_CASE("a place without a forecast is told with its coordinates and what there is") {
    const RecordedSource source(kFolder);
    const std::string message = refusal(source, {"Nowhere ND", 47.5, -101.25, "America/Chicago"});
    CHECK_THAT(message, Catch::Contains("Nowhere ND (47.5000,-101.2500)"));
    CHECK_THAT(message, Catch::Contains("the 3 usable files there are for other cells"));
}

TEST_CASE("a file that cannot be used is told when no other serves the place") {
    const RecordedSource source(kFolder);
    const std::string message = refusal(source, {"Nowhere ND", 47.5, -101.25, "America/Chicago"});
    CHECK_THAT(message, Catch::Contains("c_broken.json: it is cut short"));
}

TEST_CASE("the source is named by its folder") {
    CHECK(RecordedSource(kFolder).name() == "recorded forecasts in " + kFolder.string());
}

TEST_CASE("a missing folder of forecasts is refused") {
    CHECK_THROWS_WITH(RecordedSource(kFolder / "not_there"), Catch::Contains("cannot be read"));
}

TEST_CASE("a folder without forecasts is refused") {
    const auto empty = std::filesystem::temp_directory_path() / "mildway_recorded_test_empty";
    std::filesystem::create_directories(empty);
    CHECK_THROWS_WITH(RecordedSource(empty), Catch::Contains("holds no *.json"));
    std::filesystem::remove(empty);
}
