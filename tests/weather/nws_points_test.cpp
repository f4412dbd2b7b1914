#include "mildway/base/errors.hpp"
#include "mildway/base/files.hpp"
#include "mildway/weather/nws.hpp"

#include "catch.hpp"

#include <filesystem>
#include <string>

using namespace mildway;
using namespace mildway::weather;

namespace {

NwsPoint parse_fixture(const std::string& file) {
    const auto folder = std::filesystem::path(MILDWAY_SOURCE_DIR) / "fixtures/weather/nws";
    return parse_nws_point(file, read_file(folder / file, 1 << 20));
}

NwsPoint parse(const std::string& text) {
    return parse_nws_point("inline", text);
}

}  // namespace

TEST_CASE("a point names its grid cell its clock and the nearest town") {
    const NwsPoint point = parse_fixture("point.json");
    CHECK(point.gridpoint_url == "https://api.weather.gov/gridpoints/ABC/10,20");
    CHECK(point.zone == "America/Chicago");
    CHECK(point.nearby == "Otterfield, NE");
    CHECK_FALSE(point.marine);
}

TEST_CASE("a marine point is told as such") {
    CHECK(parse_fixture("point_marine.json").marine);
}

TEST_CASE("a point without a grid has neither link nor clock nor town") {
    const NwsPoint point = parse_fixture("point_without_grid.json");
    CHECK(point.gridpoint_url.empty());
    CHECK(point.zone.empty());
    CHECK(point.nearby.empty());
    CHECK(point.marine);
}

TEST_CASE("a point of the old form without a kind is taken for land") {
    const NwsPoint point =
        parse(R"({"properties": {"forecastGridData": "https://a.example/gridpoints/B/1,2"}})");
    CHECK_FALSE(point.marine);
    CHECK(point.gridpoint_url == "https://a.example/gridpoints/B/1,2");
}

TEST_CASE("an error answer in place of a point is refused in its own words") {
    CHECK_THROWS_WITH(
        parse(R"({"title": "Data Unavailable For Requested Point", "detail": "Unable to provide data"})"),
        Catch::Equals(
            "inline: this is an error answer of the service, not a point of the service: Data Unavailable "
            "For Requested Point (Unable to provide data)"));
}

TEST_CASE("what is no point of the service is refused with the reason") {
    const auto [text, reason] = GENERATE(table<std::string, std::string>({
        {"<html>", "it is not valid JSON (line 1)"},
        {"", "it is empty"},
        {"[]", "is a list; expected an object"},
        {R"({"properties": {}})", "/properties: has no \"forecastGridData\""},
        {R"({"properties": {"forecastGridData": 7}})",
         "/properties/forecastGridData: is a number; expected text"},
        {R"({"properties": {"forecastGridData": "a", "forecastGridData": "b"}})", "stands twice"},
        {R"({"properties": {"forecastGridData": "a", "timeZone": 5}})", "/properties/timeZone: is a number"},
        {R"({"properties": {"forecastGridData": "a")", "it is cut short"},
    }));
    CHECK_THROWS_WITH(parse(text), Catch::StartsWith("inline: ") && Catch::Contains(reason));
}
