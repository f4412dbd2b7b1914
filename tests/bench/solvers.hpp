// The same trips by three other ways, one scenario at a time in double precision.
#pragma once

#include "mildway/box/parcel.hpp"

#include "bench_trip.hpp"
#include "cvode_reference.hpp"

namespace mildway::bench {

/// Inputs at a fraction of the way through one scenario's leg.
class LegInputs {
public:
    LegInputs(const BenchTrips& trips, int scenario, int first_point)
        : trips_(trips), scenario_(scenario), first_point_(first_point) {}

    /// `at` counts steps from the start of the leg.
    [[nodiscard]] double ambient_c(double at, int steps) const {
        const int k = std::clamp(static_cast<int>(at), 0, steps - 1);
        return std::lerp(trips_.ambient_c(scenario_, first_point_ + k),
                         trips_.ambient_c(scenario_, first_point_ + k + 1), at - k);
    }
    [[nodiscard]] double power_w(double at, int steps) const {
        const int k = std::clamp(static_cast<int>(at), 0, steps - 1);
        return std::lerp(trips_.power_w(scenario_, first_point_ + k),
                         trips_.power_w(scenario_, first_point_ + k + 1), at - k);
    }

private:
    const BenchTrips& trips_;
    int scenario_;
    int first_point_;
};

/// Exact steps of a third of a quarter-hour, straight lines between.
inline Experience by_exact_steps(const BenchTrips& trips, int scenario, odds::SafeBand safe) {
    constexpr int kPieces = 3;
    const std::size_t animals = trips.network(0).animals;
    box::ParcelRun parcel(trips.network(0), trips.ambient_c(scenario, 0));
    Experience seen;
    seen.add_point(parcel.temps_c()[animals]);
    int point = 0;
    for (std::size_t leg = 0; leg < trips.legs(); ++leg) {
        parcel.enter(trips.modes(leg));
        const LegInputs inputs(trips, scenario, point);
        const int steps = trips.steps(leg);
        const double piece_s = trips.step_s(scenario, leg) / kPieces;
        for (int i = 0; i < steps * kPieces; ++i) {
            const double from = static_cast<double>(i) / kPieces, to = static_cast<double>(i + 1) / kPieces;
            const double before_c = parcel.temps_c()[animals];
            parcel.advance(piece_s, inputs.ambient_c(from, steps), inputs.ambient_c(to, steps),
                           inputs.power_w(from, steps), inputs.power_w(to, steps));
            seen.add_line(before_c, parcel.temps_c()[animals], piece_s / testing::kHour_s, safe);
        }
        point += steps + 1;
    }
    return seen;
}

/// Classical Runge-Kutta of fourth order with steps of at most 60 s. Knows of no coolant.
class RungeKutta {
public:
    RungeKutta(const BenchTrips& trips, odds::SafeBand safe) : trips_(trips), safe_(safe) {}

    [[nodiscard]] Experience run(int scenario) const {
        const std::size_t animals = trips_.network(0).animals;
        box::NodeTemps temps = testing::all_at(trips_.ambient_c(scenario, 0));
        Experience seen;
        seen.add_point(temps[animals]);
        int point = 0;
        for (std::size_t leg = 0; leg < trips_.legs(); ++leg) {
            const LegInputs inputs(trips_, scenario, point);
            const box::Network& network = trips_.network(leg);
            const double outside = box::outside_conductance(network, trips_.film(leg)).value();
            const int steps = trips_.steps(leg);
            const double leg_step_s = trips_.step_s(scenario, leg);
            const int pieces = static_cast<int>(std::ceil(leg_step_s / 60));
            const double piece_s = leg_step_s / pieces;
            for (int i = 0; i < steps * pieces; ++i) {
                const double from = static_cast<double>(i) / pieces, to = static_cast<double>(i + 1) / pieces;
                const double middle = 0.5 * (from + to);
                const auto slopes = [&](const box::NodeTemps& at_temps, double at) {
                    return slopes_at(network, at_temps, outside, inputs.ambient_c(at, steps),
                                     inputs.power_w(at, steps));
                };
                const double before_c = temps[animals];
                const auto k1 = slopes(temps, from);
                const auto k2 = slopes(moved(temps, k1, piece_s / 2), middle);
                const auto k3 = slopes(moved(temps, k2, piece_s / 2), middle);
                const auto k4 = slopes(moved(temps, k3, piece_s), to);
                for (std::size_t n = 0; n < network.nodes.size(); ++n)
                    temps[n] += piece_s / 6 * (k1[n] + 2 * k2[n] + 2 * k3[n] + k4[n]);
                seen.add_line(before_c, temps[animals], piece_s / testing::kHour_s, safe_);
            }
            point += steps + 1;
        }
        return seen;
    }

private:
    [[nodiscard]] static box::NodeTemps moved(box::NodeTemps temps, const box::NodeTemps& slopes,
                                              double length_s) {
        for (std::size_t n = 0; n < temps.size(); ++n) temps[n] += length_s * slopes[n];
        return temps;
    }

    [[nodiscard]] static box::NodeTemps slopes_at(const box::Network& network, const box::NodeTemps& temps,
                                                  double outside, double ambient_c, double power_w) {
        box::NodeTemps heat_w{};
        for (std::size_t n = 0; n < network.nodes.size(); ++n) {
            const auto& node = network.nodes[n];
            const double to_ambient = node.to_ambient.value() + (n == network.film_node ? outside : 0.0);
            heat_w[n] = node.constant_power.value() + node.warmer_share * power_w +
                        to_ambient * (ambient_c - temps[n]);
        }
        for (const auto& link : network.links) {
            const double flow_w = link.conductance.value() * (temps[link.a] - temps[link.b]);
            heat_w[link.a] -= flow_w;
            heat_w[link.b] += flow_w;
        }
        for (std::size_t n = 0; n < network.nodes.size(); ++n) heat_w[n] /= network.nodes[n].capacity.value();
        return heat_w;
    }

    const BenchTrips& trips_;
    odds::SafeBand safe_;
};

/// SUNDIALS CVODE: BDF, dense Newton, exact Jacobian; started afresh where the surroundings jump. It writes
/// `pieces` times for each quarter-hour step, with straight lines between.
class Cvode {
public:
    Cvode(const BenchTrips& trips, odds::SafeBand safe, double relative_tolerance, int pieces)
        : trips_(trips),
          safe_(safe),
          pieces_(pieces),
          solver_(trips.network(0), relative_tolerance, relative_tolerance) {}

    [[nodiscard]] Experience run(int scenario) {
        std::vector<testing::CvodeReference::Leg> legs;
        std::vector<LegInputs> inputs;
        std::vector<double> starts_s, times_s;
        double now_s = 0;
        int point = 0;
        for (std::size_t leg = 0; leg < trips_.legs(); ++leg) {
            const double piece_s = trips_.step_s(scenario, leg) / pieces_;
            starts_s.push_back(now_s);
            inputs.emplace_back(trips_, scenario, point);
            const int count = trips_.steps(leg) * pieces_;
            for (int i = 1; i <= count; ++i) times_s.push_back(now_s + i * piece_s);
            now_s += count * piece_s;
            times_s.back() = now_s;
            legs.push_back({now_s, &trips_.network(leg), trips_.film(leg)});
            point += trips_.steps(leg) + 1;
        }
        const auto at_step = [&](double time_s, std::size_t leg) {
            return (time_s - starts_s[leg]) / trips_.step_s(scenario, leg);
        };
        const auto states = solver_.run(
            testing::all_at(trips_.ambient_c(scenario, 0)), legs,
            [&](double t, std::size_t leg) {
                return inputs[leg].ambient_c(at_step(t, leg), trips_.steps(leg));
            },
            [&](double t, std::size_t leg) {
                return inputs[leg].power_w(at_step(t, leg), trips_.steps(leg));
            },
            times_s);
        return experience(scenario, times_s, states);
    }

private:
    [[nodiscard]] Experience experience(int scenario, const std::vector<double>& times_s,
                                        const std::vector<testing::CvodeReference::State>& states) const {
        const std::size_t animals = trips_.network(0).animals;
        Experience seen;
        double before_c = trips_.ambient_c(scenario, 0), before_s = 0;
        seen.add_point(before_c);
        for (std::size_t i = 0; i < times_s.size(); ++i) {
            const double now_c = states[i].temps_c[animals];
            seen.add_line(before_c, now_c, (times_s[i] - before_s) / testing::kHour_s, safe_);
            before_c = now_c;
            before_s = times_s[i];
        }
        return seen;
    }

    const BenchTrips& trips_;
    odds::SafeBand safe_;
    int pieces_;
    testing::CvodeReference solver_;
};

}  // namespace mildway::bench
