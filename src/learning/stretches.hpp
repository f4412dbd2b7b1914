// A log cut where it cannot be followed through, laid on one grid with the air around the box.
#pragma once

#include "mildway/learning/fit.hpp"

#include <cstddef>
#include <limits>
#include <string>
#include <vector>

namespace mildway::learning {

inline constexpr std::size_t kNoReading = std::numeric_limits<std::size_t>::max();

struct GridPoint {
    double since_packed_s = 0;
    double ambient_c = 0;
    std::size_t reading = kNoReading;  ///< index into Stretches::measured_c
};

/// The first point is a reading. Ambient is straight between points.
struct Stretch {
    std::vector<GridPoint> points;
    std::size_t first_reading = 0;
    std::size_t end_reading = 0;
};

struct Stretches {
    std::vector<Stretch> all;
    std::vector<double> measured_c;
    std::vector<Instant> when;  ///< of each of them
    seconds interval{0};        ///< of the readings, after thinning
    double mean_inside_c = 0;
    double mean_outside_c = 0;
};

/// Adds to `findings` what was left out. Throws InputError when too little is left.
[[nodiscard]] Stretches cut_into_stretches(const FitRequest& request, std::vector<std::string>& findings);

}  // namespace mildway::learning
