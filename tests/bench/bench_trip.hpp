// The trips that all methods of solving the box are timed on: 72 hours, twelve legs that change the outside
// film, hourly weather with noise, a warmer that starts, holds and fades on the oxygen of the box. Every
// method gets the same numbers: ambient and power at the ends of quarter-hour steps, straight lines between.
#pragma once

#include "mildway/odds/box_model.hpp"

#include "../../src/odds/aligned.hpp"
#include "../../src/odds/block_burning.hpp"
#include "../../src/odds/kernel.hpp"
#include "box_fixtures.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <vector>

namespace mildway::bench {

/// What the animals went through in one scenario.
struct Experience {
    double hours_cold = 0;
    double hours_warm = 0;
    double coldest_c = 1e9;
    double warmest_c = -1e9;
    [[nodiscard]] double hours() const { return hours_cold + hours_warm; }

    /// A straight line of this length between two temperatures.
    void add_line(double from_c, double to_c, double length_h, const odds::SafeBand& safe) {
        const auto share_above = [](double a, double b) {
            const double above = std::max(a, 0.0) + std::max(b, 0.0);
            return above > 0 ? above / (std::abs(a) + std::abs(b)) : 0.0;
        };
        const auto low_c = static_cast<double>(safe.low_c), high_c = static_cast<double>(safe.high_c);
        hours_cold += length_h * share_above(low_c - from_c, low_c - to_c);
        hours_warm += length_h * share_above(from_c - high_c, to_c - high_c);
        add_point(to_c);
    }
    void add_point(double temp_c) {
        coldest_c = std::min(coldest_c, temp_c);
        warmest_c = std::max(warmest_c, temp_c);
    }
};

/// One box and many blocks of scenarios.
class BenchTrips {
public:
    BenchTrips(const std::string& packing, int blocks)
        : settings_(transit::Settings::read(ConfigNode::load(MILDWAY_SOURCE_DIR "/config/settings.json"))),
          box_(shipped_.packings.find(packing), shipped_.supplies.warmers, {1, 0.015}, settings_,
               kTypicalOutside_c) {
        for (const Leg& leg : kPlan) {
            steps_.push_back(static_cast<int>(4 * leg.hours));
            setting_.push_back(static_cast<int>(settings_.find(leg.setting)));
            points_ += steps_.back() + 1;
            longest_ = std::max(longest_, steps_.back() + 1);
        }
        scratch_.resize(static_cast<std::size_t>(2 * longest_) * odds::kLanes);
        testing::Dice dice(2027);
        blocks_.resize(static_cast<std::size_t>(blocks));
        for (Block& block : blocks_) {
            fill(block, dice);
            if (has_warmer()) burn(block);
        }
    }

    [[nodiscard]] int scenarios() const { return static_cast<int>(blocks_.size()) * odds::kLanes; }
    [[nodiscard]] std::size_t legs() const { return steps_.size(); }
    [[nodiscard]] int steps(std::size_t leg) const { return steps_[leg]; }
    [[nodiscard]] const odds::BoxModel& box() const { return box_; }
    [[nodiscard]] const box::Modes& modes(std::size_t leg) const {
        return box_.modes(0, static_cast<std::size_t>(setting_[leg]));
    }
    [[nodiscard]] const box::Network& network(std::size_t leg) const {
        return box_.network(0, static_cast<std::size_t>(setting_[leg]));
    }
    [[nodiscard]] WattsPerSquareMeterKelvin film(std::size_t leg) const {
        return box_.outside_film(0, static_cast<std::size_t>(setting_[leg]));
    }
    [[nodiscard]] const transit::Setting& setting(std::size_t leg) const {
        return settings_.at(static_cast<std::size_t>(setting_[leg]));
    }
    [[nodiscard]] bool has_warmer() const { return !box_.packing().warmers.empty(); }

    [[nodiscard]] double step_s(int scenario, std::size_t leg) const {
        const auto lane = static_cast<std::size_t>(scenario % odds::kLanes);
        return static_cast<double>(block_of(scenario).step_s[leg * odds::kLanes + lane]);
    }
    /// `point` counts through all legs, each with one more than its steps.
    [[nodiscard]] double ambient_c(int scenario, int point) const {
        return static_cast<double>(block_of(scenario).ambient_c[index(scenario, point)]);
    }
    [[nodiscard]] double power_w(int scenario, int point) const {
        if (!has_warmer()) return 0;
        return static_cast<double>(block_of(scenario).power_w[index(scenario, point)]);
    }

    /// All scenarios through the kernel. `burning`: and the warmers' output anew, as for a box that shares it
    /// with no other.
    void run_kernel(odds::SafeBand safe, bool burning, std::vector<Experience>& out) {
        out.resize(static_cast<std::size_t>(scenarios()));
        for (std::size_t i = 0; i < blocks_.size(); ++i) {
            if (burning) burn(blocks_[i]);
            run_block(blocks_[i], safe);
            for (std::size_t lane = 0; lane < odds::kLanes; ++lane) {
                out[i * odds::kLanes + lane] = {
                    static_cast<double>(results_[0][lane]), static_cast<double>(results_[1][lane]),
                    static_cast<double>(results_[4][lane]), static_cast<double>(results_[5][lane])};
            }
        }
    }

private:
    struct Leg {
        const char* setting;
        double hours;
    };
    static constexpr std::array<Leg, 12> kPlan{{{"indoors", 1},
                                                {"vehicle", 2},
                                                {"indoors", 3},
                                                {"vehicle", 4},
                                                {"warehouse", 8},
                                                {"aircraft", 5},
                                                {"warehouse", 12},
                                                {"vehicle", 14},
                                                {"warehouse", 13},
                                                {"vehicle", 6},
                                                {"doorstep", 3},
                                                {"indoors", 1}}};
    static constexpr double kTypicalOutside_c = 2;

    struct Block {
        odds::AlignedFloats step_s, step_range, ambient_c, power_w, oxygen_share, scale;
    };

    [[nodiscard]] const Block& block_of(int scenario) const {
        return blocks_[static_cast<std::size_t>(scenario / odds::kLanes)];
    }
    [[nodiscard]] static std::size_t index(int scenario, int point) {
        return static_cast<std::size_t>(point * odds::kLanes + scenario % odds::kLanes);
    }

    /// A week of hourly weather in one scenario: a day's swing, and noise that forgets in six hours.
    [[nodiscard]] static std::vector<double> hourly_weather(testing::Dice& dice) {
        std::vector<double> temp_c;
        double noise_k = 0;
        const double level_c = dice.between(-4, 8);
        for (int hour = 0; hour < 168; ++hour) {
            noise_k = 0.85 * noise_k + dice.between(-1.5, 1.5);
            temp_c.push_back(level_c + 6 * std::sin(2 * std::numbers::pi * (hour - 4) / 24) + noise_k);
        }
        return temp_c;
    }

    void fill(Block& block, testing::Dice& dice) const {
        std::array<std::vector<double>, odds::kLanes> weather;
        for (auto& series : weather) series = hourly_weather(dice);
        std::array<double, odds::kLanes> now_s{};
        for (int lane = 0; lane < odds::kLanes; ++lane)
            block.scale.push_back(static_cast<float>(dice.between(0.7, 1.2)));
        for (std::size_t leg = 0; leg < steps_.size(); ++leg) {
            const transit::Setting& around = setting(leg);
            for (int lane = 0; lane < odds::kLanes; ++lane)
                block.step_s.push_back(static_cast<float>(dice.between(780, 900)));
            const float* step = block.step_s.data() + leg * odds::kLanes;
            const auto [shortest, longest] = std::minmax_element(step, step + odds::kLanes);
            block.step_range.push_back(*shortest);
            block.step_range.push_back(*longest);
            for (int k = 0; k <= steps_[leg]; ++k) {
                for (std::size_t lane = 0; lane < odds::kLanes; ++lane) {
                    if (k > 0) now_s[lane] += static_cast<double>(step[lane]);
                    const double hour = now_s[lane] / 3600;
                    const auto whole = static_cast<std::size_t>(hour);
                    const double outside = std::lerp(weather[lane][whole], weather[lane][whole + 1],
                                                     hour - static_cast<double>(whole));
                    block.ambient_c.push_back(
                        static_cast<float>(around.hold_c + around.follow * (outside - around.hold_c)));
                }
            }
        }
    }

    [[nodiscard]] odds::BlockExposure view(const Block& block) const {
        return {static_cast<int>(steps_.size()),
                longest_,
                steps_.data(),
                setting_.data(),
                block.step_s.data(),
                block.step_range.data(),
                block.ambient_c.data()};
    }

    void burn(Block& block) {
        const auto& packing = box_.packing();
        std::vector<odds::FreeAirTable> tables;
        std::vector<odds::WarmerRamps> uses;
        for (const auto& use : packing.warmers) {
            tables.push_back(
                odds::free_air_table(shipped_.supplies.warmers.at(use.type), use.opened_before_packing_h));
        }
        for (const auto& table : tables) uses.push_back(table.view(block.scale.data()));
        block.power_w.resize(block.ambient_c.size());
        block.oxygen_share.resize(block.ambient_c.size());
        const odds::BurningTable warmers{uses.data(), static_cast<int>(uses.size()),
                                         static_cast<float>(1000 * packing.inner_volume_m3()),
                                         static_cast<float>(box_.air_exchange_l_per_h(0)),
                                         static_cast<float>(box::air_litres_per_watt_hour())};
        odds::burn_block(view(block), warmers, scratch_.data(),
                         {block.power_w.data(), block.oxygen_share.data()});
    }

    void run_block(const Block& block, odds::SafeBand safe) {
        odds::BlockOutcome outcome{results_[0].data(), results_[1].data(), results_[2].data(),
                                   results_[3].data(), results_[4].data(), results_[5].data(),
                                   by_leg_[0].data(),  by_leg_[1].data(),  nullptr};
        odds::run_block(view(block), box_.table(0), has_warmer() ? block.power_w.data() : nullptr, safe,
                        scratch_.data(), outcome);
    }

    testing::ShippedBoxes shipped_;
    transit::Settings settings_;
    odds::BoxModel box_;
    std::vector<int> steps_, setting_;
    int points_ = 0, longest_ = 0;
    std::vector<Block> blocks_;
    odds::AlignedFloats scratch_;
    std::array<odds::AlignedFloats, 6> results_{
        odds::AlignedFloats(odds::kLanes), odds::AlignedFloats(odds::kLanes),
        odds::AlignedFloats(odds::kLanes), odds::AlignedFloats(odds::kLanes),
        odds::AlignedFloats(odds::kLanes), odds::AlignedFloats(odds::kLanes)};
    std::array<odds::AlignedFloats, 2> by_leg_{odds::AlignedFloats(kPlan.size() * odds::kLanes),
                                               odds::AlignedFloats(kPlan.size() * odds::kLanes)};
};

}  // namespace mildway::bench
