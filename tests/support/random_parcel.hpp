// Parcels and trips at random, within what people could pack and carriers could do.
#pragma once

#include "mildway/box/packing.hpp"
#include "mildway/odds/box_model.hpp"

#include "../../src/odds/aligned.hpp"
#include "../../src/odds/block_burning.hpp"
#include "../../src/odds/kernel.hpp"
#include "box_fixtures.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <numeric>
#include <vector>

namespace mildway::testing {

/// A recipe of any supplies: 0 to 3 warmers of any kinds, 0 to 3 coolants of one kind.
[[nodiscard]] inline box::Packing random_packing(Dice& dice, const box::Supplies& supplies) {
    const auto any = [&](const auto& table) { return table.at(dice.below(table.all().size())); };
    box::Packing packing;
    packing.id = packing.label = "random";
    packing.inner_m = {dice.between(0.14, 0.40), dice.between(0.14, 0.30), dice.between(0.07, 0.25)};
    packing.liner = {any(supplies.materials), dice.between(0.010, 0.060)};
    packing.board = {supplies.materials.at(*supplies.materials.index_of("corrugated-c")),
                     dice.between(0.0015, 0.007)};
    packing.fill_material = any(supplies.materials);
    packing.fill_kg = dice.between(0, 0.2);
    do packing.cup = any(supplies.cups);
    while (packing.cups_that_fit() < 1);
    const std::size_t warmers = dice.below(4);
    for (std::size_t i = 0; i < warmers; ++i)
        packing.warmers.push_back({dice.below(supplies.warmers.all().size()), 1, dice.between(0, 3)});
    const int coolants = static_cast<int>(dice.below(4));
    if (coolants > 0) packing.coolant = {any(supplies.coolants), coolants, dice.between(-18, 30)};
    packing.vents = {static_cast<int>(dice.below(9)), dice.between(0.003, 0.012)};
    packing.seams_l_per_h = dice.scaled(0.5, 20);
    packing.liner_spread = 0.1;
    packing.air_spread = 1.5;
    return packing;
}

/// 1 to 6 animals of 1 to 500 g that fit.
[[nodiscard]] inline box::Contents random_contents(Dice& dice, const box::Packing& packing) {
    const auto most = static_cast<std::size_t>(std::min(6, packing.cups_that_fit()));
    const double heaviest_kg = std::min(0.5, 900 * packing.cup.volume_m3());
    return {static_cast<int>(1 + dice.below(most)), dice.scaled(0.001, heaviest_kg)};
}

/// One block through 4 to 12 legs that take 12 to 72 hours, in steps of about 15 minutes as odds::Exposure
/// lays them. Weather of its own in every lane.
class RandomTrip {
public:
    RandomTrip(Dice& dice, const transit::Settings& settings, const box::Packing& packing,
               const box::Warmers& types) {
        const std::size_t legs = 4 + dice.below(9);
        std::vector<double> parts;
        for (std::size_t i = 0; i < legs; ++i) parts.push_back(dice.scaled(0.3, 4));
        const double hours = dice.between(12, 72) / std::accumulate(parts.begin(), parts.end(), 0.0);
        for (auto& series : weather_c_) series = hourly_weather(dice);
        std::array<double, odds::kLanes> now_s{};
        for (std::size_t leg = 0; leg < legs; ++leg) {
            setting_.push_back(static_cast<int>(dice.below(settings.all().size())));
            const transit::Setting& around = settings.at(static_cast<std::size_t>(setting_.back()));
            legs_.push_back({around.hold_c + dice.between(-3, 3), around.follow, dice.between(-2, 8)});
            add_leg(dice, parts[leg] * hours * kHour_s, now_s);
        }
        burn(dice, packing, types);
    }

    [[nodiscard]] std::size_t legs() const { return steps_.size(); }
    [[nodiscard]] int steps(std::size_t leg) const { return steps_[leg]; }
    [[nodiscard]] std::size_t setting(std::size_t leg) const {
        return static_cast<std::size_t>(setting_[leg]);
    }
    [[nodiscard]] std::size_t points() const { return ambient_c_.size() / odds::kLanes; }
    [[nodiscard]] double step_s(std::size_t leg, std::size_t lane) const {
        return static_cast<double>(step_s_[leg * odds::kLanes + lane]);
    }
    [[nodiscard]] const float* ambient_c() const { return ambient_c_.data(); }
    /// nullptr without warmers, as the next.
    [[nodiscard]] const float* power_w() const { return power_w_.empty() ? nullptr : power_w_.data(); }
    /// Output of each use relative to its table.
    [[nodiscard]] std::vector<double> scales(std::size_t lane) const {
        std::vector<double> scales;
        for (const auto& scale : scales_) scales.push_back(static_cast<double>(scale[lane]));
        return scales;
    }

    /// Ambient between the points, too.
    [[nodiscard]] double ambient_at(std::size_t leg, std::size_t lane, double time_s) const {
        const auto& hourly = weather_c_[lane];
        const double hour = time_s / kHour_s;
        const auto whole =
            static_cast<std::size_t>(std::clamp(hour, 0.0, static_cast<double>(hourly.size()) - 2));
        const double outside = std::lerp(hourly[whole], hourly[whole + 1], hour - static_cast<double>(whole));
        return legs_[leg].hold_c + legs_[leg].follow * (outside - legs_[leg].hold_c) + legs_[leg].lift_k;
    }

    /// The same as the kernel sees it, straight between its points.
    [[nodiscard]] double ambient_between_points(std::size_t leg, std::size_t lane, double time_s) const {
        std::size_t point = 0;
        for (std::size_t before = 0; before < leg; ++before) {
            time_s -= steps_[before] * step_s(before, lane);
            point += static_cast<std::size_t>(steps_[before]) + 1;
        }
        const double at = time_s / step_s(leg, lane);
        const int k = std::clamp(static_cast<int>(at), 0, steps_[leg] - 1);
        const float* here = &ambient_c_[(point + static_cast<std::size_t>(k)) * odds::kLanes + lane];
        return std::lerp(static_cast<double>(here[0]), static_cast<double>(here[odds::kLanes]), at - k);
    }

    [[nodiscard]] odds::BlockExposure view() const {
        return {static_cast<int>(steps_.size()),
                longest_,
                steps_.data(),
                setting_.data(),
                step_s_.data(),
                step_range_.data(),
                ambient_c_.data()};
    }

    /// The warmers' output once more with the air exchange of another variant.
    void burn_with(double air_l_per_h) {
        if (uses_.empty()) return;
        std::vector<odds::WarmerRamps> uses;
        for (std::size_t i = 0; i < uses_.size(); ++i) uses.push_back(uses_[i].view(scales_[i].data()));
        power_w_.resize(ambient_c_.size());
        oxygen_share_.resize(ambient_c_.size());
        odds::AlignedFloats scratch(static_cast<std::size_t>(longest_) * odds::kLanes);
        odds::burn_block(
            view(),
            {uses.data(), static_cast<int>(uses.size()), static_cast<float>(volume_l_),
             static_cast<float>(air_l_per_h), static_cast<float>(box::air_litres_per_watt_hour())},
            scratch.data(), {power_w_.data(), oxygen_share_.data()});
    }
    [[nodiscard]] const float* oxygen_share() const {
        return oxygen_share_.empty() ? nullptr : oxygen_share_.data();
    }
    [[nodiscard]] int longest_leg_points() const { return longest_; }

private:
    struct Leg {
        double hold_c, follow, lift_k;
    };

    /// From winter to summer: a day's swing, and noise that forgets in some hours.
    [[nodiscard]] static std::vector<double> hourly_weather(Dice& dice) {
        std::vector<double> temp_c;
        const double level_c = dice.between(-20, 35), swing_k = dice.between(2, 8);
        double noise_k = 0;
        for (int hour = 0; hour < 96; ++hour) {
            noise_k = 0.85 * noise_k + dice.between(-1.5, 1.5);
            temp_c.push_back(level_c + swing_k * std::sin(2 * std::numbers::pi * (hour - 4) / 24) + noise_k);
        }
        return temp_c;
    }

    void add_leg(Dice& dice, double typical_s, std::array<double, odds::kLanes>& now_s) {
        std::array<double, odds::kLanes> length_s{};
        for (double& length : length_s) length = typical_s * dice.between(0.92, 1.08);
        steps_.push_back(
            static_cast<int>(std::ceil(*std::max_element(length_s.begin(), length_s.end()) / 900)));
        longest_ = std::max(longest_, steps_.back() + 1);
        for (const double length : length_s) step_s_.push_back(static_cast<float>(length / steps_.back()));
        const auto first = step_s_.end() - odds::kLanes;
        const auto [shortest, longest] = std::minmax_element(first, step_s_.end());
        step_range_.push_back(*shortest);
        step_range_.push_back(*longest);
        const std::size_t leg = steps_.size() - 1;
        for (int k = 0; k <= steps_.back(); ++k) {
            for (std::size_t lane = 0; lane < odds::kLanes; ++lane)
                ambient_c_.push_back(
                    static_cast<float>(ambient_at(leg, lane, now_s[lane] + k * step_s(leg, lane))));
        }
        for (std::size_t lane = 0; lane < odds::kLanes; ++lane)
            now_s[lane] += steps_.back() * step_s(leg, lane);
    }

    void burn(Dice& dice, const box::Packing& packing, const box::Warmers& types) {
        volume_l_ = 1000 * packing.inner_volume_m3();
        for (const auto& use : packing.warmers) {
            uses_.push_back(odds::free_air_table(types.at(use.type), use.opened_before_packing_h));
            auto& scale = scales_.emplace_back();
            for (int lane = 0; lane < odds::kLanes; ++lane)
                scale.push_back(static_cast<float>(use.count * dice.between(0.5, 1.4)));
        }
        burn_with(packing.air_exchange_l_per_h());
    }

    std::vector<int> steps_, setting_;
    std::vector<Leg> legs_;
    std::array<std::vector<double>, odds::kLanes> weather_c_;
    int longest_ = 0;
    double volume_l_ = 0;
    std::vector<odds::FreeAirTable> uses_;
    std::vector<odds::AlignedFloats> scales_;
    odds::AlignedFloats step_s_, step_range_, ambient_c_, power_w_, oxygen_share_;
};

/// What the kernel makes of one block.
struct KernelRun {
    KernelRun(const RandomTrip& trip, const odds::BoxTable& table, odds::SafeBand safe)
        : animals_c(trip.points() * odds::kLanes) {
        odds::AlignedFloats scratch(2 * static_cast<std::size_t>(trip.longest_leg_points()) * odds::kLanes);
        odds::AlignedFloats leg_cold(trip.legs() * odds::kLanes), leg_warm(trip.legs() * odds::kLanes);
        odds::BlockOutcome outcome{cold_h.data(),   warm_h.data(),    cold_k_h.data(),
                                   warm_k_h.data(), coldest_c.data(), warmest_c.data(),
                                   leg_cold.data(), leg_warm.data(),  animals_c.data()};
        odds::run_block(trip.view(), table, trip.power_w(), safe, scratch.data(), outcome);
    }
    odds::AlignedFloats cold_h = odds::AlignedFloats(odds::kLanes), warm_h = cold_h, cold_k_h = cold_h,
                        warm_k_h = cold_h, coldest_c = cold_h, warmest_c = cold_h;
    odds::AlignedFloats animals_c;  ///< [point][lane]
};

}  // namespace mildway::testing
