// Nonlinear least squares by Levenberg and Marquardt, and how sure its result is.
#pragma once

#include "mildway/learning/fit.hpp"

#include "box_response.hpp"
#include "instrument.hpp"

#include <vector>

#include <Eigen/Core>

namespace mildway::learning {

/// What is varied: the logarithms of some of the figures, the instrument, and all beginnings.
class FitProblem {
public:
    /// Figures that are not free stay as in `recipe`; without a free one the instrument is taken as perfect.
    FitProblem(const BoxResponse& response, const Stretches& stretches, const Trial& recipe,
               std::vector<FigureKind> free);

    /// Where to begin: at this trial, every stretch at its first reading.
    [[nodiscard]] Eigen::VectorXd start(const Trial& trial) const;
    [[nodiscard]] Trial trial_at(const Eigen::VectorXd& x) const;
    [[nodiscard]] Instrument instrument_at(const Eigen::VectorXd& x) const;
    [[nodiscard]] const std::vector<FigureKind>& free() const { return free_; }

    // as Eigen's solver wants it
    [[nodiscard]] int inputs() const;
    [[nodiscard]] int values() const;
    int operator()(const Eigen::VectorXd& x, Eigen::VectorXd& residuals) const;
    int df(const Eigen::VectorXd& x, Eigen::MatrixXd& jacobian) const;

private:
    [[nodiscard]] Eigen::Index figures() const { return static_cast<Eigen::Index>(free_.size()); }
    [[nodiscard]] Eigen::Index instrument() const { return free_.empty() ? 0 : 2; }
    [[nodiscard]] Eigen::VectorXd model(const Eigen::VectorXd& x) const;

    const BoxResponse* response_;
    const Stretches* stretches_;
    Trial recipe_;
    std::vector<FigureKind> free_;
};

struct Solution {
    std::vector<FigureKind> free;
    Eigen::VectorXd x;  ///< logarithms relative to the recipe, in the order of `free`, instrument, beginnings
    Eigen::VectorXd residuals;  ///< model minus reading, K
    Eigen::MatrixXd jacobian;
    Trial trial;
    Instrument instrument;
};

/// Everything about one point, whether it is the best or not.
[[nodiscard]] Solution evaluated(const FitProblem& problem, const Eigen::VectorXd& x);

/// Whether a figure went as far as figures may.
[[nodiscard]] bool ran_away(const Solution& solution);

[[nodiscard]] Solution solve(const FitProblem& problem, const Trial& from);

}  // namespace mildway::learning
