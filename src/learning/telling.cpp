#include "telling.hpp"

#include "student_t.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

namespace mildway::learning {

namespace {

constexpr double kFewestIndependent = 4;  // degrees of freedom; with fewer an interval is a guess
// Judgement: beyond these it is rather another box than another liner.
constexpr double kLeastFactor = 0.4;
constexpr double kMostFactor = 2.5;
constexpr double kMostAirFactor = 10;
constexpr double kMostShown = 999;
constexpr double kMostLog = 6;  // exp(6) is 400 times: as good as unknown

std::string_view name_of(FigureKind kind) {
    switch (kind) {
        case FigureKind::wall:
            return "the wall";
        case FigureKind::air_exchange:
            return "the air exchange";
        case FigureKind::warmer:
            break;
    }
    return "the warmers' output";
}

std::string log_for(FigureKind kind, bool with_warmers) {
    switch (kind) {
        case FigureKind::wall:
            return with_warmers
                       ? "a day with the warmers and a day without, with the box carried from a warm room "
                         "into a cold one for six hours or more in each"
                       : "the box carried from a warm room into a cold one for six hours or more, and back";
        case FigureKind::air_exchange:
            return "a day with the vents open and a day with all holes and seams taped, the same otherwise";
        case FigureKind::warmer:
            break;
    }
    return "a day with the warmers and a day without, or a step of the air around while they work";
}

std::string together(FigureKind a, FigureKind b, double r) {
    return fmt::format("{} and {} move the readings in nearly the same way (correlation {:.2f})", name_of(a),
                       name_of(b), r);
}

double t95_of(const Uncertainty& uncertainty) {
    return student_t95(std::max(uncertainty.freedom, kFewestIndependent));
}

/// The other free figure that moves the readings like this one; two that noise leaves narrow intervals are
/// told all the same.
std::string confused_with_another(FigureKind kind, const Outcome& outcome) {
    const auto& free = outcome.solution->free;
    const Eigen::MatrixXd& covariance = outcome.uncertainty->covariance;
    const auto correlation = correlation_of(covariance);
    const double widest_sd = std::log(kNarrowInterval) / 2 / t95_of(*outcome.uncertainty);
    const auto i = static_cast<std::size_t>(std::find(free.begin(), free.end(), kind) - free.begin());
    for (std::size_t j = 0; j < free.size(); ++j) {
        const auto variance = [&](std::size_t k) {
            return covariance(static_cast<Eigen::Index>(k), static_cast<Eigen::Index>(k));
        };
        if (j == i || std::abs(correlation[i][j]) <= kMostCorrelation) continue;
        if (std::max(variance(i), variance(j)) > widest_sd * widest_sd)
            return together(kind, free[j], correlation[i][j]);
    }
    return "";
}

bool is_too_wide(const Figure& figure) {
    return !(figure.high <= kWidestInterval * figure.low);
}

std::string too_wide(const Figure& figure) {
    if (figure.high / figure.low > kMostShown) return "the readings hardly depend on it";
    return fmt::format("its interval reaches over a factor of {:.1f}", figure.high / figure.low);
}

std::string not_believable(const Figure& figure) {
    if (figure.kind == FigureKind::warmer && figure.value < kLeastFactor)
        return "the warmers gave hardly any of their heat: a dud, or opened long before?";
    return fmt::format(
        "{} would be {:.2f} times the recipe's: is it this packing, and is the rest of the recipe "
        "right?",
        name_of(figure.kind), figure.value / figure.recipe);
}

bool is_believable(const Figure& figure) {
    if (figure.kind == FigureKind::air_exchange)
        return figure.value >= figure.recipe / kMostAirFactor &&
               figure.value <= figure.recipe * kMostAirFactor;
    return figure.value >= kLeastFactor && figure.value <= kMostFactor;
}

}  // namespace

std::vector<Figure> figures_of(const Trial& recipe, const std::vector<FigureKind>& kinds,
                               const Outcome& outcome) {
    std::vector<Figure> figures;
    const auto& free = outcome.solution->free;
    for (const FigureKind kind : kinds) {
        Figure figure;
        figure.kind = kind;
        figure.recipe = recipe.*number_of(kind);
        figure.value = outcome.solution->trial.*number_of(kind);
        const auto found = std::find(free.begin(), free.end(), kind);
        figure.held = found == free.end();
        double variance = outcome.air_log_sd * outcome.air_log_sd;
        if (!figure.held) {
            const auto at = static_cast<Eigen::Index>(found - free.begin());
            variance = outcome.uncertainty->covariance(at, at) + outcome.considered(at, at);
        }
        figure.relative_error = std::sqrt(variance);
        const double reach = std::min(kMostLog, t95_of(*outcome.uncertainty) * figure.relative_error);
        figure.low = figure.value * std::exp(-reach);
        figure.high = figure.value * std::exp(reach);
        figures.push_back(figure);
    }
    return figures;
}

std::vector<std::vector<double>> correlation_of(const Eigen::MatrixXd& covariance) {
    std::vector<std::vector<double>> out;
    for (Eigen::Index i = 0; i < covariance.rows(); ++i) {
        out.emplace_back();
        for (Eigen::Index j = 0; j < covariance.cols(); ++j) {
            const double size = std::sqrt(covariance(i, i) * covariance(j, j));
            out.back().push_back(i == j ? 1 : size > 0 ? std::clamp(covariance(i, j) / size, -1.0, 1.0) : 0);
        }
    }
    return out;
}

bool are_believable(const std::vector<Figure>& figures) {
    return std::all_of(figures.begin(), figures.end(), [](const Figure& figure) {
        return figure.kind == FigureKind::air_exchange || is_believable(figure);
    });
}

std::string air_why_not(const std::vector<Figure>& figures, const Outcome& outcome) {
    for (const Figure& figure : figures) {
        if (figure.kind != FigureKind::air_exchange) continue;
        std::string confused = confused_with_another(figure.kind, outcome);
        if (!confused.empty()) return confused;
        if (is_too_wide(figure)) return too_wide(figure);
        if (!is_believable(figure)) return not_believable(figure);
    }
    return are_believable(figures) ? "" : "with it free the other figures are hard to believe";
}

void judge(std::vector<Figure>& figures, const Outcome& outcome) {
    const bool with_warmers = std::any_of(figures.begin(), figures.end(),
                                          [](const Figure& f) { return f.kind == FigureKind::warmer; });
    for (Figure& figure : figures) {
        if (!figure.held) {
            if (figure.kind == FigureKind::warmer && figure.high < kLeastFactor)
                figure.why_not = not_believable(figure);
            if (figure.why_not.empty()) figure.why_not = confused_with_another(figure.kind, outcome);
            if (figure.why_not.empty() && is_too_wide(figure)) figure.why_not = too_wide(figure);
            if (figure.why_not.empty() && outcome.uncertainty->freedom < kFewestIndependent) {
                figure.why_not =
                    fmt::format("the readings are worth {:.0f} independent ones, too few for an interval",
                                std::max(1.0, outcome.uncertainty->independent));
            }
            if (figure.why_not.empty() && !is_believable(figure)) figure.why_not = not_believable(figure);
        }
        figure.told = !figure.held && figure.why_not.empty();
        if (!figure.told) figure.what_would = log_for(figure.kind, with_warmers);
    }
}

void tell_nothing(std::vector<Figure>& figures, const std::string& why, const std::string& what_would) {
    for (Figure& figure : figures) {
        figure.told = false;
        figure.why_not = why;
        figure.what_would = what_would;
    }
}

}  // namespace mildway::learning
