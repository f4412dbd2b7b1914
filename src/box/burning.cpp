#include "mildway/box/burning.hpp"

#include "mildway/box/modes.hpp"

#include <algorithm>
#include <stdexcept>

namespace mildway::box {

namespace {

constexpr double kSecondsPerHour = 3600;
/// Steps are cut into pieces of at most this, h: tables bend within minutes after opening.
constexpr double kLongestPiece_h = 1.0 / 60;

}  // namespace

Burning::Burning(const Packing& packing, const Warmers& types, double air_exchange_l_per_h,
                 std::span<const double> scales)
    : volume_l_(1000 * packing.inner_volume_m3()), air_l_per_h_(air_exchange_l_per_h) {
    if (scales.size() != packing.warmers.size())
        throw std::invalid_argument("Burning: expected one scale for each use of warmers");
    for (std::size_t i = 0; i < scales.size(); ++i) {
        const WarmerUse& use = packing.warmers[i];
        const double learnt = packing.learnt.warmer_factor.value_or(1);
        uses_.push_back({&types.at(use.type), use.opened_before_packing_h, learnt * use.count * scales[i]});
    }
}

double Burning::free_air_power_w(double burnt_h) const {
    double power_w = 0;
    for (const Use& use : uses_) power_w += use.scale * use.type->power_at(use.opened_h + burnt_h);
    return power_w;
}

double Burning::power_w() const {
    return oxygen_share_ * free_air_power_w(burnt_h_);
}

bool Burning::is_spent() const {
    return std::all_of(uses_.begin(), uses_.end(), [&](const Use& use) {
        return use.opened_h + burnt_h_ > use.type->power.back().hours_since_opening;
    });
}

void Burning::advance(double length_s) {
    if (uses_.empty()) return;
    for (double left_h = length_s / kSecondsPerHour; left_h > 0;) {
        // with all tables at their end only fresh air comes in, and one piece is exact
        const double piece_h = is_spent() ? left_h : std::min(left_h, kLongestPiece_h);
        left_h -= piece_h;
        // the share's equation is linear once the table's power is taken at the middle of the piece
        const double power_w = free_air_power_w(burnt_h_ + oxygen_share_ * piece_h / 2);
        const double fresh_per_h = air_l_per_h_ / volume_l_;
        const double rate_per_h = fresh_per_h + air_litres_per_watt_hour() * power_w / volume_l_;
        const Decay over = decay(rate_per_h * piece_h);
        const double settled = rate_per_h > 0 ? fresh_per_h / rate_per_h : oxygen_share_;
        burnt_h_ += piece_h * (settled + (oxygen_share_ - settled) * over.mean);
        oxygen_share_ = settled + (oxygen_share_ - settled) * over.left;
    }
}

double settled_oxygen_share(double free_air_w, double air_exchange_l_per_h) {
    if (!(free_air_w > 0)) return 1;
    return air_exchange_l_per_h / (air_exchange_l_per_h + air_litres_per_watt_hour() * free_air_w);
}

double free_air_power_w(const Packing& packing, const Warmers& types, double hours) {
    double power_w = 0;
    for (const WarmerUse& use : packing.warmers)
        power_w += use.count * types.at(use.type).power_at(use.opened_before_packing_h + hours);
    return packing.learnt.warmer_factor.value_or(1) * power_w;
}

double most_free_air_power_w(const Packing& packing, const Warmers& types) {
    double most_w = 0;
    for (const WarmerUse& use : packing.warmers) {
        for (const auto& point :
             types.at(use.type).power) {  // a sum of straight pieces peaks where one bends
            const double hours = std::max(0.0, point.hours_since_opening - use.opened_before_packing_h);
            most_w = std::max(most_w, free_air_power_w(packing, types, hours));
        }
    }
    return most_w;
}

}  // namespace mildway::box
