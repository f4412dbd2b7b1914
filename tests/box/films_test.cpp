#include "mildway/box/films.hpp"

#include "catch.hpp"

#include <stdexcept>

using namespace mildway;
using namespace mildway::box;

TEST_CASE("natural convection does not care which side is warmer") {
    CHECK(natural_convection(Kelvins(-4), Facing::vertical) ==
          natural_convection(Kelvins(4), Facing::vertical));
}

TEST_CASE("natural convection stops where there is no difference") {
    CHECK(natural_convection(Kelvins(0), Facing::enhanced).value() == 0.0);
}

TEST_CASE("eight times the difference doubles natural convection") {
    const double once = natural_convection(Kelvins(1.5), Facing::reduced).value();
    CHECK(natural_convection(Kelvins(12), Facing::reduced).value() == Approx(2 * once).epsilon(1e-12));
}

TEST_CASE("a shiny face radiates in proportion to its emissivity") {
    const double dull = linearised_radiation(Celsius(20), 0.9).value();
    CHECK(linearised_radiation(Celsius(20), 0.1).value() == Approx(dull / 9).epsilon(1e-12));
}

TEST_CASE("more wind never makes a weaker outside film") {
    double before = 0;
    for (int quarter = 0; quarter <= 80; ++quarter) {
        const double film = outside_film(0.25 * quarter).value();
        CHECK(film > before);
        before = film;
    }
}

TEST_CASE("an air speed outside the correlation is refused") {
    CHECK_THROWS_AS(outside_film(-0.1), std::invalid_argument);
    CHECK_THROWS_AS(outside_film(20.1), std::invalid_argument);
}

TEST_CASE("the inside film is convection and radiation together") {
    const double parts = natural_convection(Kelvins(2), Facing::vertical).value() +
                         linearised_radiation(Celsius(20), 0.9).value();
    CHECK(inside_film(Celsius(20), Kelvins(2)).value() == Approx(parts).epsilon(1e-12));
}

TEST_CASE("foil keeps the convection of the inside film and a ninth of its radiation") {
    const double radiation = linearised_radiation(Celsius(20), 0.9).value();
    CHECK(inside_film(Celsius(20), Kelvins(2)).value() -
              reflective_inside_film(Celsius(20), Kelvins(2)).value() ==
          Approx(radiation * 8 / 9).epsilon(1e-12));
}
