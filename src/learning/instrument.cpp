#include "instrument.hpp"

#include <cmath>

#include <fmt/format.h>

namespace mildway::learning {

namespace {

// Judgement: up to these a lag that is taken as proportional stands for the logger's own. Beyond, it comes
// out too small (15 minutes as 10, 40 as 15) and the figures are wrong by more than their intervals. No
// logger is ahead of the air: what looks like it is more heat in the box than was said, another box, or
// another clock.
constexpr double kMostLag_min = 8.5;
constexpr double kLeastLag_min = -2;
constexpr double kMostOffset_k = 2;

}  // namespace

Eigen::VectorXd effect_of_lag(const Eigen::VectorXd& temps_c, const Stretches& stretches) {
    const auto lag_s = static_cast<double>(kLagUnit.count());
    Eigen::VectorXd behind_k = Eigen::VectorXd::Zero(temps_c.size());
    for (const Stretch& stretch : stretches.all) {
        for (std::size_t i = stretch.first_reading + 1; i < stretch.end_reading; ++i) {
            const auto at = static_cast<Eigen::Index>(i);
            const double step_s = 3600 * in_hours(stretches.when[i] - stretches.when[i - 1]);
            const double settled_k = -(temps_c(at) - temps_c(at - 1)) / step_s * lag_s;
            behind_k(at) = settled_k + (behind_k(at - 1) - settled_k) * std::exp(-step_s / lag_s);
        }
    }
    return behind_k;
}

double lag_min(const Instrument& logger) {
    return logger.lag * static_cast<double>(kLagUnit / minutes(1));
}

std::string why_unusable(const Instrument& logger) {
    if (lag_min(logger) > kMostLag_min) {
        return fmt::format(
            "the logger seems to be {:.0f} minutes behind the air it is in, expected at most {:g}",
            lag_min(logger), kMostLag_min);
    }
    if (lag_min(logger) < kLeastLag_min) {
        return fmt::format(
            "the logger would have to be {:.0f} minutes ahead of the air it is in, which none is: is all "
            "that lay in the box said, and are packing and clocks right",
            -lag_min(logger));
    }
    if (std::abs(logger.offset_k) > kMostOffset_k) {
        return fmt::format(
            "the logger seems to read {:.1f} K {} than what says how warm the air around was, expected at "
            "most {:g}",
            std::abs(logger.offset_k), logger.offset_k > 0 ? "more" : "less", kMostOffset_k);
    }
    return "";
}

}  // namespace mildway::learning
