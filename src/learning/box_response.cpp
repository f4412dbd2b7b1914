#include "box_response.hpp"

#include "mildway/box/burning.hpp"
#include "mildway/box/modes.hpp"

namespace mildway::learning {

namespace {

// Warmers lose their beginning in a quarter of an hour; slower logs cannot show it.
constexpr seconds kWarmersShow = minutes(5);

constexpr Eigen::Index kShell = 0;
constexpr Eigen::Index kContents = 1;
constexpr Eigen::Index kWarmers = 2;

}  // namespace

double Trial::*number_of(FigureKind kind) {
    switch (kind) {
        case FigureKind::wall:
            return &Trial::wall_factor;
        case FigureKind::air_exchange:
            return &Trial::air_l_per_h;
        case FigureKind::warmer:
            break;
    }
    return &Trial::warmer_factor;
}

struct BoxResponse::Parts {
    box::Network network;
    box::Modes modes;
    std::size_t read_at;
    std::vector<Eigen::Index> group;  ///< of each node

    [[nodiscard]] double reading(const box::NodeTemps& x) const {
        double temp_c = 0;
        for (std::size_t m = 0; m < modes.n; ++m) temp_c += modes.to_nodes[read_at][m] * x[m];
        return temp_c;
    }
};

BoxResponse::BoxResponse(const FitRequest& request, const Stretches& stretches)
    : request_(&request),
      stretches_(&stretches),
      recipe_(*request.packing),
      liner_c_(0.5 * (stretches.mean_inside_c + stretches.mean_outside_c)),
      groups_(!recipe_.warmers.empty() && stretches.interval <= kWarmersShow ? 3 : 2) {
    recipe_.learnt = {};
}

BoxResponse::Parts BoxResponse::parts_of(const Trial& trial) const {
    box::Packing packing = recipe_;
    packing.learnt.air_exchange_l_per_h = trial.air_l_per_h;
    box::BoxVariant variant;
    variant.wall_factor = trial.wall_factor;
    variant.liner_c = liner_c_;
    Parts parts{box::build_network(packing, *request_->warmers, request_->contents, variant), {}, 0, {}};
    for (std::size_t i = 0; i < parts.network.nodes.size(); ++i) {
        box::Node& node = parts.network.nodes[i];
        if (i != parts.network.film_node && node.warmer_share == 0)
            node.capacity = trial.heat_factor * node.capacity;
    }
    parts.modes = box::decompose(parts.network, request_->film);
    parts.read_at = request_->at == LoggerAt::cavity ? parts.network.cavity : parts.network.animals;
    for (std::size_t i = 0; i < parts.network.nodes.size(); ++i) {
        const bool warms = groups_ > kWarmers && parts.network.nodes[i].warmer_share > 0;
        parts.group.push_back(i == parts.network.film_node ? kShell : warms ? kWarmers : kContents);
    }
    return parts;
}

Eigen::VectorXd BoxResponse::predict(const Trial& trial, const Eigen::VectorXd& begins_c) const {
    const Parts parts = parts_of(trial);
    const std::vector<double> scales(recipe_.warmers.size(), trial.warmer_factor);
    box::Burning burning(recipe_, *request_->warmers, trial.air_l_per_h, scales);
    double burnt_until_s = 0;
    Eigen::VectorXd out(static_cast<Eigen::Index>(stretches_->measured_c.size()));
    Eigen::Index begin = 0;
    for (const Stretch& stretch : stretches_->all) {
        box::NodeTemps temps_c{};
        for (std::size_t i = 0; i < parts.group.size(); ++i) temps_c.at(i) = begins_c(begin + parts.group[i]);
        begin += groups_;
        box::NodeTemps x = box::to_modes(parts.modes, temps_c);
        const GridPoint* before = nullptr;
        double power0_w = 0;
        for (const GridPoint& point : stretch.points) {
            burning.advance(point.since_packed_s - burnt_until_s);
            burnt_until_s = point.since_packed_s;
            const double power1_w = burning.power_w();
            if (before != nullptr) {
                box::step(parts.modes, x, point.since_packed_s - before->since_packed_s, before->ambient_c,
                          point.ambient_c, power0_w, power1_w);
            }
            if (point.reading != kNoReading) out(static_cast<Eigen::Index>(point.reading)) = parts.reading(x);
            before = &point;
            power0_w = power1_w;
        }
    }
    return out;
}

Eigen::MatrixXd BoxResponse::by_begins(const Trial& trial) const {
    Parts parts = parts_of(trial);
    parts.modes.offset.fill(0);  // nothing but the beginning acts
    Eigen::MatrixXd out =
        Eigen::MatrixXd::Zero(static_cast<Eigen::Index>(stretches_->measured_c.size()), all_begins());
    Eigen::Index column = 0;
    for (const Stretch& stretch : stretches_->all) {
        for (Eigen::Index group = 0; group < groups_; ++group, ++column) {
            box::NodeTemps temps_c{};
            for (std::size_t i = 0; i < parts.group.size(); ++i)
                temps_c.at(i) = parts.group[i] == group ? 1 : 0;
            box::NodeTemps x = box::to_modes(parts.modes, temps_c);
            double before_s = stretch.points.front().since_packed_s;
            for (const GridPoint& point : stretch.points) {
                box::step(parts.modes, x, point.since_packed_s - before_s, 0, 0, 0, 0);
                before_s = point.since_packed_s;
                if (point.reading != kNoReading)
                    out(static_cast<Eigen::Index>(point.reading), column) = parts.reading(x);
            }
        }
    }
    return out;
}

}  // namespace mildway::learning
