// Films and radiation against published values.
#include "mildway/box/films.hpp"

#include "catch.hpp"

using namespace mildway;
using namespace mildway::box;

// CHECK 11: EnergyPlus Engineering Reference, "TARP algorithm", natural convection evaluated at 10 K.
TEST_CASE("TARP films at 10 K agree with the EnergyPlus Engineering Reference") {
    CHECK(natural_convection(Kelvins(10), Facing::vertical).value() == Approx(2.822).epsilon(0.001));
    CHECK(natural_convection(Kelvins(10), Facing::enhanced).value() == Approx(3.251).epsilon(0.001));
    CHECK(natural_convection(Kelvins(10), Facing::reduced).value() == Approx(1.637).epsilon(0.001));
}

// CHECK 12: EnergyPlus Engineering Reference, "Simple Combined", medium smooth (ASHRAE Fundamentals 1989,
// p. 22.4).
TEST_CASE("outside film agrees with the simple combined table") {
    CHECK(outside_film(0.0).value() == Approx(8.23).epsilon(0.001));
    CHECK(outside_film(2.0).value() == Approx(16.00).epsilon(0.001));
    CHECK(outside_film(6.7).value() == Approx(32.47).epsilon(0.001));
}

// CHECK 12: Washington Administrative Code 51-11-0526: outside film R 0.17 h ft2 F/Btu at 15 mph (6.7 m/s).
TEST_CASE("outside film in a 15 mph wind agrees with a building code") {
    const double film_per_ip_unit = 5.678263;  // W/(m2 K) in 1 Btu/(h ft2 F)
    CHECK(outside_film(6.7).value() == Approx(film_per_ip_unit / 0.17).epsilon(0.05));
}

// CHECK 13: 4 sigma T^3; agrees with the black-body table of ISO 6946 (from memory).
TEST_CASE("linearised black-body radiation agrees with its table") {
    CHECK(linearised_radiation(Celsius(0), 1.0).value() == Approx(4.62).epsilon(0.002));
    CHECK(linearised_radiation(Celsius(10), 1.0).value() == Approx(5.15).epsilon(0.002));
    CHECK(linearised_radiation(Celsius(20), 1.0).value() == Approx(5.71).epsilon(0.002));
    CHECK(linearised_radiation(Celsius(30), 1.0).value() == Approx(6.32).epsilon(0.002));
}

// CHECK 14: Washington Administrative Code 51-11-0526: inside film of an upright surface, R 0.68 h ft2 F/Btu
// = 8.3 W/(m2 K), for rooms, where the difference is about 5 K; ISO 6946 (from memory) gives 7.7.
TEST_CASE("inside film lies near the building codes") {
    CHECK(inside_film(Celsius(20), Kelvins(5)).value() == Approx(8.0).epsilon(0.1));
}
