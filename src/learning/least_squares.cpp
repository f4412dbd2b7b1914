#include "least_squares.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

#include <unsupported/Eigen/NonLinearOptimization>

namespace mildway::learning {

namespace {

// A figure that wants to be a hundred times the recipe's, or a hundredth, is not in this log; beyond, it
// changes nothing any more, and the solver leaves it.
const double kFarthest = std::log(100.0);
constexpr double kFirstStep = 0.1;    // of the size of the parameters: a leap ends where nothing changes
constexpr double kDifference = 1e-4;  // of a logarithm, for derivatives

double factor_of(double logarithm) {
    return std::exp(std::clamp(logarithm, -kFarthest, kFarthest));
}

}  // namespace

FitProblem::FitProblem(const BoxResponse& response, const Stretches& stretches, const Trial& recipe,
                       std::vector<FigureKind> free)
    : response_(&response), stretches_(&stretches), recipe_(recipe), free_(std::move(free)) {}

int FitProblem::inputs() const {
    return static_cast<int>(figures() + instrument() + response_->all_begins());
}

int FitProblem::values() const {
    return static_cast<int>(stretches_->measured_c.size());
}

Eigen::VectorXd FitProblem::start(const Trial& trial) const {
    Eigen::VectorXd x = Eigen::VectorXd::Zero(inputs());
    for (std::size_t i = 0; i < free_.size(); ++i) {
        x(static_cast<Eigen::Index>(i)) = std::log(trial.*number_of(free_[i]) / recipe_.*number_of(free_[i]));
    }
    Eigen::Index at = figures() + instrument();
    for (const Stretch& stretch : stretches_->all) {
        x.segment(at, response_->begins()).setConstant(stretches_->measured_c[stretch.first_reading]);
        at += response_->begins();
    }
    return x;
}

Trial FitProblem::trial_at(const Eigen::VectorXd& x) const {
    Trial trial = recipe_;
    for (std::size_t i = 0; i < free_.size(); ++i)
        trial.*number_of(free_[i]) *= factor_of(x(static_cast<Eigen::Index>(i)));
    return trial;
}

Instrument FitProblem::instrument_at(const Eigen::VectorXd& x) const {
    return instrument() == 0 ? Instrument{} : Instrument{x(figures()), x(figures() + 1)};
}

Eigen::VectorXd FitProblem::model(const Eigen::VectorXd& x) const {
    Eigen::VectorXd temps_c = response_->predict(trial_at(x), x.tail(response_->all_begins()));
    if (instrument() == 0) return temps_c;
    const Instrument logger = instrument_at(x);
    temps_c += logger.lag * effect_of_lag(temps_c, *stretches_);
    temps_c.array() += logger.offset_k;
    return temps_c;
}

int FitProblem::operator()(const Eigen::VectorXd& x, Eigen::VectorXd& residuals) const {
    residuals = model(x) - Eigen::Map<const Eigen::VectorXd>(stretches_->measured_c.data(), values());
    return 0;
}

int FitProblem::df(const Eigen::VectorXd& x, Eigen::MatrixXd& jacobian) const {
    for (Eigen::Index i = 0; i < figures(); ++i) {
        Eigen::VectorXd low = x;
        Eigen::VectorXd high = x;
        low(i) -= kDifference;
        high(i) += kDifference;
        jacobian.col(i) = (model(high) - model(low)) / (2 * kDifference);
    }
    const Trial trial = trial_at(x);
    jacobian.rightCols(response_->all_begins()) = response_->by_begins(trial);
    if (instrument() == 0) return 0;
    for (Eigen::Index i = inputs() - response_->all_begins(); i < inputs(); ++i)
        jacobian.col(i) += instrument_at(x).lag * effect_of_lag(jacobian.col(i), *stretches_);
    jacobian.col(figures()) =
        effect_of_lag(response_->predict(trial, x.tail(response_->all_begins())), *stretches_);
    jacobian.col(figures() + 1).setOnes();
    return 0;
}

Solution evaluated(const FitProblem& problem, const Eigen::VectorXd& x) {
    Solution solution;
    solution.free = problem.free();
    solution.x = x;
    solution.residuals.resize(problem.values());
    solution.jacobian.resize(problem.values(), problem.inputs());
    (void)problem(x, solution.residuals);
    (void)problem.df(x, solution.jacobian);
    solution.trial = problem.trial_at(x);
    solution.instrument = problem.instrument_at(x);
    return solution;
}

bool ran_away(const Solution& solution) {
    const auto figures = static_cast<Eigen::Index>(solution.free.size());
    return figures > 0 && solution.x.head(figures).cwiseAbs().maxCoeff() >= kFarthest - 2 * kDifference;
}

Solution solve(const FitProblem& problem, const Trial& from) {
    Eigen::VectorXd x = problem.start(from);
    FitProblem functor = problem;
    Eigen::LevenbergMarquardt<FitProblem> solver(functor);
    solver.parameters.factor = kFirstStep;
    solver.parameters.ftol = 1e-12;
    solver.parameters.xtol = 1e-10;
    solver.parameters.maxfev = 200;
    (void)solver.minimize(x);  // how well it went is seen in the residuals
    return evaluated(problem, x);
}

}  // namespace mildway::learning
