// How a place that holds heat follows what drives it.
#pragma once

#include <cmath>

namespace mildway::odds {

/// A first-order low-pass, lag dy/dt = x - y, from one sample to the next: exact for input that runs straight
/// between them. Linear, and 1 in gives 1 out.
class LowPass {
public:
    /// `step_hours` > 0 between samples; `lag_hours` >= 0, at 0 the output is the input.
    LowPass(double step_hours, double lag_hours) {
        if (lag_hours <= 0) return;
        const double steps = step_hours / lag_hours;
        const double mean_kept = -std::expm1(-steps) / steps;
        keep_ = std::exp(-steps);
        before_ = mean_kept - keep_;
        after_ = 1 - mean_kept;
    }

    /// The output one step on.
    template <class T>
    [[nodiscard]] T next(T output, T input, T next_input) const {
        return static_cast<T>(keep_) * output + static_cast<T>(before_) * input +
               static_cast<T>(after_) * next_input;
    }

private:
    double keep_ = 0;
    double before_ = 0;
    double after_ = 1;
};

/// Whole hours after which a memory has forgotten: five lags leave 0.7 % of a step.
[[nodiscard]] inline int reach_hours(double lag_hours) {
    return static_cast<int>(std::ceil(5 * lag_hours));
}

}  // namespace mildway::odds
