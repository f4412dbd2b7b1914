// What the model says a logger would have read.
#pragma once

#include "stretches.hpp"

#include <Eigen/Core>

namespace mildway::learning {

/// The three figures a log may tell, and one that it may not.
struct Trial {
    double wall_factor = 1;
    double air_l_per_h = 0;
    double warmer_factor = 1;
    double heat_factor = 1;  ///< times the heat that all inside the liner but the warmers holds
};

/// The number of a trial that a figure is.
[[nodiscard]] double Trial::*number_of(FigureKind kind);

/// A recipe under one log. Each stretch begins at temperatures of its own: one of the shell, one of the
/// warmers (where readings are close enough to show it), one of all the rest. They are nuisance: the model is
/// linear in them. Borrows the request and the stretches.
class BoxResponse {
public:
    BoxResponse(const FitRequest& request, const Stretches& stretches);

    /// Beginnings of one stretch.
    [[nodiscard]] Eigen::Index begins() const { return groups_; }
    [[nodiscard]] Eigen::Index all_begins() const {
        return groups_ * static_cast<Eigen::Index>(stretches_->all.size());
    }

    /// degC at all readings; `begins_c` has `all_begins()` temperatures.
    [[nodiscard]] Eigen::VectorXd predict(const Trial& trial, const Eigen::VectorXd& begins_c) const;

    /// Derivatives of `predict` by its beginnings.
    [[nodiscard]] Eigen::MatrixXd by_begins(const Trial& trial) const;

private:
    struct Parts;
    [[nodiscard]] Parts parts_of(const Trial& trial) const;

    const FitRequest* request_;
    const Stretches* stretches_;
    box::Packing recipe_;  ///< without anything learnt
    double liner_c_;
    Eigen::Index groups_;
};

}  // namespace mildway::learning
