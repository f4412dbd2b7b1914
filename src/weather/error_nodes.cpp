#include "error_nodes.hpp"

#include "mildway/base/random.hpp"
#include "mildway/weather/outlook_error.hpp"

#include <algorithm>
#include <cmath>
#include <stdexcept>

#include <Eigen/Cholesky>
#include <Eigen/Core>

namespace mildway::weather {

namespace {

constexpr minutes kLowClock{6 * 60};
constexpr minutes kHighClock{16 * 60};

/// Independent Student multipliers m at two places (or times) shrink the correlation by E[m]^2; with 6
/// degrees of freedom and unit variance E[m] = 2 Gamma(5/2) / (sqrt(2) Gamma(3)) = 0.93999. The draws are
/// correlated by that much more, so that the errors come out as measured.
constexpr double kTailDilution = 0.93999 * 0.93999;

Date day_of(int number) {
    return Date{date::sys_days(date::days(number >> 1))};
}

Instant time_of(const date::time_zone& zone, int number) {
    return to_instant(zone, day_of(number), phase_of(number) == Phase::low ? kLowClock : kHighClock);
}

/// Number of the last node not after `when`.
int number_before(const date::time_zone& zone, Instant when) {
    const auto days = date::sys_days(local_date(zone, when)).time_since_epoch();
    int number = 2 * static_cast<int>(days.count()) + 1;
    while (time_of(zone, number) > when) --number;
    return number;
}

ErrorNode node_of(const PlaceOutlook& at, const date::time_zone& zone, int number, int chain_start) {
    ErrorNode node;
    node.when = time_of(zone, number);
    const double lead = lead_h(at.outlook, node.when);
    const Phase phase = phase_of(number);
    const Season season = season_of(day_of(number), at.place.latitude_deg);
    node.sd_k = drawn_sd_k(at.outlook, at.place.climate, phase, season, node.when);
    const double floor_k = error_sd_k(phase, season, at.place.climate, 0);
    // dressings can be smaller than the floor of a single forecast
    const double steady_share =
        std::min(kSteadyShare, kSteadyShare * floor_k * floor_k / (node.sd_k * node.sd_k));
    node.steady_weight = std::sqrt(steady_share);
    node.chain_weight = std::sqrt(1 - steady_share);
    // the chain begins anew at each node up to its start, so that it does not depend on what other places
    // begin with
    node.memory = number > chain_start
                      ? std::max(kNeighbourCorrelation, std::exp(-12 / error_time_scale_h(lead)))
                      : 0.0;
    node.heavy_tailed = lead < kStudentLeadH;
    return node;
}

/// Row-major lower triangle of the Cholesky factor of the spots' correlations at one node. One season and
/// lead for all pairs keeps the matrix a mixture of an exponential kernel and at least 15 % of the identity:
/// always well conditioned.
std::vector<double> mixing_at(const std::vector<Spot>& spots, const Outlook& outlook, int number,
                              std::size_t node) {
    const auto count = static_cast<Eigen::Index>(spots.size());
    const Place& first = spots.front().place;
    const double lead = lead_h(outlook, spots.front().nodes[node].when);
    const double dilution = spots.front().nodes[node].heavy_tailed ? kTailDilution : 1.0;
    Eigen::MatrixXd correlation = Eigen::MatrixXd::Identity(count, count);
    for (Eigen::Index i = 0; i < count; ++i) {
        for (Eigen::Index j = 0; j < i; ++j) {
            const double distance = distance_km(spots[static_cast<std::size_t>(i)].place,
                                                spots[static_cast<std::size_t>(j)].place);
            const Season season = season_of(day_of(number), first.latitude_deg);
            correlation(i, j) = error_correlation(distance, phase_of(number), season, lead) / dilution;
            correlation(j, i) = correlation(i, j);
        }
    }
    const Eigen::LLT<Eigen::MatrixXd> factor(correlation);
    if (factor.info() != Eigen::Success)
        throw std::logic_error("correlations of places are not positive definite");
    const Eigen::MatrixXd lower = factor.matrixL();
    std::vector<double> out;
    for (Eigen::Index i = 0; i < count; ++i) {
        for (Eigen::Index j = 0; j <= i; ++j) out.push_back(lower(i, j));
    }
    return out;
}

}  // namespace

ErrorLattice lay_out_errors(std::span<const PlaceOutlook> places, Instant to) {
    ErrorLattice lattice;
    std::vector<const PlaceOutlook*> firsts;
    for (const PlaceOutlook& at : places) {
        const auto same = std::find_if(firsts.begin(), firsts.end(), [&](const PlaceOutlook* other) {
            return distance_km(other->place, at.place) < kSameSpotKm;
        });
        lattice.spot_of_place.push_back(static_cast<std::size_t>(same - firsts.begin()));
        if (same == firsts.end()) firsts.push_back(&at);
    }

    std::vector<const date::time_zone*> zones;
    std::vector<int> chain_starts;
    for (const PlaceOutlook* at : firsts) {
        zones.push_back(&find_zone(at->place.zone));
        chain_starts.push_back(number_before(*zones.back(), at->outlook.first_hour));
    }
    lattice.first_number = chain_starts.front();
    int end = lattice.first_number + 2;
    for (std::size_t i = 0; i < places.size(); ++i) {
        const date::time_zone& zone = *zones[lattice.spot_of_place[i]];
        lattice.first_number =
            std::min(lattice.first_number, number_before(zone, places[i].outlook.first_hour));
        end = std::max(end, number_before(zone, to) + 2);
    }

    for (std::size_t i = 0; i < firsts.size(); ++i) {
        Spot spot{firsts[i]->place, subject_of(format_coordinates(firsts[i]->place)), {}};
        for (int number = lattice.first_number; number < end; ++number) {
            spot.nodes.push_back(node_of(*firsts[i], *zones[i], number, chain_starts[i]));
        }
        lattice.spots.push_back(std::move(spot));
    }
    for (int number = lattice.first_number; number < end; ++number) {
        const auto node = static_cast<std::size_t>(number - lattice.first_number);
        lattice.mixing.push_back(mixing_at(lattice.spots, firsts.front()->outlook, number, node));
    }
    return lattice;
}

}  // namespace mildway::weather
