// Which figures a log tells, and in words why not.
#pragma once

#include "mildway/learning/fit.hpp"

#include "least_squares.hpp"
#include "uncertainty.hpp"

#include <string>
#include <vector>

namespace mildway::learning {

/// A solution, how sure noise leaves it, and how sure what was taken as known (`considered`, of the free
/// figures). A held air exchange has the spread that the recipe gives it.
struct Outcome {
    const Solution* solution = nullptr;
    const Uncertainty* uncertainty = nullptr;
    Eigen::MatrixXd considered;
    double air_log_sd = 0;
};

/// Values and intervals of all figures.
[[nodiscard]] std::vector<Figure> figures_of(const Trial& recipe, const std::vector<FigureKind>& kinds,
                                             const Outcome& outcome);

/// Correlation of the parameters of a covariance.
[[nodiscard]] std::vector<std::vector<double>> correlation_of(const Eigen::MatrixXd& covariance);

/// Whether walls and warmers are near enough to the recipe's to be those of this packing.
[[nodiscard]] bool are_believable(const std::vector<Figure>& figures);

/// Why the air exchange is not told by a fit in which all figures are free; empty when it is.
[[nodiscard]] std::string air_why_not(const std::vector<Figure>& figures, const Outcome& outcome);

/// Marks the figures that are not told.
void judge(std::vector<Figure>& figures, const Outcome& outcome);

/// Marks all of them, for one reason.
void tell_nothing(std::vector<Figure>& figures, const std::string& why, const std::string& what_would);

}  // namespace mildway::learning
