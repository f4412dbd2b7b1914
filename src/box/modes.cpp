#include "mildway/box/modes.hpp"

#include "stiffness.hpp"

#include <cmath>
#include <stdexcept>

#include <Eigen/Eigenvalues>

namespace mildway::box {

namespace {

// A node without a way to ambient has the rate 0, which arithmetic returns as +-1e-16 of the fastest. Parcels
// span 1e3.
constexpr double kSlowestToFastest = 1e-12;

/// Per node: capacity, and the heat that one unit of power, and the constant sources, bring to it.
struct NodeColumns {
    NodeVector root_capacity;
    NodeVector warmer_share;
    NodeVector constant_power;
    NodeVector coolant;  ///< W for each K of the coolant above its melting point
};

NodeColumns columns_of(const Network& network) {
    const auto size = static_cast<Eigen::Index>(network.nodes.size());
    NodeColumns columns{NodeVector(size), NodeVector(size), NodeVector(size), NodeVector::Zero(size)};
    for (Eigen::Index i = 0; i < size; ++i) {
        const Node& node = network.nodes[static_cast<std::size_t>(i)];
        if (!(node.capacity.value() > 0.0)) {
            throw std::invalid_argument("decompose: node '" + node.name + "' has no heat capacity");
        }
        columns.root_capacity(i) = std::sqrt(node.capacity.value());
        columns.warmer_share(i) = node.warmer_share;
        columns.constant_power(i) = node.constant_power.value();
    }
    if (network.coolant) {
        const auto cavity = static_cast<Eigen::Index>(network.cavity);
        const double g = network.coolant->to_cavity.value();
        columns.coolant(cavity) = g;
        columns.constant_power(cavity) += g * network.coolant->melts_at_c;
    }
    return columns;
}

void check_rates(const NodeVector& rates) {
    if (!(rates(0) > kSlowestToFastest * rates(rates.size() - 1))) {
        throw std::invalid_argument("decompose: a node has no way to ambient, or a conductance below 0");
    }
}

/// (1 - (1 - exp(-z))/z)/z as its power series, sum of (-z)^k / (k + 2)!; 16 terms give 1e-16 for z < 1.
double ramp_series(double z) {
    double sum = 0.5;
    double term = 0.5;
    for (int k = 1; k < 16; ++k) {
        term *= -z / (k + 2);
        sum += term;
    }
    return sum;
}

double target(const Modes& modes, std::size_t m, double ambient_c, double power_w) {
    return modes.ambient_gain[m] * ambient_c + modes.power_gain[m] * power_w + modes.offset[m];
}

NodeTemps multiply(const std::array<NodeTemps, kMaxNodes>& matrix, std::size_t n, const NodeTemps& vector) {
    NodeTemps product{};
    for (std::size_t i = 0; i < n; ++i) {
        for (std::size_t j = 0; j < n; ++j) product[i] += matrix[i][j] * vector[j];
    }
    return product;
}

}  // namespace

Modes decompose(const Network& network, WattsPerSquareMeterKelvin film) {
    Stiffness stiffness = assemble(network, film);
    if (network.coolant) {  // which while it melts is a second surroundings of fixed temperature
        const auto cavity = static_cast<Eigen::Index>(network.cavity);
        stiffness.conductance(cavity, cavity) += network.coolant->to_cavity.value();
    }
    const NodeColumns columns = columns_of(network);
    const NodeVector inverse_root = columns.root_capacity.cwiseInverse();
    const NodeMatrix scaled = inverse_root.asDiagonal() * stiffness.conductance * inverse_root.asDiagonal();
    Eigen::SelfAdjointEigenSolver<NodeMatrix> solver(scaled.rows());
    solver.compute(scaled);
    const NodeVector rates = solver.eigenvalues();
    check_rates(rates);

    const NodeMatrix to_nodes = inverse_root.asDiagonal() * solver.eigenvectors();
    // The steady amplitude of each mode under a unit of each input.
    const NodeVector ambient_gain = (to_nodes.transpose() * stiffness.to_ambient).cwiseQuotient(rates);
    const NodeVector power_gain = (to_nodes.transpose() * columns.warmer_share).cwiseQuotient(rates);
    const NodeVector coolant_gain = (to_nodes.transpose() * columns.coolant).cwiseQuotient(rates);
    const NodeVector offset = (to_nodes.transpose() * columns.constant_power).cwiseQuotient(rates);

    Modes modes;
    modes.n = network.nodes.size();
    for (std::size_t m = 0; m < modes.n; ++m) {
        const auto mode = static_cast<Eigen::Index>(m);
        modes.rate_per_s[m] = rates(mode);
        modes.ambient_gain[m] = ambient_gain(mode);
        modes.power_gain[m] = power_gain(mode);
        modes.coolant_gain[m] = coolant_gain(mode);
        modes.offset[m] = offset(mode);
        for (std::size_t i = 0; i < modes.n; ++i) {
            const auto node = static_cast<Eigen::Index>(i);
            modes.to_nodes[i][m] = to_nodes(node, mode);
            modes.from_nodes[m][i] = solver.eigenvectors()(node, mode) * columns.root_capacity(node);
        }
    }
    return modes;
}

Decay decay(double z) {
    const double mean = z > 0.0 ? -std::expm1(-z) / z : 1.0;
    return {std::exp(-z), mean, z < 1.0 ? ramp_series(z) : (1.0 - mean) / z};
}

void step(const Modes& modes, NodeTemps& x, double length_s, double ambient0_c, double ambient1_c,
          double power0_w, double power1_w) {
    for (std::size_t m = 0; m < modes.n; ++m) {
        const double z = modes.rate_per_s[m] * length_s;
        const Decay share = decay(z);
        const double from = target(modes, m, ambient0_c, power0_w);
        const double change = target(modes, m, ambient1_c, power1_w) - from;
        x[m] = share.left * x[m] + z * (share.mean * from + share.ramp * change);
    }
}

NodeTemps to_modes(const Modes& modes, const NodeTemps& temps_c) {
    return multiply(modes.from_nodes, modes.n, temps_c);
}

NodeTemps to_temps(const Modes& modes, const NodeTemps& x) {
    return multiply(modes.to_nodes, modes.n, x);
}

NodeTemps steady_temps(const Modes& modes, double ambient_c, double power_w) {
    NodeTemps x{};
    for (std::size_t m = 0; m < modes.n; ++m) x[m] = target(modes, m, ambient_c, power_w);
    return to_temps(modes, x);
}

}  // namespace mildway::box
