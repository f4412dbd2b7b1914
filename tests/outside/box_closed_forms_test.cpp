// Transients against exact mathematics. Tolerances are those of the check list, in time or temperature.
#include "mildway/box/modes.hpp"

#include "box_fixtures.hpp"
#include "catch.hpp"

#include <cmath>
#include <complex>
#include <numbers>
#include <vector>

using namespace mildway;
using namespace mildway::box;
using testing::kHour_s;
using testing::one_node;

namespace {

constexpr WattsPerSquareMeterKelvin kNoFilm{8.0};  // one_node has no film area
constexpr double kQuarter_s = 900.0;

Modes first_order(double tau_h) {
    return decompose(one_node(tau_h * kHour_s * 0.2, 0.2), kNoFilm);
}

double after(const Modes& modes, double start_c, double ambient_c, double hours) {
    NodeTemps x = to_modes(modes, {start_c});
    step(modes, x, hours * kHour_s, ambient_c, ambient_c, 0, 0);
    return to_temps(modes, x)[0];
}

/// When a lump that runs from `start_c` towards `ambient_c` passes `through_c`, h; bisection.
double hours_until(const Modes& modes, double start_c, double ambient_c, double through_c) {
    double low = 0, high = 100;
    for (int i = 0; i < 60; ++i) {
        const double middle = 0.5 * (low + high);
        const bool short_of_it =
            std::abs(after(modes, start_c, ambient_c, middle) - start_c) < std::abs(through_c - start_c);
        (short_of_it ? low : high) = middle;
    }
    return low;
}

/// Quarter-hourly temperatures of the last of `days` under mean + amplitude * sin(2 pi t / 24 h).
std::vector<double> last_day(const Modes& modes, double mean_c, double amplitude_k, int days) {
    const auto ambient_c = [&](int quarter) {
        return mean_c + amplitude_k * std::sin(2 * std::numbers::pi * quarter / 96.0);
    };
    NodeTemps x = to_modes(modes, {mean_c});
    std::vector<double> temps_c;
    for (int q = 0; q < 96 * days; ++q) {
        if (q >= 96 * (days - 1)) temps_c.push_back(to_temps(modes, x)[0]);
        step(modes, x, kQuarter_s, ambient_c(q), ambient_c(q + 1), 0, 0);
    }
    return temps_c;
}

/// The first harmonic of a day, as amplitude and lag against the sine that drove it.
struct Harmonic {
    double gain;
    double lag_h;
};
Harmonic harmonic(const std::vector<double>& day_c) {
    std::complex<double> sum = 0;
    for (std::size_t q = 0; q < day_c.size(); ++q) {
        sum += day_c[q] * std::polar(1.0, -2 * std::numbers::pi * static_cast<double>(q) / 96.0);
    }
    const std::complex<double> against_sine = sum * std::complex<double>(0, 1) / 48.0;
    return {std::abs(against_sine), -std::arg(against_sine) * 24.0 / (2 * std::numbers::pi)};
}

}  // namespace

// CHECK 19: t = tau ln((T0 - Ta)/(Tb - Ta)).
TEST_CASE("a box of 6 h reaches a limit when the exponential says") {
    const Modes box = first_order(6);
    CHECK(hours_until(box, 24, 0, 18) == Approx(1.726).epsilon(0.002));
    CHECK(hours_until(box, 24, 0, 10) == Approx(5.253).epsilon(0.002));
    CHECK(hours_until(box, 22, 38, 30) == Approx(4.159).epsilon(0.002));
    CHECK(hours_until(box, 22, 38, 35) == Approx(10.044).epsilon(0.002));
}

// CHECK 41: the same, leg after leg, each with air of its own.
TEST_CASE("legs of constant air follow the exponential one after another") {
    const Modes box = first_order(6);
    NodeTemps x = to_modes(box, {24.0});
    double expected_c = 24;
    struct Leg {
        double hours, air_c;
    };
    for (const Leg& leg : {Leg{1.7, 0}, Leg{0.25, 38}, Leg{11, -12}, Leg{4, 21}}) {
        step(box, x, leg.hours * kHour_s, leg.air_c, leg.air_c, 0, 0);
        expected_c = leg.air_c + (expected_c - leg.air_c) * std::exp(-leg.hours / 6);
        CHECK(to_temps(box, x)[0] == Approx(expected_c).margin(1e-9));
    }
}

// CHECK 20: gain 1/sqrt(1 + (w tau)^2), lag atan(w tau)/w, w = 2 pi/24 h.
TEST_CASE("a daily wave comes through a box weaker and later as the closed form says") {
    struct Row {
        double tau_h, gain, lag_h;
    };
    for (const Row& row : {Row{1, 0.967, 0.98}, Row{2, 0.886, 1.84}, Row{3, 0.786, 2.54}, Row{6, 0.537, 3.83},
                           Row{12, 0.303, 4.82}}) {
        CAPTURE(row.tau_h);
        const Harmonic got = harmonic(last_day(first_order(row.tau_h), 0, 1, 6));  // over 5 tau of any row
        const double w_tau = 2 * std::numbers::pi / 24.0 * row.tau_h;
        CHECK(row.gain == Approx(1 / std::sqrt(1 + w_tau * w_tau)).margin(0.0006));  // the table is rounded
        CHECK(got.gain == Approx(1 / std::sqrt(1 + w_tau * w_tau)).epsilon(0.005));
        CHECK(got.gain == Approx(row.gain).epsilon(0.005));
        CHECK(got.lag_h == Approx(row.lag_h).epsilon(0.005).margin(0.005));  // the table has two decimals
    }
}

// CHECK 21: 28 +- 10 degC through tau 6 h, steady periodic: (24 h/pi) acos(2/(10 gain)).
TEST_CASE("hours a day above 30 degC agree with the closed form") {
    const std::vector<double> day = last_day(first_order(6), 28, 10, 8);
    double hours = 0;
    for (std::size_t q = 0; q < day.size(); ++q) {
        const double a = day[q] - 30, b = day[(q + 1) % day.size()] - 30;
        if (a > 0 && b > 0) hours += 0.25;
        if ((a > 0) != (b > 0)) hours += 0.25 * std::max(a, b) / std::abs(a - b);
    }
    CHECK(hours == Approx(9.08).margin(0.05));
}

// CHECK 22: under a ramp of r, a lump lags r tau (1 - exp(-t/tau)).
TEST_CASE("a box lags a ramp by its slope times its time constant") {
    const Modes box = first_order(3);
    NodeTemps x = to_modes(box, {0.0});
    for (int hour = 0; hour < 15; ++hour) step(box, x, kHour_s, 2.0 * hour, 2.0 * (hour + 1), 0, 0);
    CHECK(30.0 - to_temps(box, x)[0] == Approx(6.0).epsilon(0.01));
}

// CHECK 23: two nodes, C 300 and 900 J/K, G12 0.25, G2a 0.12 W/K, from 24 to 0 degC: eigen-solution, checked
// with Runge-Kutta.
TEST_CASE("two nodes follow the exact two-exponential cooling") {
    Network pair = one_node(300, 0);
    pair.nodes.push_back({"wall", JoulesPerKelvin(900), WattsPerKelvin(0.12), Watts(0), 0});
    pair.links.push_back({0, 1, WattsPerKelvin(0.25)});
    const Modes modes = decompose(pair, kNoFilm);
    CHECK(1 / (modes.rate_per_s[0] * kHour_s) == Approx(2.869).epsilon(0.001));
    CHECK(1 / (modes.rate_per_s[1] * kHour_s) == Approx(0.2420).epsilon(0.001));

    struct Row {
        double hours, temp_c;
    };
    NodeTemps x = to_modes(modes, {24, 24});
    double now_h = 0;
    for (const Row& row :
         {Row{0.5, 21.739}, Row{1, 18.462}, Row{2, 13.053}, Row{4, 6.501}, Row{8, 1.613}, Row{12, 0.400}}) {
        step(modes, x, (row.hours - now_h) * kHour_s, 0, 0, 0, 0);
        now_h = row.hours;
        CAPTURE(row.hours);
        CHECK(to_temps(modes, x)[0] == Approx(row.temp_c).margin(0.02));
        if (row.hours == 4) CHECK(to_temps(modes, x)[1] == Approx(5.746).margin(0.02));
    }
}

// CHECK 25: P/UA.
TEST_CASE("two watts lift a box by power over conductance") {
    CHECK(steady_temps(decompose(one_node(1000, 0.25), kNoFilm), -5, 2)[0] ==
          Approx(-5 + 8.0).epsilon(0.001));
    CHECK(steady_temps(decompose(one_node(1000, 0.40), kNoFilm), -5, 2)[0] == Approx(-5 + 5.0).margin(0.005));
}
