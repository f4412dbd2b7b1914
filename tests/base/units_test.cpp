#include "mildway/base/units.hpp"

#include "catch.hpp"

#include <type_traits>

using namespace mildway;

namespace {

template <class A, class B>
concept Addable = requires(A a, B b) {
    a + b;
};

}  // namespace

TEST_CASE("Two temperatures differ by kelvins and cannot be added") {
    CHECK((Celsius(20) - Celsius(15)).value() == 5);
    CHECK((Celsius(20) + Kelvins(5)).value() == 25);
    STATIC_REQUIRE(Addable<Celsius, Kelvins>);
    STATIC_REQUIRE_FALSE(Addable<Celsius, Celsius>);
    STATIC_REQUIRE_FALSE(Addable<Watts, Kelvins>);
    STATIC_REQUIRE_FALSE(std::is_convertible_v<double, Watts>);
}

TEST_CASE("Fahrenheit and Celsius meet at the fixed points") {
    CHECK(from_fahrenheit(32).value() == Approx(0).margin(1e-12));
    CHECK(from_fahrenheit(212).value() == Approx(100).margin(1e-12));
    CHECK(to_fahrenheit(Celsius(-40)) == Approx(-40).margin(1e-12));
}

TEST_CASE("Equal conductances in series halve") {
    CHECK(in_series(WattsPerKelvin(2), WattsPerKelvin(2)).value() == Approx(1).margin(1e-12));
    CHECK((WattsPerKelvin(0.25) * Kelvins(8)).value() == Approx(2).margin(1e-12));
    CHECK(conductance(WattsPerSquareMeterKelvin(8), 0.5).value() == Approx(4).margin(1e-12));
}
