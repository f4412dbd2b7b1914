// Everything about a parcel's treatment that differs from one scenario to the next, apart from the weather.
#pragma once

#include "mildway/box/packing.hpp"
#include "mildway/transit/service.hpp"
#include "mildway/transit/setting.hpp"

#include <cstdint>
#include <functional>
#include <map>
#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace mildway::odds {

/// Scenarios are worked on in blocks of this many; every count of scenarios is a multiple of it.
inline constexpr std::uint32_t kBlock = 16;

/// Scenarios in which every box variant (box_model.hpp) comes up equally often are a multiple of this.
inline constexpr std::uint32_t kRound = 128;

/// `count` rounded up to whole rounds, at least one.
[[nodiscard]] std::uint32_t whole_rounds(std::uint32_t count);

/// Draws shared by all options of a plan: a leg of the same name is as early or late in scenario 17 whatever
/// the date, service or packing, so that options are compared under the same luck.
class Handling {
public:
    Handling(std::span<const transit::Service* const> services, const transit::Settings& settings,
             const box::Warmers& warmers, std::uint32_t scenarios, std::uint64_t seed);

    [[nodiscard]] std::uint32_t scenarios() const { return scenarios_; }

    /// Standard normal for the end of the leg of this name, [scenario].
    [[nodiscard]] std::span<const float> leg_time(std::string_view leg) const;

    /// What a setting is kept at, degC, [scenario].
    [[nodiscard]] std::span<const float> hold_c(std::size_t setting) const { return hold_c_.at(setting); }

    /// What heating keeps a setting at or above, degC, [scenario]; minus infinity where it is unheated.
    [[nodiscard]] std::span<const float> heated_to_c(std::size_t setting) const {
        return heated_to_c_.at(setting);
    }

    /// A setting's lift under full sun, K, never negative, [scenario].
    [[nodiscard]] std::span<const float> sun_lift_k(std::size_t setting) const {
        return sun_lift_k_.at(setting);
    }

    /// Sun on a parcel in a setting under full sun, mean over its faces, W/m2, never negative, [scenario]; as
    /// many spreads from its mean as sun_lift_k from its own.
    [[nodiscard]] std::span<const float> sun_on_box_w_per_m2(std::size_t setting) const {
        return sun_on_box_w_per_m2_.at(setting);
    }

    /// Output of the first `count` units of a warmer type relative to the table, averaged over the units,
    /// [scenario]: unit spread, and duds that give nothing. 1 to box::kMaxWarmers units.
    [[nodiscard]] std::span<const float> warmer_scale(std::size_t type, int count) const;

private:
    void draw_setting(const transit::Setting& setting, std::uint64_t seed);

    std::uint32_t scenarios_;
    std::map<std::string, std::vector<float>, std::less<>> leg_time_;
    std::vector<std::vector<float>> hold_c_;
    std::vector<std::vector<float>> heated_to_c_;
    std::vector<std::vector<float>> sun_lift_k_;
    std::vector<std::vector<float>> sun_on_box_w_per_m2_;
    std::vector<std::vector<std::vector<float>>> warmer_scale_;  ///< [type][count - 1][scenario]
};

}  // namespace mildway::odds
