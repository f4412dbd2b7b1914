#include "mildway/odds/timeline.hpp"

#include "mildway/box/parcel.hpp"

#include "block_burning.hpp"
#include "coverage.hpp"
#include "exposure.hpp"
#include "tally.hpp"

#include <algorithm>
#include <array>
#include <cmath>

namespace mildway::odds {

namespace {

/// What is followed, in one scenario at the points of its trip or in all scenarios at one moment.
template <class Number>
struct Readings {
    std::vector<Number> around_c;
    std::vector<Number> cavity_c;
    std::vector<Number> animals_c;
    std::vector<Number> coolant_c;     ///< empty without a coolant
    std::vector<Number> oxygen_share;  ///< empty without warmers
};

struct Curve {
    std::vector<double> elapsed_s;
    Readings<double> at;
};

using Sample = Readings<float>;

class Follower {
public:
    Follower(const Exposure& exposure, const World& world, const BoxModel& box)
        : exposure_(&exposure), box_(&box), burning_(world) {}

    void start_block(std::uint32_t block) {
        block_ = block;
        exposure_->fill(block, box_->packing().solar_absorptance, arrays_);
        burning_.start_block(block, exposure_->view(arrays_));
        heat_ = burning_.outcome(*box_);
    }

    /// Steps one lane of the block through all legs.
    [[nodiscard]] Curve follow(std::size_t lane) const {
        const std::size_t variant = variant_of_block(block_);
        const auto at = [lane](const float* series, std::size_t point) {
            return series == nullptr ? 0.0 : static_cast<double>(series[point * kBlock + lane]);
        };
        const float* ambient = arrays_.ambient_c.data();
        const auto setting_of = [&](std::size_t leg) {
            return static_cast<std::size_t>(exposure_->settings()[leg]);
        };
        Curve curve;
        box::ParcelRun parcel(box_->network(variant, setting_of(0)), at(ambient, 0));
        std::size_t point = 0;
        for (std::size_t leg = 0; leg < exposure_->leg_count(); ++leg, ++point) {
            parcel.enter(box_->modes(variant, setting_of(leg)));
            const double step_s = static_cast<double>(arrays_.step_s[leg * kBlock + lane]);
            record(curve, point, lane, parcel);
            for (int k = 0; k < exposure_->steps()[leg]; ++k, ++point) {
                parcel.advance(step_s, at(ambient, point), at(ambient, point + 1), at(heat_.power_w, point),
                               at(heat_.power_w, point + 1));
                record(curve, point + 1, lane, parcel);
            }
        }
        return curve;
    }

private:
    void record(Curve& curve, std::size_t point, std::size_t lane, const box::ParcelRun& parcel) const {
        const auto& network = box_->network(0, 0);
        const std::size_t i = point * kBlock + lane;
        curve.elapsed_s.push_back(static_cast<double>(arrays_.elapsed_s[i]));
        curve.at.around_c.push_back(static_cast<double>(arrays_.ambient_c[i]));
        curve.at.cavity_c.push_back(parcel.temps_c()[network.cavity]);
        curve.at.animals_c.push_back(parcel.temps_c()[network.animals]);
        if (network.coolant) curve.at.coolant_c.push_back(parcel.coolant_c());
        if (heat_.oxygen_share != nullptr)
            curve.at.oxygen_share.push_back(static_cast<double>(heat_.oxygen_share[i]));
    }

    const Exposure* exposure_;
    const BoxModel* box_;
    BlockArrays arrays_;
    BlockBurning burning_;
    BurningOutcome heat_{};
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
        const auto add = [&](const std::vector<double>& values, std::vector<float>& into) {
            if (values.empty()) return;
            into.push_back(static_cast<float>(values[point] + part * (values[point + 1] - values[point])));
        };
        add(curve.at.around_c, samples[i].around_c);
        add(curve.at.cavity_c, samples[i].cavity_c);
        add(curve.at.animals_c, samples[i].animals_c);
        add(curve.at.coolant_c, samples[i].coolant_c);
        add(curve.at.oxygen_share, samples[i].oxygen_share);
    }
}

bool has_unknown(const std::vector<float>& values) {
    return std::any_of(values.begin(), values.end(), [](float value) { return std::isnan(value); });
}

Spread spread_of(const std::vector<float>& values) {
    const std::array<std::span<const float>, 1> one{std::span<const float>(values)};
    const std::array<double, 1> weight{1.0};
    return odds::spread_of(one, weight);
}

Moment moment_of(Instant when, const transit::Leg& leg, const Sample& sample, std::uint32_t scenarios) {
    Moment moment{when,
                  std::string(leg.name),
                  leg.setting,
                  spread_of(sample.around_c),
                  spread_of(sample.cavity_c),
                  spread_of(sample.animals_c),
                  {},
                  {},
                  static_cast<double>(sample.animals_c.size()) / scenarios};
    if (!sample.coolant_c.empty()) moment.coolant_c = spread_of(sample.coolant_c);
    if (!sample.oxygen_share.empty()) moment.oxygen_share_p50 = spread_of(sample.oxygen_share).p50;
    return moment;
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
        timeline.moments.push_back(
            moment_of(moments[i], leg_at(trip, moments[i]), samples[i], exposure.scenarios()));
    }
    return timeline;
}

}  // namespace mildway::odds
