#include "considered.hpp"

#include <cmath>

#include <Eigen/QR>

namespace mildway::learning {

Eigen::MatrixXd considered_covariance(const BoxResponse& response, const Solution& solution,
                                      const std::vector<Eigen::VectorXd>& more) {
    const Eigen::VectorXd begins_c = solution.x.tail(response.all_begins());
    Trial heavier = solution.trial;
    heavier.heat_factor *= std::exp(kHeatLogSd);
    std::vector<Eigen::VectorXd> effects = more;
    effects.emplace_back(response.predict(heavier, begins_c) - response.predict(solution.trial, begins_c));

    const auto figures = static_cast<Eigen::Index>(solution.free.size());
    const auto normal = solution.jacobian.colPivHouseholderQr();
    Eigen::MatrixXd covariance = Eigen::MatrixXd::Zero(figures, figures);
    for (const Eigen::VectorXd& effect : effects) {
        const Eigen::VectorXd change = normal.solve(effect).head(figures);
        covariance += change * change.transpose();
    }
    return covariance;
}

}  // namespace mildway::learning
