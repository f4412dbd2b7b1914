// How sure least squares are of a parameter when neighbouring residuals are alike.
#pragma once

#include "stretches.hpp"

#include <Eigen/Core>

namespace mildway::learning {

struct Uncertainty {
    Eigen::MatrixXd covariance;  ///< of the first parameters
    double independent = 0;      ///< readings that n alike ones are worth
    double freedom = 0;          ///< independent readings less the parameters; may be below 0
};

/// Covariance A J' S J A of the first `wanted` parameters, A = (J'J)^-1 and S the residuals' own
/// autocovariance: the sandwich of Newey and West (1987), with lags cut where the autocorrelation first
/// falls to 0 (as Geyer 1992 does for means) instead of being weighted down. The number of independent
/// readings is n / (1 + 2 sum of the autocorrelations) (Bayley and Hammersley 1946), and the covariance is
/// scaled up for what the parameters took out of the residuals. A direction that the data leave open gets a
/// very large variance.
[[nodiscard]] Uncertainty uncertainty_of(const Eigen::MatrixXd& jacobian, const Eigen::VectorXd& residuals,
                                         const Stretches& stretches, Eigen::Index wanted);

}  // namespace mildway::learning
