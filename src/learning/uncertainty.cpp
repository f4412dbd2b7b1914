#include "uncertainty.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <vector>

#include <Eigen/Eigenvalues>

namespace mildway::learning {

namespace {

constexpr double kOpenDirection = 1e-13;  // of the largest eigenvalue: rounding, not information
constexpr double kOpenVariance = 1e4;
constexpr double kNothingLeft_k = 1e-7;  // residuals of rounding alone

/// (J'J)^-1 by eigenvalues, with columns scaled to length 1, and what it leaves out.
struct Inverse {
    Eigen::MatrixXd matrix;
    Eigen::MatrixXd open;  ///< variance of directions that change nothing
};

Inverse inverse_normal(const Eigen::MatrixXd& jacobian) {
    Eigen::VectorXd scale = jacobian.colwise().norm();
    for (Eigen::Index i = 0; i < scale.size(); ++i) scale(i) = scale(i) > 0 ? scale(i) : 1;
    const Eigen::MatrixXd scaled = jacobian * scale.cwiseInverse().asDiagonal();
    const Eigen::SelfAdjointEigenSolver<Eigen::MatrixXd> solver(scaled.transpose() * scaled);
    const double least = kOpenDirection * solver.eigenvalues().maxCoeff();
    Inverse out{Eigen::MatrixXd::Zero(scale.size(), scale.size()),
                Eigen::MatrixXd::Zero(scale.size(), scale.size())};
    for (Eigen::Index i = 0; i < scale.size(); ++i) {
        const Eigen::VectorXd direction = solver.eigenvectors().col(i);
        if (solver.eigenvalues()(i) > least) {
            const Eigen::VectorXd unscaled = direction.cwiseQuotient(scale);
            out.matrix += unscaled * unscaled.transpose() / solver.eigenvalues()(i);
        } else {
            out.open += kOpenVariance * direction * direction.transpose();
        }
    }
    return out;
}

/// Sum over pairs of readings `lag` apart in the same stretch of a x b.
double lagged_sum(const Eigen::VectorXd& a, const Eigen::VectorXd& b, const Stretches& stretches,
                  Eigen::Index lag) {
    double sum = 0;
    for (const Stretch& stretch : stretches.all) {
        const auto begin = static_cast<Eigen::Index>(stretch.first_reading);
        const Eigen::Index pairs = static_cast<Eigen::Index>(stretch.end_reading) - begin - lag;
        if (pairs > 0) sum += a.segment(begin, pairs).dot(b.segment(begin + lag, pairs));
    }
    return sum;
}

/// Autocovariances from lag 0 up to the last one above 0.
std::vector<double> autocovariance(const Eigen::VectorXd& residuals, const Stretches& stretches) {
    const Eigen::Index n = residuals.size();
    std::vector<double> all;
    for (Eigen::Index lag = 0; lag < n / 2; ++lag) {
        const double value = lagged_sum(residuals, residuals, stretches, lag) / static_cast<double>(n);
        if (value <= 0) break;
        all.push_back(value);
    }
    return all;
}

}  // namespace

Uncertainty uncertainty_of(const Eigen::MatrixXd& jacobian, const Eigen::VectorXd& residuals,
                           const Stretches& stretches, Eigen::Index wanted) {
    const auto n = static_cast<double>(residuals.size());
    const auto parameters = static_cast<double>(jacobian.cols());
    // influence of each reading on each wanted parameter
    const Inverse inverse = inverse_normal(jacobian);
    const Eigen::MatrixXd influence = jacobian * inverse.matrix.leftCols(wanted);
    const Eigen::MatrixXd open = inverse.open.topLeftCorner(wanted, wanted);
    Uncertainty out;
    if (std::sqrt(residuals.squaredNorm() / n) < kNothingLeft_k) {
        out.covariance = kNothingLeft_k * kNothingLeft_k * influence.transpose() * influence + open;
        out.independent = n;
        out.freedom = n - parameters;
        return out;
    }
    const std::vector<double> covariances = autocovariance(residuals, stretches);
    out.covariance = covariances.front() * influence.transpose() * influence;
    const Eigen::VectorXd white = out.covariance.diagonal();
    double sum = 1;
    for (std::size_t lag = 1; lag < covariances.size(); ++lag) {
        sum += 2 * covariances[lag] / covariances.front();
        for (Eigen::Index i = 0; i < wanted; ++i) {
            for (Eigen::Index j = 0; j < wanted; ++j) {
                const double both =
                    lagged_sum(influence.col(i), influence.col(j), stretches, static_cast<Eigen::Index>(lag));
                out.covariance(i, j) += covariances[lag] * both;
                out.covariance(j, i) += covariances[lag] * both;
            }
        }
    }
    // never surer than if all readings were independent
    out.covariance.diagonal() = out.covariance.diagonal().cwiseMax(white);
    out.independent = n / sum;
    out.freedom = out.independent - parameters;
    if (out.freedom > 0) out.covariance *= out.independent / out.freedom;
    out.covariance += open;
    return out;
}

}  // namespace mildway::learning
