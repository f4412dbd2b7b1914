#include "mildway/box/parcel.hpp"

#include <algorithm>
#include <cmath>
#include <stdexcept>

namespace mildway::box {

namespace {

/// A frozen pack put into a warm box is followed to 0.02 K at this length of step, to 0.1 K at 15 minutes.
constexpr double kLongestCooledStep_s = 240;

}  // namespace

double Coolant::heat_at(double temp_c) const {
    const double above_k = temp_c - melts_at_c;
    return above_k <= 0 ? solid.value() * above_k : latent_j + liquid.value() * above_k;
}

double Coolant::above_melting_k(double heat_j) const {
    return std::min(heat_j, 0.0) / solid.value() + std::max(heat_j - latent_j, 0.0) / liquid.value();
}

ParcelRun::ParcelRun(const Network& network, double everywhere_c) : network_(&network) {
    temps_c_.fill(everywhere_c);
    if (network.coolant) coolant_j_ = network.coolant->heat_at(network.coolant->start_c);
}

void ParcelRun::enter(const Modes& modes) {
    modes_ = &modes;
    x_ = to_modes(modes, temps_c_);
}

void ParcelRun::advance(double length_s, double ambient0_c, double ambient1_c, double power0_w,
                        double power1_w) {
    if (modes_ == nullptr) throw std::logic_error("ParcelRun: advance before enter");
    if (!network_->coolant) {
        step(*modes_, x_, length_s, ambient0_c, ambient1_c, power0_w, power1_w);
    } else {
        const int pieces = std::max(1, static_cast<int>(std::ceil(length_s / kLongestCooledStep_s)));
        for (int i = 0; i < pieces; ++i) {
            const double from = static_cast<double>(i) / pieces, to = static_cast<double>(i + 1) / pieces;
            advance_cooled(length_s / pieces, std::lerp(ambient0_c, ambient1_c, from),
                           std::lerp(ambient0_c, ambient1_c, to), std::lerp(power0_w, power1_w, from),
                           std::lerp(power0_w, power1_w, to));
        }
    }
    temps_c_ = to_temps(*modes_, x_);
}

void ParcelRun::advance_cooled(double length_s, double ambient0_c, double ambient1_c, double power0_w,
                               double power1_w) {
    const Coolant& coolant = *network_->coolant;
    const double above0_k = coolant.above_melting_k(coolant_j_);
    // with the coolant's temperature at the end left open: mean of the cavity = cavity_c + response * above1
    double cavity_c = 0, response = 0;
    std::array<double, kMaxNodes> late_gain{};
    for (std::size_t m = 0; m < modes_->n; ++m) {
        const double z = modes_->rate_per_s[m] * length_s;
        const Decay share = decay(z);
        const auto target = [&](double ambient_c, double power_w, double above_k) {
            return modes_->ambient_gain[m] * ambient_c + modes_->power_gain[m] * power_w +
                   modes_->coolant_gain[m] * above_k + modes_->offset[m];
        };
        const double from = target(ambient0_c, power0_w, above0_k);
        const double to = target(ambient1_c, power1_w, 0);
        const double before = x_[m];
        x_[m] = share.left * before + z * (share.mean * from + share.ramp * (to - from));
        late_gain[m] = z * share.ramp * modes_->coolant_gain[m];
        const double to_cavity = modes_->to_nodes[network_->cavity][m];
        // the mean over the step of an exponential towards a target that runs straight
        cavity_c +=
            to_cavity * ((1 - share.mean) * from + share.mean * before + (0.5 - share.ramp) * (to - from));
        response += to_cavity * modes_->coolant_gain[m] * (0.5 - share.ramp);
    }
    const double passed_j_per_k = coolant.to_cavity.value() * length_s;
    const double back = passed_j_per_k * (0.5 - response);
    const double unless_it_warms_j =
        coolant_j_ + passed_j_per_k * (cavity_c - coolant.melts_at_c - 0.5 * above0_k);
    const double above1_k =
        std::min(unless_it_warms_j, 0.0) / (coolant.solid.value() + back) +
        std::max(unless_it_warms_j - coolant.latent_j, 0.0) / (coolant.liquid.value() + back);
    coolant_j_ = unless_it_warms_j - back * above1_k;
    for (std::size_t m = 0; m < modes_->n; ++m) x_[m] += late_gain[m] * above1_k;
}

double ParcelRun::coolant_c() const {
    return network_->coolant->melts_at_c + network_->coolant->above_melting_k(coolant_j_);
}

double ParcelRun::coolant_melted_share() const {
    return std::clamp(coolant_j_ / network_->coolant->latent_j, 0.0, 1.0);
}

}  // namespace mildway::box
