// Laws that every run must keep, tried on seeded random networks and parcels.
#include "mildway/box/films.hpp"

#include "box_fixtures.hpp"
#include "catch.hpp"

#include <algorithm>
#include <cmath>
#include <vector>

using namespace mildway;
using namespace mildway::box;
using testing::Dice;
using testing::kHour_s;

namespace {

constexpr WattsPerSquareMeterKelvin kFilm{8.23};

/// What a stretch of `length_s` brings: ambient and power, each from and to.
struct Stretch {
    double length_s;
    double ambient0_c, ambient1_c;
    double power0_w, power1_w;
};

std::vector<Stretch> random_trip(Dice& dice, bool with_power) {
    std::vector<Stretch> trip;
    for (int i = 0; i < 12; ++i) {
        trip.push_back({dice.scaled(60, 4 * kHour_s), dice.between(-20, 45), dice.between(-20, 45),
                        with_power ? dice.between(0, 4) : 0.0, with_power ? dice.between(0, 4) : 0.0});
    }
    return trip;
}

void run(const Modes& modes, NodeTemps& x, const Stretch& s) {
    step(modes, x, s.length_s, s.ambient0_c, s.ambient1_c, s.power0_w, s.power1_w);
}

/// The part of a stretch between two shares (0 to 1) of it.
Stretch part(const Stretch& s, double from, double to) {
    const auto at = [](double a, double b, double share) { return a + share * (b - a); };
    return {s.length_s * (to - from), at(s.ambient0_c, s.ambient1_c, from),
            at(s.ambient0_c, s.ambient1_c, to), at(s.power0_w, s.power1_w, from),
            at(s.power0_w, s.power1_w, to)};
}

double heat_j(const Network& network, const NodeTemps& temps_c) {
    double sum = 0;
    for (std::size_t i = 0; i < network.nodes.size(); ++i)
        sum += network.nodes[i].capacity.value() * temps_c[i];
    return sum;
}

/// Net power into the whole network at one instant, W, and the sum of its terms without their signs.
struct Flow {
    double net_w, gross_w;
};
Flow flow(const Network& network, const NodeTemps& temps_c, double ambient_c, double power_w) {
    Flow sum{0, 0};
    for (std::size_t i = 0; i < network.nodes.size(); ++i) {
        const Node& node = network.nodes[i];
        const double film = i == network.film_node ? outside_conductance(network, kFilm).value() : 0.0;
        const double gain_w = node.constant_power.value() + node.warmer_share * power_w;
        const double loss_w = (node.to_ambient.value() + film) * (temps_c[i] - ambient_c);
        sum.net_w += gain_w - loss_w;
        sum.gross_w += std::abs(gain_w) + std::abs(loss_w);
    }
    return sum;
}

/// Heat that comes in over a stretch by Simpson's rule on `panels` exact sub-steps; moves x to the end.
Flow heat_over(const Network& network, const Modes& modes, NodeTemps& x, const Stretch& s, int panels) {
    Flow sum{0, 0};
    const auto add = [&](double share, double weight) {
        const Stretch here = part(s, share, share);
        const Flow f = flow(network, to_temps(modes, x), here.ambient0_c, here.power0_w);
        sum.net_w += weight * s.length_s * f.net_w;
        sum.gross_w += weight * s.length_s * f.gross_w;
    };
    for (int p = 0; p < panels; ++p) {
        const double from = p / static_cast<double>(panels), to = (p + 1) / static_cast<double>(panels);
        const double middle = 0.5 * (from + to);
        add(from, 1.0 / (6 * panels));
        run(modes, x, part(s, from, middle));
        add(middle, 4.0 / (6 * panels));
        run(modes, x, part(s, middle, to));
        add(to, 1.0 / (6 * panels));
    }
    return sum;
}

}  // namespace

TEST_CASE("heat stored equals heat brought in") {
    Dice dice(101);
    for (int run_number = 0; run_number < 200; ++run_number) {
        CAPTURE(run_number);
        const Network network = testing::random_network(dice);
        const Modes modes = decompose(network, kFilm);
        // panels short against the fastest mode, or Simpson's rule, not the model, would be tested
        const auto panels_for = [&](double length_s) {
            return std::clamp(static_cast<int>(8 * modes.rate_per_s[modes.n - 1] * length_s), 8, 20000);
        };
        const NodeTemps start = testing::all_at(dice.between(15, 28));
        NodeTemps x = to_modes(modes, start);
        double in_j = 0, gross_j = 0;
        for (const Stretch& s : random_trip(dice, true)) {
            const Flow heat = heat_over(network, modes, x, s, panels_for(s.length_s));
            in_j += heat.net_w;
            gross_j += heat.gross_w;
        }
        CHECK(std::abs(heat_j(network, to_temps(modes, x)) - heat_j(network, start) - in_j) < 1e-6 * gross_j);
    }
}

TEST_CASE("without a source no node leaves the range of ambient and start") {
    Dice dice(102);
    for (int run_number = 0; run_number < 300; ++run_number) {
        CAPTURE(run_number);
        Network network = testing::random_network(dice);
        for (Node& node : network.nodes) node.constant_power = Watts(0);
        const Modes modes = decompose(network, kFilm);
        const double start_c = dice.between(15, 28);
        double low = start_c, high = start_c;
        NodeTemps x = to_modes(modes, testing::all_at(start_c));
        for (const Stretch& s : random_trip(dice, false)) {
            low = std::min({low, s.ambient0_c, s.ambient1_c});
            high = std::max({high, s.ambient0_c, s.ambient1_c});
            run(modes, x, s);
            const NodeTemps temps_c = to_temps(modes, x);
            for (std::size_t i = 0; i < modes.n; ++i) {
                CHECK(temps_c[i] >= low - 1e-9);
                CHECK(temps_c[i] <= high + 1e-9);
            }
        }
    }
}

TEST_CASE("a parcel as warm as its surroundings stays so") {
    const testing::ShippedBoxes boxes;
    Network network = boxes.network("small-38-1w", {1, 0.015});
    network.nodes[network.animals].constant_power = Watts(0);
    const Modes modes = decompose(network, kFilm);
    NodeTemps x = to_modes(modes, testing::all_at(21.5));
    step(modes, x, 5 * kHour_s, 21.5, 21.5, 0, 0);
    for (std::size_t i = 0; i < modes.n; ++i) CHECK(to_temps(modes, x)[i] == Approx(21.5).margin(1e-10));
}

TEST_CASE("two half steps are one whole step") {
    Dice dice(103);
    for (int run_number = 0; run_number < 300; ++run_number) {
        CAPTURE(run_number);
        const Modes modes = decompose(testing::random_network(dice), kFilm);
        NodeTemps whole = to_modes(modes, testing::all_at(22));
        NodeTemps halves = whole;
        for (const Stretch& s : random_trip(dice, true)) {
            run(modes, whole, s);
            run(modes, halves, part(s, 0, 0.5));
            run(modes, halves, part(s, 0.5, 1));
        }
        const NodeTemps a = to_temps(modes, whole), b = to_temps(modes, halves);
        for (std::size_t i = 0; i < modes.n; ++i) CHECK(a[i] == Approx(b[i]).margin(1e-9));
    }
}

TEST_CASE("the answer to two causes is the sum of the answers") {
    Dice dice(104);
    for (int run_number = 0; run_number < 300; ++run_number) {
        CAPTURE(run_number);
        Network network = testing::random_network(dice);
        for (Node& node : network.nodes) node.constant_power = Watts(0);
        const Modes modes = decompose(network, kFilm);
        NodeTemps both = to_modes(modes, testing::all_at(22)), weather = both;
        NodeTemps warmth = to_modes(modes, testing::all_at(0));
        for (const Stretch& s : random_trip(dice, true)) {
            run(modes, both, s);
            step(modes, weather, s.length_s, s.ambient0_c, s.ambient1_c, 0, 0);
            step(modes, warmth, s.length_s, 0, 0, s.power0_w, s.power1_w);
        }
        const NodeTemps sum = to_temps(modes, both), a = to_temps(modes, weather),
                        p = to_temps(modes, warmth);
        for (std::size_t i = 0; i < modes.n; ++i) CHECK(sum[i] == Approx(a[i] + p[i]).margin(1e-9));
    }
}
