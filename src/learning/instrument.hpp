// What a logger does to the temperature it is in.
#pragma once

#include "stretches.hpp"

#include <string>

#include <Eigen/Core>

namespace mildway::learning {

/// Nuisance of a fit: how far the logger is behind, in units of kLagUnit, and how much higher it reads than
/// the one of the air around, K. Both may come out negative: then they stand for something else.
struct Instrument {
    double lag = 0;
    double offset_k = 0;
};

inline constexpr seconds kLagUnit = minutes(5);

/// What one unit of lag does to readings, K: a first-order lag that begins in step in each stretch, the air
/// straight between readings. A fit takes it as proportional to the lag.
[[nodiscard]] Eigen::VectorXd effect_of_lag(const Eigen::VectorXd& temps_c, const Stretches& stretches);

[[nodiscard]] double lag_min(const Instrument& logger);

/// Why nothing can be told with such a logger, a sentence without a stop; empty when it is good enough.
[[nodiscard]] std::string why_unusable(const Instrument& logger);

}  // namespace mildway::learning
