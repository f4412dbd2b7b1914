// The kernel as shipped, with coolants and with warmers that share their oxygen, against SUNDIALS CVODE on
// random parcels and trips.
#include "catch.hpp"
#include "cvode_reference.hpp"
#include "random_parcel.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>
#include <optional>
#include <string>
#include <vector>

#include <fmt/format.h>

using namespace mildway;
using testing::CvodeReference;
using testing::kHour_s;
using testing::RandomTrip;

namespace {

constexpr int kTrips = 500;
/// The reference is looked at this often in a step of 15 minutes; straight lines between.
constexpr int kLooks = 60;

/// One scenario by CVODE: the animals at every look, the first included.
struct Reference {
    std::vector<double> time_s;
    std::vector<double> animals_c;

    [[nodiscard]] double hours_above(double edge_c, double sign) const {
        double hours = 0;
        for (std::size_t i = 1; i < time_s.size(); ++i) {
            const double a = sign * (animals_c[i - 1] - edge_c), b = sign * (animals_c[i] - edge_c);
            const double above = std::max(a, 0.0) + std::max(b, 0.0);
            if (above > 0)
                hours += (time_s[i] - time_s[i - 1]) / kHour_s * above / (std::abs(a) + std::abs(b));
        }
        return hours;
    }
    /// A temperature that the animals pass: so far from their coldest to their warmest.
    [[nodiscard]] double between_extremes(double share) const {
        const auto [low, high] = std::minmax_element(animals_c.begin(), animals_c.end());
        return std::lerp(*low, *high, share);
    }
};

/// Parcel, trip and variant of the n-th comparison.
struct Case {
    Case(std::uint64_t seed, const testing::ShippedBoxes& shipped, const transit::Settings& settings)
        : dice(seed),
          packing(testing::random_packing(dice, shipped.supplies)),
          contents(testing::random_contents(dice, packing)),
          trip(dice, settings, packing, shipped.supplies.warmers),
          model(packing, shipped.supplies.warmers, contents, settings, dice.between(-10, 30)),
          variant(dice.below(odds::BoxModel::kVariants)),
          lane(dice.below(odds::kLanes)) {
        trip.burn_with(model.air_exchange_l_per_h(variant));
    }

    [[nodiscard]] std::string describe() const {
        return fmt::format(
            "{} warmers, {} at {:.1f} degC, liner {:.0f} mm, {:.1f} L, {:.1f} L/h, {} x {:.1f} g",
            packing.warmers.size(),
            packing.coolant ? packing.coolant->type.name + " x " + std::to_string(packing.coolant->count)
                            : "no coolant",
            packing.coolant ? packing.coolant->conditioned_to_c : 0.0, 1000 * packing.liner.thickness_m,
            1000 * packing.inner_volume_m3(), model.air_exchange_l_per_h(variant), contents.count,
            1000 * contents.mass_kg_each);
    }

    testing::Dice dice;
    box::Packing packing;
    box::Contents contents;
    RandomTrip trip;
    odds::BoxModel model;
    std::size_t variant;
    std::size_t lane;
};

std::optional<testing::ReferenceFire> fire_of(const Case& c, const box::Warmers& types) {
    if (c.packing.warmers.empty()) return std::nullopt;
    testing::ReferenceFire fire{
        {}, 1000 * c.packing.inner_volume_m3(), c.model.air_exchange_l_per_h(c.variant)};
    const auto scales = c.trip.scales(c.lane);
    for (std::size_t i = 0; i < scales.size(); ++i) {
        const auto& use = c.packing.warmers[i];
        fire.uses.push_back({&types.at(use.type), use.opened_before_packing_h, scales[i]});
    }
    return fire;
}

/// Hourly forecasts bend at full hours, which fall between the kernel's points; there it sees straight lines.
enum class Air { hourly, straight_between_points };

/// Stretches end where the air bends.
Reference by_cvode(const Case& c, const box::Warmers& types, Air air) {
    const RandomTrip& trip = c.trip;
    std::vector<CvodeReference::Leg> stretches;
    std::vector<std::size_t> leg_of_stretch;
    Reference reference;
    std::vector<double> times_s;
    double start_s = 0;
    for (std::size_t leg = 0; leg < trip.legs(); ++leg) {
        const int looks = trip.steps(leg) * kLooks;
        const double look_s = trip.step_s(leg, c.lane) / kLooks, end_s = start_s + looks * look_s;
        for (int i = 1; i < looks; ++i) times_s.push_back(start_s + i * look_s);
        times_s.push_back(end_s);
        const auto add = [&](double until_s) {
            stretches.push_back({until_s, &c.model.network(c.variant, trip.setting(leg)),
                                 c.model.outside_film(c.variant, trip.setting(leg))});
            leg_of_stretch.push_back(leg);
        };
        if (air == Air::straight_between_points) {
            for (int k = 1; k < trip.steps(leg); ++k) add(start_s + k * kLooks * look_s);
        } else {
            for (double hour_s = (std::floor(start_s / kHour_s) + 1) * kHour_s; hour_s < end_s;
                 hour_s += kHour_s)
                add(hour_s);
        }
        add(end_s);
        start_s = end_s;
    }
    const double everywhere_c = trip.ambient_at(0, c.lane, 0);
    CvodeReference solver(c.model.network(c.variant, trip.setting(0)), 1e-9, 1e-9, fire_of(c, types));
    const auto states = solver.run(
        testing::all_at(everywhere_c), stretches,
        [&](double time_s, std::size_t i) {
            const std::size_t leg = leg_of_stretch[i];
            return air == Air::hourly ? trip.ambient_at(leg, c.lane, time_s)
                                      : trip.ambient_between_points(leg, c.lane, time_s);
        },
        [](double, std::size_t) { return 0.0; }, times_s);
    const std::size_t animals = c.model.network(c.variant, 0).animals;
    reference.time_s.push_back(0);
    reference.animals_c.push_back(everywhere_c);
    for (std::size_t i = 0; i < states.size(); ++i) {
        reference.time_s.push_back(times_s[i]);
        reference.animals_c.push_back(states[i].temps_c[animals]);
    }
    return reference;
}

/// The largest difference at the kernel's points, K.
double off_k(const Case& c, const testing::KernelRun& run, const Reference& reference) {
    double most = 0;
    std::size_t point = 0, look = 0;
    for (std::size_t leg = 0; leg < c.trip.legs(); ++leg, ++point) {
        for (int k = 0; k <= c.trip.steps(leg); ++k) {
            const auto kernel_c = static_cast<double>(run.animals_c[point * odds::kLanes + c.lane]);
            most = std::max(most, std::abs(kernel_c - reference.animals_c[look]));
            if (k < c.trip.steps(leg)) {
                ++point;
                look += kLooks;
            }
        }
    }
    return most;
}

struct Distribution {
    std::vector<double> values;

    [[nodiscard]] double worst() const { return *std::max_element(values.begin(), values.end()); }
    [[nodiscard]] std::string text(const char* unit) const {
        std::vector<double> sorted = values;
        std::sort(sorted.begin(), sorted.end());
        const auto at = [&](double share) {
            return sorted[static_cast<std::size_t>(share * static_cast<double>(sorted.size() - 1))];
        };
        return fmt::format(
            "mean {:.5f}, 99 % {:.5f}, worst {:.5f} {}",
            std::accumulate(sorted.begin(), sorted.end(), 0.0) / static_cast<double>(sorted.size()), at(0.99),
            sorted.back(), unit);
    }
};

/// How far off the kernel is on all trips.
struct Findings {
    Distribution kelvins, hours;
    std::vector<std::string> misses;  ///< trips beyond 0.05 K or 0.02 h

    [[nodiscard]] std::string text() const {
        return fmt::format("{}; {}\n{}", kelvins.text("K"), hours.text("h"), fmt::join(misses, "\n"));
    }
};

Findings compare_all(Air air) {
    const testing::ShippedBoxes shipped;
    const auto settings =
        transit::Settings::read(ConfigNode::load(MILDWAY_SOURCE_DIR "/config/settings.json"));
    Findings findings;
    for (std::uint64_t seed = 1; seed <= kTrips; ++seed) {
        const Case c(seed, shipped, settings);
        const Reference reference = by_cvode(c, shipped.supplies.warmers, air);
        testing::Dice dice(10'000 + seed);
        const odds::SafeBand safe{static_cast<float>(reference.between_extremes(dice.between(0.05, 0.5))),
                                  static_cast<float>(reference.between_extremes(dice.between(0.5, 0.95)))};
        const testing::KernelRun run(c.trip, c.model.table(c.variant), safe);
        const double worst_k = off_k(c, run, reference);
        double worst_h = 0, along_h = 0;
        const auto compare = [&](float kernel_h, float edge, double sign) {
            const auto edge_c = static_cast<double>(edge);
            const double off_h =
                std::abs(static_cast<double>(kernel_h) - reference.hours_above(edge_c, sign));
            if (off_h <= worst_h) return;
            worst_h = off_h;
            along_h = reference.hours_above(edge_c - worst_k, 1) - reference.hours_above(edge_c + worst_k, 1);
        };
        compare(run.cold_h[c.lane], safe.low_c, -1);
        compare(run.warm_h[c.lane], safe.high_c, 1);
        findings.kelvins.values.push_back(worst_k);
        findings.hours.values.push_back(worst_h);
        if (worst_k < 0.05 && worst_h < 0.02) continue;
        findings.misses.push_back(fmt::format("trip {}: {:.4f} K, {:.4f} h, {:.3f} h along the edge; {}",
                                              seed, worst_k, worst_h, along_h, c.describe()));
    }
    return findings;
}

}  // namespace

TEST_CASE("the kernel follows CVODE with coolants and shared oxygen through random trips") {
    const Findings findings = compare_all(Air::straight_between_points);
    INFO(findings.text());
    CHECK(findings.kelvins.worst() < 0.05);
    CHECK(findings.hours.worst() < 0.02);
}

TEST_CASE("hourly air that bends between the points of the kernel moves the animals by less than 0.05 K") {
    const Findings findings = compare_all(Air::hourly);
    INFO(findings.text());
    CHECK(findings.kelvins.worst() < 0.05);
}
