#include "mildway/base/place.hpp"

#include "catch.hpp"

using namespace mildway;

TEST_CASE("A pair of coordinates is a place without a zone or a region") {
    const auto place = parse_coordinates("46.7867, -92.1005");
    REQUIRE(place);
    CHECK(place->latitude_deg == Approx(46.7867).margin(1e-12));
    CHECK(place->longitude_deg == Approx(-92.1005).margin(1e-12));
    CHECK(place->name == "46.7867,-92.1005");
    CHECK(place->zone.empty());
    CHECK(place->region.empty());
}

TEST_CASE("Text that is not a pair of coordinates on Earth is no place") {
    for (const char* text : {"Duluth MN", "46.8", "91,0", "-91,0", "0,181", "46.8,-92.1,3", "46.8;-92.1", ",",
                             "nan,0", "46.8N,92.1W", ""}) {
        INFO("'" << text << "'");
        CHECK_FALSE(parse_coordinates(text));
    }
}

TEST_CASE("Coordinates are written with four decimals") {
    CHECK(format_coordinates({"", 46.78671, -92.10049, "", Climate::elsewhere}) == "46.7867,-92.1005");
    CHECK(format_coordinates({"", 0, 5, "", Climate::elsewhere}) == "0.0000,5.0000");
}

TEST_CASE("A degree of latitude at the equator is 110.574 km on WGS 84") {
    // meridian arc from 0 to 1 degree, WGS 84: 110574.4 m (textbook value, e.g. Snyder 1987, USGS PP 1395)
    const Place equator{"", 0, 0, "", Climate::elsewhere};
    const Place north{"", 1, 0, "", Climate::elsewhere};
    CHECK(distance_km(equator, north) == Approx(110.5744).margin(0.0005));
    CHECK(distance_km(north, equator) == Approx(distance_km(equator, north)).margin(1e-9));
}

TEST_CASE("A degree of longitude at the equator is 111.320 km on WGS 84") {
    const Place equator{"", 0, 0, "", Climate::elsewhere};
    const Place east{"", 0, 1, "", Climate::elsewhere};
    CHECK(distance_km(equator, east) == Approx(6378.137 * 3.14159265358979 / 180).margin(1e-6));
    CHECK(distance_km(equator, equator) == 0);
}
