#include "exposure.hpp"

#include "mildway/base/wide.hpp"
#include "mildway/box/films.hpp"
#include "mildway/odds/low_pass.hpp"
#include "mildway/odds/sol_air.hpp"
#include "mildway/odds/trip_cases.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <stdexcept>

namespace mildway::odds {

namespace {

constexpr double kNominalStepS = 900;
constexpr float kShortestLegS = 60;
/// Draws beyond this many standard deviations are taken as this many: nobody is 4 sigma early.
constexpr float kFarthestDraw = 3;

float seconds_between(Instant from, Instant to) {
    return static_cast<float>((to - from).count());
}

double nominal_length_s(const transit::Leg& leg) {
    return static_cast<double>((leg.end - leg.start).count());
}

/// A length that few scenarios exceed, so that steps stay near the nominal one.
double ample_length_s(const transit::Leg& leg) {
    const double length = nominal_length_s(leg);
    if (leg.rule.kind == transit::LegEnd::Kind::lasts) return length * leg.rule.spread_factor;
    return length + 60 * leg.rule.spread_minutes;
}

/// Hourly temperatures of one place as the kernel's blocks find them.
struct HourlyAir {
    const float* temp_c;  ///< [hour][scenario], from the block's first scenario on
    std::int32_t stride;  ///< scenarios of an hour
    std::int32_t last_hour;
    float offset_s;  ///< from the first hour to the packing of the parcel
};

/// Linear between whole hours, before the first its value; `elapsed_s` and `out_c` are [point][lane].
MILDWAY_WIDE void read_air(HourlyAir air, const float* __restrict elapsed_s, std::int32_t count,
                           float* __restrict out_c) {
    constexpr auto kLaneBits = static_cast<std::int32_t>(kBlock) - 1;
    for (std::int32_t i = 0; i < count; ++i) {
        const float hour = std::max(0.0f, (air.offset_s + elapsed_s[i]) * (1.0f / 3600.0f));
        const std::int32_t whole = std::clamp(static_cast<std::int32_t>(hour), 0, air.last_hour);
        const float part = hour - static_cast<float>(whole);
        const std::int32_t at = whole * air.stride + (i & kLaneBits);
        const float before = air.temp_c[at];
        out_c[i] = before + part * (air.temp_c[at + air.stride] - before);
    }
}

using Lanes = std::array<float, kBlock>;

/// Times of all points of a leg, [point][lane], from its start and step in each lane.
MILDWAY_WIDE void lay_times(const float* __restrict start_s, const float* __restrict step_s,
                            std::size_t points, float* __restrict elapsed_s) {
    for (std::size_t k = 0; k < points; ++k) {
        for (std::size_t lane = 0; lane < kBlock; ++lane)
            elapsed_s[k * kBlock + lane] = start_s[lane] + step_s[lane] * static_cast<float>(k);
    }
}

/// What the air in a setting does in each lane of a block.
struct SettingLanes {
    const float* hold_c;
    const float* heated_to_c;
    const float* lift_k;
    float follow;
};

/// Air of a setting from the air outside, in place, [point][lane]; `sun` is [point].
MILDWAY_WIDE void lay_air(const SettingLanes& setting, const float* __restrict sun, Lanes to_come,
                          const Lanes& kept, std::size_t points, float* __restrict air_c) {
    for (std::size_t k = 0; k < points; ++k) {
        float* __restrict out = air_c + k * kBlock;
        for (std::size_t lane = 0; lane < kBlock; ++lane) {
            const float held = setting.hold_c[lane];
            const float air = setting.follow > 0 ? held + setting.follow * (out[lane] - held) : held;
            const float warmed = air + setting.lift_k[lane] * sun[k] * (1.0f - to_come[lane]);
            out[lane] =
                std::max(warmed, setting.heated_to_c[lane]);  // unknown air stays unknown in this order
            to_come[lane] *= kept[lane];
        }
    }
}

/// The share of the sun's lift that a place has still to build up when a leg begins.
Lanes sun_to_come_at_start(const transit::Setting& setting) {
    Lanes share;
    share.fill(setting.soak_minutes > 0 ? 1.0f : 0.0f);
    return share;
}

/// What is left of that share after each step.
Lanes sun_to_come_kept(const transit::Setting& setting, const float* step_s) {
    Lanes kept{};
    if (setting.soak_minutes <= 0) return kept;
    const auto soak_s = static_cast<float>(60 * setting.soak_minutes);
    for (std::size_t lane = 0; lane < kBlock; ++lane) kept[lane] = std::exp(-step_s[lane] / soak_s);
    return kept;
}

}  // namespace

Instant latest_end(const transit::Trip& trip) {
    double end_s = 0;
    for (const transit::Leg& leg : trip.legs) {
        const double farthest = static_cast<double>(kFarthestDraw);
        const double planned_s =
            leg.rule.kind == transit::LegEnd::Kind::lasts
                ? end_s + nominal_length_s(leg) * std::pow(leg.rule.spread_factor, farthest)
                : static_cast<double>((leg.end - trip.packed).count()) +
                      60 * leg.rule.spread_minutes * farthest;
        const double at_least_s =
            leg.earliest ? static_cast<double>((*leg.earliest - trip.packed).count()) : 0;
        end_s = std::max({planned_s, at_least_s, end_s + static_cast<double>(kShortestLegS)});
    }
    return trip.packed + seconds(static_cast<long>(std::ceil(end_s)));
}

Exposure::Exposure(const transit::Trip& trip, const World& world, std::uint32_t scenarios)
    : trip_(&trip), world_(&world), scenarios_(scenarios) {
    for (const auto& leg : trip.legs) settings_.push_back(static_cast<int>(leg.setting));
    draw_leg_ends();
    count_steps();
    find_sun();
}

void Exposure::draw_leg_ends() {
    leg_end_s_.resize(trip_->legs.size() * scenarios_);
    for (std::size_t leg = 0; leg < trip_->legs.size(); ++leg) {
        const transit::Leg& plan = trip_->legs[leg];
        const auto luck = world_->handling->leg_time(plan.name);
        const float latest_end = plan.latest ? seconds_between(trip_->packed, *plan.latest)
                                             : std::numeric_limits<float>::infinity();
        const float earliest_end = plan.earliest ? seconds_between(trip_->packed, *plan.earliest)
                                                 : -std::numeric_limits<float>::infinity();
        const float typical_end = seconds_between(trip_->packed, plan.end);
        const float typical_length = static_cast<float>(nominal_length_s(plan));
        const float spread_s = static_cast<float>(60 * plan.rule.spread_minutes);
        const float log_factor = static_cast<float>(std::log(plan.rule.spread_factor));
        const float* before = leg == 0 ? nullptr : &leg_end_s_[(leg - 1) * scenarios_];
        float* end = &leg_end_s_[leg * scenarios_];
        for (std::uint32_t s = 0; s < scenarios_; ++s) {
            const float draw = std::clamp(luck[s], -kFarthestDraw, kFarthestDraw);
            const float start = before == nullptr ? 0.0f : before[s];
            const float planned = plan.rule.kind == transit::LegEnd::Kind::lasts
                                      ? start + typical_length * std::exp(log_factor * draw)
                                      : typical_end + spread_s * draw;
            end[s] = std::max(std::clamp(planned, earliest_end, latest_end), start + kShortestLegS);
        }
    }
}

void Exposure::count_steps() {
    for (const auto& leg : trip_->legs) {
        const int steps = std::max(1, static_cast<int>(std::ceil(ample_length_s(leg) / kNominalStepS)));
        steps_.push_back(steps);
        points_ += steps + 1;
        longest_leg_ = std::max(longest_leg_, steps);
    }
}

void Exposure::find_sun() {
    sun_.assign(static_cast<std::size_t>(points_), 0.0f);
    sun_on_box_.assign(static_cast<std::size_t>(points_), 0.0f);
    std::size_t point = 0;
    for (std::size_t leg = 0; leg < steps_.size(); ++leg) {
        const transit::Leg& plan = trip_->legs[leg];
        const transit::Setting& setting = world_->settings->at(plan.setting);
        for (int k = 0; k <= steps_[leg]; ++k, ++point) {
            const auto into = std::chrono::duration_cast<seconds>((plan.end - plan.start) * k / steps_[leg]);
            const Instant when = plan.start + into;
            const double share = plan.stretch.share_at(static_cast<double>(k) / steps_[leg]);
            const std::size_t place = place_of(share <= 0.5 ? plan.stretch.from : plan.stretch.to);
            if (setting.has_sun_lift()) sun_[point] = surroundings().sun(place, setting.lag_hours).at(when);
            if (setting.has_sun_on_box()) sun_on_box_[point] = surroundings().sun_on_box(place).at(when);
        }
    }
}

const Surroundings& Exposure::surroundings() const {
    if (world_->surroundings == nullptr)
        throw std::logic_error("a setting needs surroundings; none are there");
    return *world_->surroundings;
}

std::optional<UnknownWeather> Exposure::first_unknown() const {
    for (std::size_t leg = 0; leg < steps_.size(); ++leg) {
        if (world_->settings->at(trip_->legs[leg].setting).follow <= 0) continue;
        if (const auto gap = first_unknown(leg)) return gap;
    }
    return std::nullopt;
}

std::optional<UnknownWeather> Exposure::first_unknown(std::size_t leg) const {
    const transit::Leg& plan = trip_->legs[leg];
    const Instant sampled_from = world_->sampled->first_hour();
    const Instant sampled_until = sampled_from + hours(world_->sampled->hour_count()) - hours(1);
    float earliest = 0;
    if (leg > 0) {
        const auto* starts = &leg_end_s_[(leg - 1) * scenarios_];
        earliest = *std::min_element(starts, starts + scenarios_);
    }
    const auto* ends = &leg_end_s_[leg * scenarios_];
    const float latest = *std::max_element(ends, ends + scenarios_);
    Instant from = trip_->packed + seconds(static_cast<long>(earliest));
    const Instant to = trip_->packed + seconds(static_cast<long>(latest) + 1);
    if (const double lag = world_->settings->at(plan.setting).lag_hours; lag > 0)
        from = std::min(from, std::max(sampled_from, from - hours(reach_hours(lag))));
    for (const transit::Role role : {plan.stretch.from, plan.stretch.to}) {
        if (const auto gap = world_->outlook(role).outlook.first_unknown(from, to))
            return UnknownWeather{role, *gap};
    }
    if (to > sampled_until) throw std::logic_error("the weather is not sampled to the end of the trip");
    return std::nullopt;
}

void Exposure::fill(std::uint32_t block, double solar_absorptance, BlockArrays& arrays) const {
    const std::size_t legs = steps_.size();
    arrays.step_s.resize(legs * kBlock);
    arrays.step_range.resize(legs * 2);
    arrays.ambient_c.resize(static_cast<std::size_t>(points_) * kBlock);
    arrays.elapsed_s.resize(static_cast<std::size_t>(points_) * kBlock);
    const std::uint32_t first = block * kBlock;
    std::size_t point = 0;
    for (std::size_t leg = 0; leg < legs; ++leg) {
        float* step = &arrays.step_s[leg * kBlock];
        for (std::uint32_t lane = 0; lane < kBlock; ++lane) {
            const float start = leg == 0 ? 0.0f : leg_end_s(leg - 1, first + lane);
            step[lane] = (leg_end_s(leg, first + lane) - start) / static_cast<float>(steps_[leg]);
        }
        const auto [shortest, longest] = std::minmax_element(step, step + kBlock);
        arrays.step_range[leg * 2] = *shortest;
        arrays.step_range[leg * 2 + 1] = *longest;
        fill_air(leg, first, point, arrays);
        add_sun_on_box(leg, first, point, solar_absorptance, arrays);
        point += static_cast<std::size_t>(steps_[leg]) + 1;
    }
}

void Exposure::fill_air(std::size_t leg, std::uint32_t first, std::size_t first_point,
                        BlockArrays& arrays) const {
    const transit::Leg& plan = trip_->legs[leg];
    const transit::Setting& setting = world_->settings->at(plan.setting);
    const odds::Handling& handling = *world_->handling;
    const SettingLanes lanes{
        handling.hold_c(plan.setting).data() + first, handling.heated_to_c(plan.setting).data() + first,
        handling.sun_lift_k(plan.setting).data() + first, static_cast<float>(setting.follow)};
    const std::size_t points = static_cast<std::size_t>(steps_[leg]) + 1;
    const float* step = &arrays.step_s[leg * kBlock];
    float* elapsed = &arrays.elapsed_s[first_point * kBlock];
    float* ambient = &arrays.ambient_c[first_point * kBlock];

    static constexpr Lanes kAtOnce{};
    lay_times(leg == 0 ? kAtOnce.data() : &leg_end_s_[(leg - 1) * scenarios_ + first], step, points, elapsed);
    if (lanes.follow > 0) {
        arrays.there_c.resize(std::max(arrays.there_c.size(), points * kBlock));
        read_outside(plan, first, std::span(elapsed, points * kBlock), arrays.there_c.data(), ambient);
    }
    lay_air(lanes, &sun_[first_point], sun_to_come_at_start(setting), sun_to_come_kept(setting, step), points,
            ambient);
}

void Exposure::add_sun_on_box(std::size_t leg, std::uint32_t first, std::size_t first_point,
                              double solar_absorptance, BlockArrays& arrays) const {
    const std::size_t index = trip_->legs[leg].setting;
    const transit::Setting& setting = world_->settings->at(index);
    if (!setting.has_sun_on_box()) return;
    const float* sun_w_per_m2 = world_->handling->sun_on_box_w_per_m2(index).data() + first;
    const auto lift_k_per_w_per_m2 = static_cast<float>(
        sol_air_lift(solar_absorptance, 1, box::outside_film(setting.air_speed_m_per_s)).value());
    const std::size_t points = static_cast<std::size_t>(steps_[leg]) + 1;
    for (std::size_t k = 0; k < points; ++k) {
        float* out = &arrays.ambient_c[(first_point + k) * kBlock];
        const float lift = lift_k_per_w_per_m2 * sun_on_box_[first_point + k];
        for (std::uint32_t lane = 0; lane < kBlock; ++lane) out[lane] += lift * sun_w_per_m2[lane];
    }
}

/// Outside air along a leg: on the way from one place to another, a mixture of both.
void Exposure::read_outside(const transit::Leg& leg, std::uint32_t first, std::span<const float> elapsed_s,
                            float* there_c, float* out_c) const {
    const weather::SampledWeather& sampled = *world_->sampled;
    const double lag = world_->settings->at(leg.setting).lag_hours;
    const auto air_at = [&](transit::Role role) {
        const std::size_t place = place_of(role);
        const auto air = lag > 0 ? surroundings().air(place, lag) : sampled.block(place);
        return HourlyAir{air.data() + first, static_cast<std::int32_t>(sampled.scenarios()),
                         static_cast<std::int32_t>(sampled.hour_count()) - 2,
                         seconds_between(sampled.first_hour(), trip_->packed)};
    };
    const HourlyAir from = air_at(leg.stretch.from), to = air_at(leg.stretch.to);
    const auto count = static_cast<std::int32_t>(elapsed_s.size());
    read_air(from, elapsed_s.data(), count, out_c);
    if (from.temp_c == to.temp_c) return;
    read_air(to, elapsed_s.data(), count, there_c);
    const std::size_t last_point = elapsed_s.size() / kBlock - 1;
    for (std::size_t k = 0; k <= last_point; ++k) {
        const auto along = static_cast<float>(
            leg.stretch.share_at(static_cast<double>(k) / static_cast<double>(last_point)));
        for (std::size_t i = k * kBlock; i < (k + 1) * kBlock; ++i)
            out_c[i] += along * (there_c[i] - out_c[i]);
    }
}

BlockExposure Exposure::view(const BlockArrays& arrays) const {
    return {static_cast<int>(steps_.size()),
            longest_leg_ + 1,
            steps_.data(),
            settings_.data(),
            arrays.step_s.data(),
            arrays.step_range.data(),
            arrays.ambient_c.data()};
}

}  // namespace mildway::odds
