#include "mildway/odds/timeline.hpp"

#include "coverage.hpp"
#include "exposure.hpp"
#include "tally.hpp"
#include "warmer_power.hpp"

#include <algorithm>
#include <array>
#include <cmath>

namespace mildway::odds {

namespace {

/// Temperatures of one scenario at the points of its trip.
struct Curve {
    std::vector<double> elapsed_s;
    std::vector<double> around_c;
    std::vector<double> cavity_c;
    std::vector<double> animals_c;
};

/// Values of every scenario still on its way at one moment.
struct Sample {
    std::vector<float> around_c;
    std::vector<float> cavity_c;
    std::vector<float> animals_c;
};

class Follower {
public:
    Follower(const Exposure& exposure, const World& world, const BoxModel& box)
        : exposure_(&exposure), world_(&world), box_(&box), power_(*world.warmers) {}

    void start_block(std::uint32_t block) {
        block_ = block;
        exposure_->fill(block, arrays_);
        power_.start_block(arrays_.elapsed_s);
    }

    /// Steps one lane of the block through all legs.
    [[nodiscard]] Curve follow(std::size_t lane) {
        const std::size_t variant = variant_of_block(block_);
        const auto& packing = box_->packing();
        const float* unit_power = packing.warmer ? power_.unit_power(*packing.warmer) : nullptr;
        const float scale = packing.warmer
                                ? world_->handling->warmer_scale(
                                      packing.warmer->type, packing.warmer->count)[block_ * kBlock + lane]
                                : 0;
        const double limit_w = box::oxygen_limit(packing.air_exchange_l_per_h).value();
        const auto power_at = [&](std::size_t point) {
            return unit_power == nullptr
                       ? 0.0
                       : std::min(static_cast<double>(unit_power[point * kBlock + lane] * scale), limit_w);
        };
        const auto ambient_at = [&](std::size_t point) {
            return static_cast<double>(arrays_.ambient_c[point * kBlock + lane]);
        };

        Curve curve;
        box::NodeTemps temps{};
        temps.fill(ambient_at(0));
        std::size_t point = 0;
        for (std::size_t leg = 0; leg < exposure_->leg_count(); ++leg, ++point) {
            const box::Modes& modes =
                box_->modes(variant, static_cast<std::size_t>(exposure_->settings()[leg]));
            const double step_s = static_cast<double>(arrays_.step_s[leg * kBlock + lane]);
            box::NodeTemps x = box::to_modes(modes, temps);
            record(curve, point, lane, temps);
            for (int k = 0; k < exposure_->steps()[leg]; ++k, ++point) {
                box::step(modes, x, step_s, ambient_at(point), ambient_at(point + 1), power_at(point),
                          power_at(point + 1));
                temps = box::to_temps(modes, x);
                record(curve, point + 1, lane, temps);
            }
        }
        return curve;
    }

private:
    void record(Curve& curve, std::size_t point, std::size_t lane, const box::NodeTemps& temps) const {
        const auto& network = box_->network(0);
        curve.elapsed_s.push_back(static_cast<double>(arrays_.elapsed_s[point * kBlock + lane]));
        curve.around_c.push_back(static_cast<double>(arrays_.ambient_c[point * kBlock + lane]));
        curve.cavity_c.push_back(temps[network.cavity]);
        curve.animals_c.push_back(temps[network.animals]);
    }

    const Exposure* exposure_;
    const World* world_;
    const BoxModel* box_;
    BlockArrays arrays_;
    WarmerPower power_;
    std::uint32_t block_ = 0;
};

std::vector<Instant> moments_of(const transit::Trip& trip, minutes every) {
    std::vector<Instant> moments{trip.packed};
    for (Instant when = date::floor<hours>(trip.packed); when < trip.end(); when += every) {
        if (when > trip.packed) moments.push_back(when);
    }
    moments.push_back(trip.end());
    return moments;
}

/// Adds a curve's values at the moments it is still on its way.
void sample(const Curve& curve, const std::vector<double>& moments_s, std::vector<Sample>& samples) {
    std::size_t point = 0;
    for (std::size_t i = 0; i < moments_s.size() && moments_s[i] <= curve.elapsed_s.back(); ++i) {
        while (point + 2 < curve.elapsed_s.size() && curve.elapsed_s[point + 1] < moments_s[i]) ++point;
        const double span = curve.elapsed_s[point + 1] - curve.elapsed_s[point];
        const double part = span > 0 ? (moments_s[i] - curve.elapsed_s[point]) / span : 1.0;
        const auto between = [&](const std::vector<double>& values) {
            return static_cast<float>(values[point] + part * (values[point + 1] - values[point]));
        };
        samples[i].around_c.push_back(between(curve.around_c));
        samples[i].cavity_c.push_back(between(curve.cavity_c));
        samples[i].animals_c.push_back(between(curve.animals_c));
    }
}

bool has_unknown(const std::vector<float>& values) {
    return std::any_of(values.begin(), values.end(), [](float value) { return std::isnan(value); });
}

Spread spread_of(const std::vector<float>& values) {
    const std::array<std::span<const float>, 1> one{std::span<const float>(values)};
    const std::array<double, 1> weight{1.0};
    const auto q = quantiles<3>(one, weight, {0.05, 0.50, 0.95});
    return {q[0], q[1], q[2]};
}

const transit::Leg& leg_at(const transit::Trip& trip, Instant when) {
    for (const auto& leg : trip.legs) {
        if (when < leg.end) return leg;
    }
    return trip.legs.back();
}

}  // namespace

std::string uncovered_part(const transit::Trip& trip, const World& world) {
    const Exposure exposure(trip, world, world.handling->scenarios());
    const auto gap = exposure.first_unknown();
    return gap ? describe(*gap, world) : std::string();
}

Timeline trace_trip(const transit::Trip& trip, const World& world, const BoxModel& box, minutes every) {
    const Exposure exposure(trip, world, world.handling->scenarios());
    Timeline timeline;
    std::vector<Instant> moments = moments_of(trip, every);
    if (const auto gap = exposure.first_unknown()) {
        timeline.cut_short = describe(*gap, world);
        std::erase_if(moments, [&](Instant when) { return when >= gap->when; });
    }
    std::vector<double> moments_s;
    for (const Instant when : moments) moments_s.push_back(static_cast<double>((when - trip.packed).count()));

    std::vector<Sample> samples(moments.size());
    Follower follower(exposure, world, box);
    for (std::uint32_t block = 0; block < exposure.blocks(); ++block) {
        follower.start_block(block);
        for (std::size_t lane = 0; lane < kBlock; ++lane) sample(follower.follow(lane), moments_s, samples);
    }
    for (std::size_t i = 0; i < moments.size(); ++i) {
        // a moment just before the end of the forecast is unknown too: its value would lean on the unknown
        // hour
        if (samples[i].animals_c.empty() || has_unknown(samples[i].around_c) ||
            has_unknown(samples[i].animals_c))
            break;
        const transit::Leg& leg = leg_at(trip, moments[i]);
        timeline.moments.push_back({moments[i], leg.name, leg.setting, spread_of(samples[i].around_c),
                                    spread_of(samples[i].cavity_c), spread_of(samples[i].animals_c),
                                    static_cast<double>(samples[i].animals_c.size()) / exposure.scenarios()});
    }
    return timeline;
}

}  // namespace mildway::odds
