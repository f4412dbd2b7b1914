// Exact modal stepping of whole parcels over whole trips against SUNDIALS CVODE at a tight tolerance.
#include "mildway/box/films.hpp"

#include "box_fixtures.hpp"
#include "catch.hpp"
#include "cvode_reference.hpp"

#include <algorithm>
#include <cmath>
#include <vector>

using namespace mildway;
using namespace mildway::box;
using testing::CvodeReference;
using testing::Dice;
using testing::kHour_s;

namespace {

constexpr double kQuarter_s = 900.0;
constexpr int kTripHours = 72;

/// A leg of the trip: ambient = hold + follow * (outside - hold) + lift, so that it jumps where legs meet.
struct TripLeg {
    int end_h;
    double air_speed_m_per_s;
    double hold_c, follow, lift_k;
};
const std::vector<TripLeg> kTrip{{2, 0.1, 21, 0, 0},     {5, 0.5, 18, 0.8, 9},  {16, 0.2, 18, 0.5, 0},
                                 {19, 2.0, 0, 1, 0},     {23, 1.0, 12, 0.1, 0}, {47, 0.2, 17, 0.4, 0},
                                 {55, 0.5, 18, 0.9, 12}, {58, 4.0, 0, 1, 6},    {kTripHours, 0.1, 21, 0, 0}};

/// Outside air at each full hour: a daily wave, a cold front after a day, and a scatter.
std::vector<double> outside_air() {
    Dice dice(71);
    std::vector<double> air_c;
    for (int h = 0; h <= kTripHours; ++h) {
        const double front = h < 24 ? 14.0 : std::max(-6.0, 14.0 - 2.5 * (h - 24));
        air_c.push_back(front + 7 * std::sin((h - 9) * 2 * 3.14159 / 24) + dice.between(-1.5, 1.5));
    }
    return air_c;
}

struct Drive {
    std::vector<double> air_c = outside_air();
    const Packing* packing;
    const Warmers* warmers;

    [[nodiscard]] double ambient_c(double time_s, const TripLeg& leg) const {
        const double hour = time_s / kHour_s;
        const auto below = static_cast<std::size_t>(std::clamp(std::floor(hour), 0.0, kTripHours - 1.0));
        const double air =
            air_c[below] + (hour - static_cast<double>(below)) * (air_c[below + 1] - air_c[below]);
        return leg.hold_c + leg.follow * (air - leg.hold_c) + leg.lift_k;
    }
    [[nodiscard]] double power_w(double time_s) const {
        double power = 0;
        for (const WarmerUse& use : packing->warmers)
            power +=
                use.count * warmers->at(use.type).power_at(time_s / kHour_s + use.opened_before_packing_h);
        return power;
    }
};

/// Node temperatures at each quarter of an hour by the program's way: exact steps, a change of basis between
/// legs.
std::vector<NodeTemps> by_modes(const Network& network, const Drive& drive, double start_c) {
    std::vector<NodeTemps> temps_c;
    NodeTemps now = testing::all_at(start_c);
    int quarter = 0;
    for (const TripLeg& leg : kTrip) {
        const Modes modes = decompose(network, outside_film(leg.air_speed_m_per_s));
        NodeTemps x = to_modes(modes, now);
        for (; quarter < 4 * leg.end_h; ++quarter) {
            const double from_s = quarter * kQuarter_s, to_s = from_s + kQuarter_s;
            step(modes, x, kQuarter_s, drive.ambient_c(from_s, leg), drive.ambient_c(to_s, leg),
                 drive.power_w(from_s), drive.power_w(to_s));
            temps_c.push_back(to_temps(modes, x));
        }
        now = to_temps(modes, x);
    }
    return temps_c;
}

/// The same by CVODE, started afresh at every quarter of an hour, where the air or the warmer's table may
/// bend.
std::vector<NodeTemps> by_cvode(const Network& network, const Drive& drive, double start_c) {
    std::vector<CvodeReference::Leg> legs;
    std::vector<std::size_t> trip_leg;
    std::vector<double> times_s;
    int quarter = 0;
    for (std::size_t i = 0; i < kTrip.size(); ++i) {
        for (; quarter < 4 * kTrip[i].end_h; ++quarter) {
            times_s.push_back((quarter + 1) * kQuarter_s);
            legs.push_back({times_s.back(), &network, outside_film(kTrip[i].air_speed_m_per_s)});
            trip_leg.push_back(i);
        }
    }
    CvodeReference reference(network, 1e-9, 1e-10);
    const auto states = reference.run(
        testing::all_at(start_c), legs,
        [&](double time_s, std::size_t leg) { return drive.ambient_c(time_s, kTrip[trip_leg[leg]]); },
        [&](double time_s, std::size_t) { return drive.power_w(time_s); }, times_s);
    std::vector<NodeTemps> temps_c;
    for (const auto& state : states) temps_c.push_back(state.temps_c);
    return temps_c;
}

double largest_difference_k(const std::vector<NodeTemps>& a, const std::vector<NodeTemps>& b,
                            std::size_t nodes) {
    double largest = 0;
    for (std::size_t i = 0; i < a.size(); ++i) {
        for (std::size_t node = 0; node < nodes; ++node) {
            largest = std::max(largest, std::abs(a[i][node] - b[i][node]));
        }
    }
    return largest;
}

}  // namespace

TEST_CASE("every shipped parcel follows CVODE through a three day trip") {
    const testing::ShippedBoxes boxes;
    for (const Packing& packing : boxes.packings.all()) {
        if (packing.coolant) continue;  // parcel_cvode_test.cpp
        for (const Contents& contents : {Contents{1, 0.001}, Contents{3, 0.015}, Contents{1, 0.500}}) {
            CAPTURE(packing.id, contents.count, contents.mass_kg_each);
            const Network network = build_network(packing, boxes.supplies.warmers, contents, {});
            Drive drive;
            drive.packing = &packing;
            drive.warmers = &boxes.supplies.warmers;
            const auto modal = by_modes(network, drive, 23.0);
            const auto reference = by_cvode(network, drive, 23.0);
            REQUIRE(modal.size() == 4 * kTripHours);
            REQUIRE(reference.size() == modal.size());
            CHECK(largest_difference_k(modal, reference, network.nodes.size()) < 0.01);
        }
    }
}

// The trip must be one on which a wrong film or a lost jump would show.
TEST_CASE("the trip behind the CVODE comparison moves the animals by many degrees") {
    const testing::ShippedBoxes boxes;
    const Network network = boxes.network("small-19", {1, 0.015});
    Drive drive;
    drive.packing = &boxes.packings.find("small-19");
    drive.warmers = &boxes.supplies.warmers;
    double low = 1e9, high = -1e9;
    for (const NodeTemps& temps_c : by_modes(network, drive, 23.0)) {
        low = std::min(low, temps_c[network.animals]);
        high = std::max(high, temps_c[network.animals]);
    }
    CHECK(high - low > 15.0);
}
