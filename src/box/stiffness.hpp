// The network as matrices. Private to the room: Eigen stays out of the public headers.
#pragma once

#include "mildway/box/network.hpp"

#include <Eigen/Core>

namespace mildway::box {

// Bounded at compile time, so that nothing here allocates.
using NodeMatrix =
    Eigen::Matrix<double, Eigen::Dynamic, Eigen::Dynamic, Eigen::ColMajor, kMaxNodes, kMaxNodes>;
using NodeVector = Eigen::Matrix<double, Eigen::Dynamic, 1, Eigen::ColMajor, kMaxNodes, 1>;

struct Stiffness {
    NodeMatrix conductance;  ///< K of C dT/dt = -K T + to_ambient u + ..., W/K
    NodeVector to_ambient;   ///< W/K, with the outside film
};

/// Throws std::invalid_argument when there are no nodes, too many, or a link or index that leads nowhere.
[[nodiscard]] Stiffness assemble(const Network& network, WattsPerSquareMeterKelvin film);

}  // namespace mildway::box
