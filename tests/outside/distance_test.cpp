// Distances between places, against published values, another program and the sphere. Degrees of latitude and
// longitude at the equator: tests/base/place_test.cpp.
#include "mildway/base/csv.hpp"
#include "mildway/base/files.hpp"
#include "mildway/base/place.hpp"

#include "catch.hpp"

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <numbers>
#include <random>

using namespace mildway;

namespace {

Place at(double latitude_deg, double longitude_deg) {
    return {"somewhere", latitude_deg, longitude_deg, ""};
}

double distance_m(const Place& a, const Place& b) {
    return 1000 * distance_km(a, b);
}

/// Degrees, minutes and seconds of arc.
double dms(int degrees, int minutes, double seconds) {
    return degrees + minutes / 60.0 + seconds / 3600.0;
}

/// On a sphere of the Earth's mean radius (2a + b)/3 of WGS 84, by the haversine of half the angle.
double on_sphere_km(const Place& a, const Place& b) {
    constexpr double kMeanRadiusKm = 6371.0088;
    constexpr double kRadians = std::numbers::pi / 180;
    const double half_north = std::sin((b.latitude_deg - a.latitude_deg) * kRadians / 2);
    const double half_east = std::sin((b.longitude_deg - a.longitude_deg) * kRadians / 2);
    const double haversine = half_north * half_north + std::cos(a.latitude_deg * kRadians) *
                                                           std::cos(b.latitude_deg * kRadians) * half_east *
                                                           half_east;
    return 2 * kMeanRadiusKm * std::asin(std::min(1.0, std::sqrt(haversine)));
}

}  // namespace

TEST_CASE("A geodesic of 10000 km that was worked out forwards is as long backwards") {
    // Karney 2013, "Algorithms for geodesics", J. Geodesy 87:43-55, the worked example of the direct problem:
    // from 40 N in azimuth 30 degrees, 10,000 km on WGS 84; end point to 11 decimals (1 micrometre)
    CHECK(distance_m(at(40, 0), at(41.79331020506, 137.84490004377)) == Approx(10'000'000).margin(2e-6));
}

TEST_CASE("Distances of the geodesic examples are as published") {
    struct Example {
        const char* source;
        Place from, to;
        double metres;
    };
    const auto example =
        GENERATE(Example{"GeographicLib manual, Wellington to Salamanca", at(-41.32, 174.81),
                         at(40.96, -5.50), 19959679.267},
                 Example{"GeographicLib manual, New York to London (airports)", at(40.6, -73.8),
                         at(51.6, -0.5), 5551759.400},
                 Example{"Karney 2013, worked example of the inverse problem, nearly antipodal (from memory)",
                         at(-30, 0), at(29.9, 179.8), 19989832.828},
                 Example{"Karney 2013, worked example of a short line (from memory)", at(-30.12345, 0),
                         at(-30.12344, 0.00005), 4.944});
    INFO(example.source);
    CHECK(distance_m(example.from, example.to) == Approx(example.metres).margin(0.0006));
}

TEST_CASE("From Flinders Peak to Buninyong it is 54972.271 m") {
    // Geoscience Australia, technical manual of the Geocentric Datum of Australia, Vincenty's formulae on GRS
    // 80, which differs from WGS 84 by 0.1 mm in the small axis (from memory)
    const Place flinders_peak = at(-dms(37, 57, 3.7203), dms(144, 25, 29.5244));
    const Place buninyong = at(-dms(37, 39, 10.1561), dms(143, 55, 35.3839));
    CHECK(distance_m(flinders_peak, buninyong) == Approx(54972.271).margin(0.0006));
}

TEST_CASE("From the equator to a pole it is 10001965.729 m on any meridian") {
    // quarter of a meridian of WGS 84 (Wikipedia "Meridian arc" and textbooks)
    const double longitude_deg = GENERATE(-180.0, -92.1, 0.0, 77.5, 180.0);
    CHECK(distance_m(at(0, longitude_deg), at(90, longitude_deg)) == Approx(10001965.729).margin(0.0006));
    CHECK(distance_m(at(0, longitude_deg), at(-90, 0)) == Approx(10001965.729).margin(0.0006));
}

TEST_CASE("Between places right opposite on the equator the way leads over a pole") {
    // half a meridian is shorter than half the equator, 20037508 m
    CHECK(distance_m(at(0, 0), at(0, 180)) == Approx(2 * 10001965.729).margin(0.0012));
}

TEST_CASE("Nearly opposite places where older formulae do not converge have their distance") {
    // the classic failures of Vincenty's inverse formula; distances from GeographicLib's documents (from
    // memory)
    CHECK(distance_m(at(0, 0), at(0.5, 179.5)) == Approx(19936288.579).margin(0.0006));
    CHECK(distance_m(at(0, 0), at(0.5, 179.7)) == Approx(19944127.421).margin(0.0006));
}

TEST_CASE("Two hundred pairs are as far apart as another program says") {
    // GeodSolve is the same library's own program, here with its exact series: this checks our units and the
    // order of our arguments, not the mathematics (fixtures/README.md)
    const auto path = std::filesystem::path(MILDWAY_SOURCE_DIR) / "fixtures/distance/geod_pairs.csv";
    const std::string text = read_file(path, 1 << 20);
    CsvReader rows(path.string(), text, CsvFormat{});
    CsvRecord row;
    REQUIRE(rows.next(row));
    REQUIRE(row.cells.back() == "distance_m");
    int pairs = 0;
    double worst_m = 0;
    while (rows.next(row)) {
        const auto number = [&](std::size_t i) { return parse_decimal(row.cells.at(i), false).value(); };
        const double off_m =
            std::abs(distance_m(at(number(0), number(1)), at(number(2), number(3))) - number(4));
        worst_m = std::max(worst_m, off_m);
        ++pairs;
    }
    CHECK(pairs == 200);
    INFO("farthest off by " << worst_m << " m");
    CHECK(worst_m < 1e-6);
}

TEST_CASE("The Earth is a sphere to within 0.6 percent wherever the places are") {
    // the degree of a meridian varies from 110.574 to 111.694 km, -0.56 to +0.45 % of that of the sphere
    std::mt19937 random(7);
    std::uniform_real_distribution<double> latitude(-90, 90);
    std::uniform_real_distribution<double> longitude(-180, 180);
    std::uniform_real_distribution<double> digits(-3, 0);  // some km apart to the other side of the Earth
    double lowest = 1;
    double highest = 1;
    for (int i = 0; i < 20000; ++i) {
        const Place from = at(latitude(random), longitude(random));
        const double share = std::pow(10, digits(random));
        const Place to = at(from.latitude_deg + share * (latitude(random) - from.latitude_deg),
                            from.longitude_deg + share * (longitude(random) - from.longitude_deg));
        const double ratio = distance_km(from, to) / on_sphere_km(from, to);
        lowest = std::min(lowest, ratio);
        highest = std::max(highest, ratio);
    }
    INFO("from " << lowest << " to " << highest << " of the sphere's");
    CHECK(lowest > 1 - 0.006);
    CHECK(highest < 1 + 0.006);
}
