// Small types where a mix-up could hurt: a resistance is not a conductance, a temperature is not a
// difference. Kernels and arrays use plain numbers in SI (degC, K, W, J, s, m, kg) named with their unit.
#pragma once

#include <compare>

namespace mildway {

/// A quantity with one unit; no conversions, no bare numbers in or out by accident.
template <class Unit>
class Amount {
public:
    constexpr Amount() = default;
    explicit constexpr Amount(double value) : value_(value) {}
    [[nodiscard]] constexpr double value() const { return value_; }

    constexpr Amount& operator+=(Amount other) { return value_ += other.value_, *this; }
    friend constexpr Amount operator+(Amount a, Amount b) { return Amount(a.value_ + b.value_); }
    friend constexpr Amount operator-(Amount a, Amount b) { return Amount(a.value_ - b.value_); }
    friend constexpr Amount operator*(double k, Amount a) { return Amount(k * a.value_); }
    friend constexpr auto operator<=>(Amount, Amount) = default;

private:
    double value_ = 0;
};

using Kelvins = Amount<struct KelvinUnit>;  ///< a temperature difference
using Watts = Amount<struct WattUnit>;
using WattsPerKelvin = Amount<struct ConductanceUnit>;
using KelvinsPerWatt = Amount<struct ResistanceUnit>;
using JoulesPerKelvin = Amount<struct CapacityUnit>;
using WattsPerSquareMeterKelvin = Amount<struct FilmUnit>;

/// A temperature on the Celsius scale: a point, so two of them can be subtracted but not added.
class Celsius {
public:
    constexpr Celsius() = default;
    explicit constexpr Celsius(double degrees) : degrees_(degrees) {}
    [[nodiscard]] constexpr double value() const { return degrees_; }

    friend constexpr Kelvins operator-(Celsius a, Celsius b) { return Kelvins(a.degrees_ - b.degrees_); }
    friend constexpr Celsius operator+(Celsius t, Kelvins d) { return Celsius(t.degrees_ + d.value()); }
    friend constexpr auto operator<=>(Celsius, Celsius) = default;

private:
    double degrees_ = 0;
};

[[nodiscard]] constexpr Celsius from_fahrenheit(double degrees_f) {
    return Celsius((degrees_f - 32.0) / 1.8);
}
[[nodiscard]] constexpr double to_fahrenheit(Celsius t) {
    return t.value() * 1.8 + 32.0;
}

constexpr Watts operator*(WattsPerKelvin g, Kelvins d) {
    return Watts(g.value() * d.value());
}
constexpr KelvinsPerWatt inverse(WattsPerKelvin g) {
    return KelvinsPerWatt(1.0 / g.value());
}
constexpr WattsPerKelvin inverse(KelvinsPerWatt r) {
    return WattsPerKelvin(1.0 / r.value());
}
constexpr WattsPerKelvin conductance(WattsPerSquareMeterKelvin film, double area_m2) {
    return WattsPerKelvin(film.value() * area_m2);
}

/// Conductances one behind the other.
constexpr WattsPerKelvin in_series(WattsPerKelvin a, WattsPerKelvin b) {
    return inverse(inverse(a) + inverse(b));
}

}  // namespace mildway
