// The lows and highs at which forecast errors are drawn.
#pragma once

#include "mildway/weather/forecast_error.hpp"
#include "mildway/weather/sampled_weather.hpp"

#include <span>
#include <vector>

namespace mildway::weather {

/// The low or high of one local day at one spot. Numbers count half-days since 1970-01-01, local: 2 d is the
/// low of day d (06:00), 2 d + 1 its high (16:00). So the node of one number is the same night or afternoon
/// at every place.
struct ErrorNode {
    Instant when;
    double sd_k = 0;  ///< standard deviation of what is drawn beside the outlook's own values
    double steady_weight =
        0;  ///< of the draw that stays with place and phase; squares of the weights sum to 1
    double chain_weight = 0;  ///< of the draw that forgets
    double memory = 0;        ///< correlation of the chain with the node before; 0 where the chain begins
    bool heavy_tailed = false;
};

[[nodiscard]] constexpr Phase phase_of(int number) {
    return number % 2 == 0 ? Phase::low : Phase::high;
}

/// Places as close as one spot share their draws.
struct Spot {
    Place place;                   ///< the first place there
    std::uint32_t subject = 0;     ///< names its random streams
    std::vector<ErrorNode> nodes;  ///< numbers first_number + i of the lattice
};

/// All nodes of all spots, and how the spots hang together at each.
struct ErrorLattice {
    int first_number = 0;
    std::vector<Spot> spots;
    std::vector<std::size_t> spot_of_place;
    std::vector<std::vector<double>>
        mixing;  ///< [node] lower triangle of weights, row by row, of the spots' own draws

    [[nodiscard]] std::size_t node_count() const { return mixing.size(); }
};

/// Nodes from before the first hour of every outlook to past `to`.
[[nodiscard]] ErrorLattice lay_out_errors(std::span<const PlaceOutlook> places, Instant to);

}  // namespace mildway::weather
