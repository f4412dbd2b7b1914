#include "mildway/odds/handling.hpp"

#include "mildway/base/random.hpp"
#include "mildway/transit/trip.hpp"

#include <algorithm>
#include <limits>
#include <stdexcept>

#include <fmt/format.h>

namespace mildway::odds {

namespace {

std::vector<float> draw_normals(std::uint64_t seed, Purpose purpose, std::string_view subject,
                                std::uint32_t index, std::uint32_t scenarios) {
    std::vector<float> values(scenarios);
    RandomStream(seed, purpose, subject_of(subject)).normals(index, 0, values);
    return values;
}

/// Relative output of one unit in each scenario.
std::vector<float> unit_output(const box::WarmerType& type, std::uint64_t seed, std::uint32_t unit,
                               std::uint32_t scenarios) {
    std::vector<float> output = draw_normals(seed, Purpose::warmer_output, type.name, unit, scenarios);
    std::vector<float> luck(scenarios);
    RandomStream(seed, Purpose::warmer_dud, subject_of(type.name)).uniforms(unit, 0, luck);
    for (std::uint32_t s = 0; s < scenarios; ++s) {
        const bool dud = luck[s] < static_cast<float>(type.dud_chance);
        output[s] = dud ? 0.0f : std::max(0.0f, 1.0f + static_cast<float>(type.unit_spread) * output[s]);
    }
    return output;
}

std::vector<std::vector<float>> mean_outputs(const box::WarmerType& type, std::uint64_t seed,
                                             std::uint32_t scenarios) {
    std::vector<std::vector<float>> means;
    std::vector<float> total(scenarios, 0.0f);
    for (int unit = 0; unit < box::kMaxWarmers; ++unit) {
        const std::vector<float> output =
            unit_output(type, seed, static_cast<std::uint32_t>(unit), scenarios);
        std::vector<float> mean(scenarios);
        for (std::uint32_t s = 0; s < scenarios; ++s) {
            total[s] += output[s];
            mean[s] = total[s] / static_cast<float>(unit + 1);
        }
        means.push_back(std::move(mean));
    }
    return means;
}

}  // namespace

std::uint32_t whole_rounds(std::uint32_t count) {
    return std::max(1u, (count + kRound - 1) / kRound) * kRound;
}

Handling::Handling(std::span<const transit::Service* const> services, const transit::Settings& settings,
                   const box::Warmers& warmers, std::uint32_t scenarios, std::uint64_t seed)
    : scenarios_(scenarios) {
    const auto add_leg = [&](const std::string& name) {
        if (!leg_time_.contains(name))
            leg_time_[name] = draw_normals(seed, Purpose::leg_time, name, 0, scenarios);
    };
    add_leg(transit::kPackedLeg);
    add_leg(transit::kDriveLeg);
    add_leg(transit::kParkedLeg);
    for (const auto* service : services) {
        for (const auto& leg : service->legs) add_leg(leg.name);
        for (const auto& wait : service->waits) add_leg(wait.name);
    }
    for (const auto& setting : settings.all()) draw_setting(setting, seed);
    for (const auto& type : warmers.all()) warmer_scale_.push_back(mean_outputs(type, seed, scenarios));
}

void Handling::draw_setting(const transit::Setting& setting, std::uint64_t seed) {
    const auto lay_on = [](const std::vector<float>& draws, double mean, double spread) {
        std::vector<float> values;
        for (const float draw : draws)
            values.push_back(static_cast<float>(mean + spread * static_cast<double>(draw)));
        return values;
    };
    const auto climate = draw_normals(seed, Purpose::setting_hold, setting.name, 0, scenarios_);
    hold_c_.push_back(lay_on(climate, setting.hold_c, setting.hold_spread_k));
    heated_to_c_.push_back(setting.heated_to_c
                               ? lay_on(climate, *setting.heated_to_c, setting.heated_to_spread_k)
                               : std::vector<float>(scenarios_, -std::numeric_limits<float>::infinity()));
    const auto sunniness = draw_normals(seed, Purpose::setting_sun, setting.name, 0, scenarios_);
    const auto lay_on_sun = [&](double mean, double spread) {
        auto values = lay_on(sunniness, mean, spread);
        for (float& value : values) value = std::max(0.0f, value);
        return values;
    };
    sun_lift_k_.push_back(lay_on_sun(setting.sun_lift_k, setting.sun_lift_spread_k));
    sun_on_box_w_per_m2_.push_back(
        lay_on_sun(setting.sun_on_box_w_per_m2, setting.sun_on_box_spread_w_per_m2));
}

std::span<const float> Handling::leg_time(std::string_view leg) const {
    const auto found = leg_time_.find(leg);
    if (found == leg_time_.end())
        throw std::logic_error(fmt::format("no luck was drawn for the leg '{}'", leg));
    return found->second;
}

std::span<const float> Handling::warmer_scale(std::size_t type, int count) const {
    return warmer_scale_.at(type).at(static_cast<std::size_t>(count - 1));
}

}  // namespace mildway::odds
