// A sphere that is put into other air at once, by the exact series.
#pragma once

#include <cmath>
#include <numbers>
#include <vector>

namespace mildway::testing {

/// Incropera, Fundamentals of Heat and Mass Transfer, section 5.6: roots of 1 - z cot z = Bi with Bi = h R/k.
/// Everything starts at 1; the air is at 0. Fo = alpha t / R^2.
class SphereSeries {
public:
    explicit SphereSeries(double biot_by_radius, int terms = 200) {
        for (int n = 1; n <= terms; ++n) {
            double low = (n - 1) * std::numbers::pi, high = n * std::numbers::pi;
            const bool rises = n % 2 == 1;
            for (int i = 0; i < 80; ++i) {
                const double z = 0.5 * (low + high);
                const bool beyond = (1 - biot_by_radius) * std::sin(z) - z * std::cos(z) > 0;
                (beyond == rises ? high : low) = z;
            }
            const double z = 0.5 * (low + high);
            roots_.push_back(z);
            weights_.push_back(4 * (std::sin(z) - z * std::cos(z)) / (2 * z - std::sin(2 * z)));
        }
    }

    /// Mean over everything within `share` of the radius, times the share of the volume that is.
    [[nodiscard]] double heat_within(double share, double fourier) const {
        double sum = 0;
        for (std::size_t i = 0; i < roots_.size(); ++i) {
            const double z = roots_[i], a = z * share;
            sum +=
                weights_[i] * std::exp(-z * z * fourier) * 3 * (std::sin(a) - a * std::cos(a)) / (z * z * z);
        }
        return sum;
    }
    [[nodiscard]] double mean(double fourier) const { return heat_within(1, fourier); }
    /// Mean of the outer half of the volume.
    [[nodiscard]] double outer_mean(double fourier) const {
        return 2 * (mean(fourier) - heat_within(std::cbrt(0.5), fourier));
    }

private:
    std::vector<double> roots_;
    std::vector<double> weights_;
};

}  // namespace mildway::testing
