// What a fit takes as known and is not: how far it may move the figures.
#pragma once

#include "least_squares.hpp"
#include "spreads.hpp"

#include <vector>

#include <Eigen/Core>

namespace mildway::learning {

/// Covariance of the figures of a solution that comes from one spread of the heat inside and of `more`
/// effects on the readings, each a column of kelvins ("considered" parameters, Schmidt 1966: not fitted, but
/// not forgotten).
[[nodiscard]] Eigen::MatrixXd considered_covariance(const BoxResponse& response, const Solution& solution,
                                                    const std::vector<Eigen::VectorXd>& more);

}  // namespace mildway::learning
