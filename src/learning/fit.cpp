#include "mildway/learning/fit.hpp"

#include "mildway/base/errors.hpp"

#include "considered.hpp"
#include "least_squares.hpp"
#include "telling.hpp"
#include "uncertainty.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

namespace mildway::learning {

namespace {

// Where a recipe says that no air passes, a fit needs something to multiply.
constexpr double kLeastAir_l_per_h = 1;
// Judgement, where a recipe gives no spread of its own: two thirds of boxes within this factor.
constexpr double kLeastAirSpread = 1.3;
// Judgement: what good loggers of a breeder's purse keep.
constexpr double kToldLag_min = 5;
constexpr double kToldOffset_k = 0.5;
constexpr double kChiSquare99 = 6.635;  // one degree of freedom

Misfit misfit_of(const Solution& solution, const Stretches& stretches) {
    Misfit misfit;
    Eigen::Index worst = 0;
    (void)solution.residuals.cwiseAbs().maxCoeff(&worst);
    misfit.rms_k =
        std::sqrt(solution.residuals.squaredNorm() / static_cast<double>(solution.residuals.size()));
    misfit.worst_k = -solution.residuals(worst);
    misfit.worst_at = stretches.when[static_cast<std::size_t>(worst)];
    return misfit;
}

Trial recipe_trial(const box::Packing& packing) {
    box::Packing recipe = packing;
    recipe.learnt = {};
    return {1, std::max(kLeastAir_l_per_h, recipe.air_exchange_l_per_h()), 1, 1};
}

/// What one spread of the air exchange does to the readings.
Eigen::VectorXd effect_of_air(const Solution& all_free, double air_log_sd) {
    const auto at = std::find(all_free.free.begin(), all_free.free.end(), FigureKind::air_exchange);
    return air_log_sd * all_free.jacobian.col(at - all_free.free.begin());
}

/// Whether a fit with the air exchange of the recipe is worse by more than chance: twice the logarithm of the
/// likelihoods' ratio, in independent readings, against chi-square with one degree of freedom.
bool is_contradicted(const Solution& air_held, const Solution& all_free, double independent) {
    const double held = air_held.residuals.squaredNorm();
    const double free = all_free.residuals.squaredNorm();
    return independent * (held - free) > kChiSquare99 * free;
}

std::vector<FigureKind> without_air(std::vector<FigureKind> kinds) {
    kinds.erase(std::remove(kinds.begin(), kinds.end(), FigureKind::air_exchange), kinds.end());
    return kinds;
}

void check(const FitRequest& request) {
    if (request.inside.readings.empty()) throw InputError(request.file, "", 0, "has no readings");
    if (request.packing->coolant) {
        throw InputError(
            request.file, "", 0,
            fmt::format("is fitted to packing {}, which has a coolant; expected a log of the same box "
                        "without one, and a packing without one",
                        request.packing->id));
    }
}

/// The steps of one fit, on one set of stretches.
class Fitter {
public:
    explicit Fitter(const FitRequest& request)
        : stretches_(cut_into_stretches(request, fit_.findings)),
          response_(request, stretches_),
          recipe_(recipe_trial(*request.packing)),
          kinds_{FigureKind::wall, FigureKind::air_exchange},
          air_log_sd_(std::log(std::max(request.packing->air_spread, kLeastAirSpread))) {
        if (!request.packing->warmers.empty()) kinds_.push_back(FigureKind::warmer);
    }

    Fit run() {
        fit_.before = misfit_of(solve_with({}, recipe_), stretches_);
        const Solution air_held = solve_with(without_air(kinds_), recipe_);
        Solution all_free = solve_with(kinds_, air_held.trial);
        // where the air exchange ran away nothing depends on it any more: what it is like is seen at the
        // recipe
        if (ran_away(all_free)) all_free = seen_from(air_held);
        const Uncertainty uncertainty = of(all_free);
        fit_.correlation = correlation_of(uncertainty.covariance);
        const Outcome outcome{&all_free, &uncertainty, considered(all_free, {}), air_log_sd_};
        std::vector<Figure> figures = figures_of(recipe_, kinds_, outcome);
        const std::string why_not = air_why_not(figures, outcome);
        const bool stays_free =
            are_believable(figures) && is_contradicted(air_held, all_free, uncertainty.independent);
        if (why_not.empty() || stays_free) {
            judge(figures, outcome);
            finish(all_free, uncertainty, std::move(figures));
        } else {
            hold_air(all_free, air_held, why_not);
        }
        return std::move(fit_);
    }

private:
    [[nodiscard]] Solution solve_with(const std::vector<FigureKind>& free, const Trial& from) const {
        return solve(FitProblem(response_, stretches_, recipe_, free), from);
    }

    /// A solution with the air exchange at the recipe, and derivatives by all figures.
    [[nodiscard]] Solution seen_from(const Solution& air_held) const {
        const FitProblem problem(response_, stretches_, recipe_, kinds_);
        Eigen::VectorXd x = problem.start(air_held.trial);
        const Eigen::Index rest = air_held.x.size() - static_cast<Eigen::Index>(air_held.free.size());
        x.tail(rest) = air_held.x.tail(rest);
        return evaluated(problem, x);
    }

    [[nodiscard]] Uncertainty of(const Solution& solution) const {
        return uncertainty_of(solution.jacobian, solution.residuals, stretches_,
                              static_cast<Eigen::Index>(solution.free.size()));
    }

    [[nodiscard]] Eigen::MatrixXd considered(const Solution& solution,
                                             const std::vector<Eigen::VectorXd>& more) const {
        return considered_covariance(response_, solution, more);
    }

    /// The air exchange is kept at the recipe and not fitted; that it may be another widens the others.
    void hold_air(const Solution& all_free, const Solution& held, const std::string& why_not) {
        const Uncertainty uncertainty = of(held);
        const Outcome outcome{&held, &uncertainty, considered(held, {effect_of_air(all_free, air_log_sd_)}),
                              air_log_sd_};
        std::vector<Figure> figures = figures_of(recipe_, kinds_, outcome);
        for (Figure& figure : figures) {
            if (figure.held) figure.why_not = why_not;
        }
        judge(figures, outcome);
        if (figures.front().told) {
            fit_.findings.emplace_back(
                "the air exchange is kept at the recipe's, so the wall's figure takes up whatever holes and "
                "seams leak "
                "beyond it; the two together are what the log tells");
        }
        finish(held, uncertainty, std::move(figures));
    }

    void finish(const Solution& solution, const Uncertainty& uncertainty, std::vector<Figure> figures) {
        fit_.after = misfit_of(solution, stretches_);
        fit_.fits = fit_.after.rms_k <= kWorstFit_k;
        const std::string unusable = why_unusable(solution.instrument);
        if (unusable.empty()) {
            tell_instrument(solution.instrument);
        } else {
            fit_.findings.push_back(unusable + ": nothing is told");
            tell_nothing(figures, unusable,
                         "one of a quick logger that read the same as the other when both lay side by side "
                         "for an hour");
        }
        if (!fit_.fits) {
            tell_nothing(figures, "the model does not fit the log",
                         "one of this packing, closed all the time, with the logger where it is said to be");
        }
        fit_.figures = std::move(figures);
        fit_.readings = stretches_.measured_c.size();
        fit_.independent_readings = std::max(1.0, uncertainty.independent);
        for (const Stretch& stretch : stretches_.all)
            fit_.stretches.push_back(
                {stretches_.when[stretch.first_reading], stretches_.when[stretch.end_reading - 1]});
    }

    void tell_instrument(const Instrument& logger) {
        if (lag_min(logger) > kToldLag_min)
            fit_.findings.push_back(fmt::format(
                "the logger seems to be {:.0f} minutes behind the air it is in", lag_min(logger)));
        if (std::abs(logger.offset_k) > kToldOffset_k)
            fit_.findings.push_back(
                fmt::format("the logger seems to read {:.1f} K {} than what says how warm the air around "
                            "was; let both lie side by side for an hour",
                            std::abs(logger.offset_k), logger.offset_k > 0 ? "more" : "less"));
    }

    Fit fit_;
    Stretches stretches_;
    BoxResponse response_;
    Trial recipe_;
    std::vector<FigureKind> kinds_;
    double air_log_sd_;
};

}  // namespace

bool Fit::all_told() const {
    return std::all_of(figures.begin(), figures.end(), [](const Figure& figure) { return figure.told; });
}

Fit fit_box(const FitRequest& request) {
    check(request);
    return Fitter(request).run();
}

}  // namespace mildway::learning
