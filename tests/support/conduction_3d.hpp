// Steady conduction through the walls of a hollow box in three dimensions, by finite volumes.
#pragma once

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <optional>
#include <stdexcept>
#include <vector>

namespace mildway::testing {

/// One layer of wall around the inside.
struct Shell {
    double thickness_m;
    double conductivity_w_per_m_k;
};

/// A box with the same layers on all faces. A face without a film is isothermal.
struct HollowBox {
    std::array<double, 3> inner_m;
    std::vector<Shell> shells;  ///< from the inside outward
    std::optional<double> inner_film_w_per_m2_k;
    std::optional<double> outer_film_w_per_m2_k;
};

/// One eighth of a box (planes of symmetry carry no heat) on a grid of boxes that grow away from the inner
/// edges, where the flux has no bound: with cell sides that grow with the square of their number, the error
/// falls with the square of the number.
class Conduction3d {
public:
    /// `cells`: along half an inner side, and as many through the first shell.
    Conduction3d(const HollowBox& box, std::size_t cells) : box_(box) {
        if (box.shells.empty() || cells < 2) throw std::invalid_argument("Conduction3d: no wall or no grid");
        for (std::size_t axis = 0; axis < 3; ++axis) lay_out(axis, cells);
        size_ = side_m_[0].size() * side_m_[1].size() * side_m_[2].size();
        assemble();
    }

    /// Heat through the whole wall for each kelvin between inside and outside, W/K.
    [[nodiscard]] double conductance_w_per_k() const {
        const std::vector<double> temps = solve();
        double through = 0;
        for (std::size_t c = 0; c < size_; ++c) through += from_inside_[c] * (1 - temps[c]);
        return 8 * through;
    }

private:
    static constexpr std::size_t kInside = 0;  // shell number of the cavity; shell s of the box is s + 1

    void lay_out(std::size_t axis, std::size_t cells) {
        const auto n = static_cast<double>(cells);
        const double half_m = box_.inner_m[axis] / 2;
        const auto add = [&](double side_m, std::size_t shell) {
            side_m_[axis].push_back(side_m);
            shell_[axis].push_back(shell);
        };
        for (std::size_t i = cells; i > 0; --i)
            add(half_m * (2 * static_cast<double>(i) - 1) / (n * n), kInside);
        for (std::size_t i = 1; i <= cells; ++i)
            add(box_.shells[0].thickness_m * (2 * static_cast<double>(i) - 1) / (n * n), 1);
        for (std::size_t s = 1; s < box_.shells.size(); ++s) {
            for (std::size_t i = 0; i < cells / 4 + 1; ++i)
                add(box_.shells[s].thickness_m / static_cast<double>(cells / 4 + 1), s + 1);
        }
    }

    using Cell = std::array<std::size_t, 3>;

    [[nodiscard]] std::size_t index(const Cell& at) const {
        return (at[0] * side_m_[1].size() + at[1]) * side_m_[2].size() + at[2];
    }
    [[nodiscard]] std::size_t shell(const Cell& at) const {
        return std::max({shell_[0][at[0]], shell_[1][at[1]], shell_[2][at[2]]});
    }
    /// From the middle of a cell to its face across `axis`, m2 K/W.
    [[nodiscard]] double half_resistance(const Cell& at, std::size_t axis) const {
        return side_m_[axis][at[axis]] / 2 / box_.shells[shell(at) - 1].conductivity_w_per_m_k;
    }
    [[nodiscard]] static double film_resistance(const std::optional<double>& film) {
        return film ? 1 / *film : 0;
    }

    void assemble() {
        for (auto& links : next_) links.assign(size_, 0);
        diagonal_.assign(size_, 0);
        from_inside_.assign(size_, 0);
        for (std::size_t axis = 0; axis < 3; ++axis) stride_[axis] = index(unit(axis));
        Cell at{};
        for (at[0] = 0; at[0] < side_m_[0].size(); ++at[0])
            for (at[1] = 0; at[1] < side_m_[1].size(); ++at[1])
                for (at[2] = 0; at[2] < side_m_[2].size(); ++at[2])
                    for (std::size_t axis = 0; axis < 3; ++axis) join(at, axis);
        for (double& d : diagonal_)
            if (d == 0) d = 1;  // cavity
    }
    [[nodiscard]] static Cell unit(std::size_t axis) {
        Cell cell{};
        cell[axis] = 1;
        return cell;
    }

    /// What lies between a cell and its next along `axis`: wall, the inner face, or the outer face.
    void join(const Cell& at, std::size_t axis) {
        const std::size_t c = index(at);
        const double area_m2 =
            side_m_[(axis + 1) % 3][at[(axis + 1) % 3]] * side_m_[(axis + 2) % 3][at[(axis + 2) % 3]];
        if (at[axis] + 1 == side_m_[axis].size()) {
            diagonal_[c] +=
                area_m2 / (half_resistance(at, axis) + film_resistance(box_.outer_film_w_per_m2_k));
            return;
        }
        Cell beyond = at;
        ++beyond[axis];
        const std::size_t b = index(beyond);
        if (shell(beyond) == kInside) return;
        if (shell(at) == kInside) {
            const double g =
                area_m2 / (half_resistance(beyond, axis) + film_resistance(box_.inner_film_w_per_m2_k));
            diagonal_[b] += g;
            from_inside_[b] += g;
            return;
        }
        const double g = area_m2 / (half_resistance(at, axis) + half_resistance(beyond, axis));
        next_[axis][c] = g;
        diagonal_[c] += g;
        diagonal_[b] += g;
    }

    void multiply(const std::vector<double>& x, std::vector<double>& y) const {
        for (std::size_t c = 0; c < size_; ++c) y[c] = diagonal_[c] * x[c];
        for (std::size_t axis = 0; axis < 3; ++axis) {
            const std::size_t stride = stride_[axis];
            const std::vector<double>& link = next_[axis];
            for (std::size_t c = 0; c + stride < size_; ++c) {
                y[c] -= link[c] * x[c + stride];
                y[c + stride] -= link[c] * x[c];
            }
        }
    }

    /// Conjugate gradients, preconditioned by the diagonal. Inside 1, outside 0.
    [[nodiscard]] std::vector<double> solve() const {
        std::vector<double> x(size_, 0), r = from_inside_, z(size_), p(size_, 0), ap(size_);
        double before = 1, first = 0;
        for (int iteration = 0; iteration < 5000; ++iteration) {
            double now = 0;
            for (std::size_t c = 0; c < size_; ++c) {
                z[c] = r[c] / diagonal_[c];
                now += r[c] * z[c];
            }
            if (iteration == 0) first = now;
            if (now < 1e-16 * first) return x;
            const double beta = iteration == 0 ? 0 : now / before;
            before = now;
            for (std::size_t c = 0; c < size_; ++c) p[c] = z[c] + beta * p[c];
            multiply(p, ap);
            double curvature = 0;
            for (std::size_t c = 0; c < size_; ++c) curvature += p[c] * ap[c];
            const double alpha = now / curvature;
            for (std::size_t c = 0; c < size_; ++c) {
                x[c] += alpha * p[c];
                r[c] -= alpha * ap[c];
            }
        }
        throw std::runtime_error("Conduction3d: conjugate gradients have not converged");
    }

    HollowBox box_;
    std::array<std::vector<double>, 3> side_m_;
    std::array<std::vector<std::size_t>, 3> shell_;
    std::size_t size_ = 0;
    std::array<std::size_t, 3> stride_{};
    std::array<std::vector<double>, 3> next_;  ///< conductance to the next cell along each axis
    std::vector<double> diagonal_;
    std::vector<double> from_inside_;
};

/// The same from two grids, with the error's leading term (of second order) taken out (Richardson).
[[nodiscard]] inline double conduction_3d_w_per_k(const HollowBox& box, std::size_t cells = 16) {
    const double coarse = Conduction3d(box, cells).conductance_w_per_k();
    const double fine = Conduction3d(box, 3 * cells / 2).conductance_w_per_k();
    return fine + (fine - coarse) / (1.5 * 1.5 - 1);
}

}  // namespace mildway::testing
