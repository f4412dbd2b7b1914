#include "block_burning.hpp"

#include "mildway/box/air_exchange.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>

namespace mildway::odds {

namespace {

constexpr double kJump_h = 1.0 / 60;

bool same(const box::WarmerUse& a, const box::WarmerUse& b) {
    return a.type == b.type && a.count == b.count && a.opened_before_packing_h == b.opened_before_packing_h;
}

std::vector<box::WarmerType::Point> table_since_packing(const box::WarmerType& type, double opened_h) {
    std::vector<box::WarmerType::Point> points = type.power;
    if (points.front().power_w > 0)
        points.insert(points.begin(), {points.front().hours_since_opening - kJump_h, 0});
    if (points.back().power_w > 0) points.push_back({points.back().hours_since_opening + kJump_h, 0});
    for (auto& point : points) point.hours_since_opening -= opened_h;
    return points;
}

}  // namespace

FreeAirTable free_air_table(const box::WarmerType& type, double opened_before_packing_h) {
    const auto points = table_since_packing(type, opened_before_packing_h);
    double at_packing_w = 0, slope_at_packing = 0, slope = 0;
    FreeAirTable result{0, 0, {}};
    for (std::size_t i = 0; i < points.size(); ++i) {
        const auto& [from_h, power_w] = points[i];
        double next = 0;
        if (i + 1 < points.size())
            next = (points[i + 1].power_w - power_w) / (points[i + 1].hours_since_opening - from_h);
        if (from_h <= 0) {  // burnt past already
            at_packing_w = power_w - next * from_h;
            slope_at_packing = next;
        } else {
            result.ramps.push_back({static_cast<float>(from_h), static_cast<float>(next - slope)});
        }
        slope = next;
    }
    result.at_packing_w = static_cast<float>(at_packing_w);
    result.slope_w_per_h = static_cast<float>(slope_at_packing);
    return result;
}

void BlockBurning::start_block(std::uint32_t block, const BlockExposure& exposure) {
    block_ = block;
    exposure_ = exposure;
    for (Series& series : series_) series.current = false;
}

BlockBurning::Series& BlockBurning::series_of(const BoxModel& box) {
    const box::Packing& packing = box.packing();
    const double air_l_per_h = box.air_exchange_l_per_h(variant_of_block(block_));
    const double volume_l = 1000 * packing.inner_volume_m3();
    const double learnt_factor = packing.learnt.warmer_factor.value_or(1);
    const auto alike = [&](const Series& series) {
        return series.air_l_per_h == air_l_per_h && series.volume_l == volume_l &&
               series.learnt_factor == learnt_factor &&
               std::equal(series.uses.begin(), series.uses.end(), packing.warmers.begin(),
                          packing.warmers.end(),
                          [](const Use& a, const box::WarmerUse& b) { return same(a.use, b); });
    };
    const auto found = std::find_if(series_.begin(), series_.end(), alike);
    if (found != series_.end()) return *found;
    Series series;
    for (const box::WarmerUse& use : packing.warmers)
        series.uses.push_back(
            {use, free_air_table(world_->warmers->at(use.type), use.opened_before_packing_h)});
    series.air_l_per_h = air_l_per_h;
    series.volume_l = volume_l;
    series.learnt_factor = learnt_factor;
    return series_.emplace_back(std::move(series));
}

BurningOutcome BlockBurning::outcome(const BoxModel& box) {
    if (box.packing().warmers.empty()) return {nullptr, nullptr};
    Series& series = series_of(box);
    if (!series.current) burn(series);
    return {series.power_w.data(), series.oxygen_share.data()};
}

void BlockBurning::burn(Series& series) {
    const int points = std::accumulate(exposure_.steps, exposure_.steps + exposure_.legs, exposure_.legs);
    series.power_w.resize(static_cast<std::size_t>(points) * kBlock);
    series.oxygen_share.resize(series.power_w.size());
    scratch_.resize(static_cast<std::size_t>(exposure_.longest_leg_points) * kBlock);
    scales_.resize(std::max(scales_.size(), series.uses.size()));
    std::vector<WarmerRamps> uses;
    for (std::size_t i = 0; i < series.uses.size(); ++i) {
        const Use& use = series.uses[i];
        const auto scale =
            world_->handling->warmer_scale(use.use.type, use.use.count).subspan(block_ * kBlock, kBlock);
        const auto together = static_cast<float>(use.use.count * series.learnt_factor);
        scales_[i].resize(kBlock);
        std::transform(scale.begin(), scale.end(), scales_[i].begin(),
                       [&](float one) { return one * together; });
        uses.push_back(use.table.view(scales_[i].data()));
    }
    const BurningTable table{uses.data(), static_cast<int>(uses.size()), static_cast<float>(series.volume_l),
                             static_cast<float>(series.air_l_per_h),
                             static_cast<float>(box::air_litres_per_watt_hour())};
    burn_block(exposure_, table, scratch_.data(), {series.power_w.data(), series.oxygen_share.data()});
    series.current = true;
}

}  // namespace mildway::odds
