#include "warmer_power.hpp"

#include <algorithm>

// The compiler makes a loop for several instruction sets; the program picks one when it is loaded. One set
// always gives the same bytes; two may differ in the last bit, where one rounds a product and a sum together.
#if defined(__x86_64__) && defined(__GNUC__) && !defined(__clang__)
#define MILDWAY_CLONES [[gnu::target_clones("avx512f", "avx2", "default")]]
#else
#define MILDWAY_CLONES
#endif

namespace mildway::odds {

namespace {

bool same(const box::WarmerUse& a, const box::WarmerUse& b) {
    return a.type == b.type && a.count == b.count && a.opened_before_packing_h == b.opened_before_packing_h;
}

MILDWAY_CLONES void add_ramp(const float* elapsed_s, std::size_t count, float from_h, float slope_w_per_h,
                             float* __restrict power_w) {
    for (std::size_t i = 0; i < count; ++i)
        power_w[i] += slope_w_per_h * std::max(0.0f, elapsed_s[i] * (1.0f / 3600.0f) - from_h);
}

}  // namespace

/// A piecewise linear table as a sum of ramps max(0, t - t_k) times the change of slope at t_k: no branch per
/// value. A table that starts or ends above zero gets a jump of one minute there.
std::vector<WarmerPower::Ramp> WarmerPower::ramps(const box::WarmerType& type, const box::WarmerUse& use) {
    constexpr double kJumpH = 1.0 / 60;
    std::vector<box::WarmerType::Point> points = type.power;
    if (points.front().power_w > 0)
        points.insert(points.begin(), {points.front().hours_since_opening - kJumpH, 0});
    if (points.back().power_w > 0) points.push_back({points.back().hours_since_opening + kJumpH, 0});
    std::vector<Ramp> result;
    double slope = 0;
    for (std::size_t i = 0; i < points.size(); ++i) {
        double next = 0;
        if (i + 1 < points.size()) {
            next = (points[i + 1].power_w - points[i].power_w) /
                   (points[i + 1].hours_since_opening - points[i].hours_since_opening);
        }
        result.push_back({static_cast<float>(points[i].hours_since_opening - use.opened_before_packing_h),
                          static_cast<float>(use.count * (next - slope))});
        slope = next;
    }
    return result;
}

void WarmerPower::start_block(const AlignedFloats& elapsed_s) {
    elapsed_s_ = &elapsed_s;
    for (auto& series : series_) series.current = false;
}

const float* WarmerPower::unit_power(const box::WarmerUse& use) {
    auto found =
        std::find_if(series_.begin(), series_.end(), [&](const Series& s) { return same(s.use, use); });
    if (found == series_.end())
        found = series_.insert(series_.end(), {use, ramps(warmers_->at(use.type), use), false, {}});
    if (!found->current) {
        found->current = true;
        found->power_w.assign(elapsed_s_->size(), 0.0f);
        for (const Ramp& ramp : found->ramps) {
            add_ramp(elapsed_s_->data(), elapsed_s_->size(), ramp.from_h, ramp.slope_w_per_h,
                     found->power_w.data());
        }
        for (float& power : found->power_w) power = std::max(0.0f, power);
    }
    return found->power_w.data();
}

}  // namespace mildway::odds
