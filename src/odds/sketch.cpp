#include "mildway/odds/sketch.hpp"

#include "stratum_run.hpp"

#include <algorithm>
#include <cmath>

namespace mildway::odds {

namespace {

constexpr SketchLimits kNoRoom{0, 0};

/// The least room that is left above a limit after so many scenarios: three to four standard errors at
/// chances of 0.3 and 0.02, and enough for smaller ones, whose own errors say little after so few.
SketchLimits least_room(double scenarios) {
    if (scenarios < kRound) return {0.25, 0.15};
    if (scenarios < 4 * kRound) return {0.15, 0.05};
    return {0.07, 0.02};
}

/// Room above limits for chances that are seen in so many scenarios: of a breeder's own limits, too.
SketchLimits room_of(const SketchLimits& limits, double scenarios) {
    constexpr double kErrors = 3.2;
    const SketchLimits least = least_room(scenarios);
    const auto room = [=](double limit, double least_of_limit) {
        return std::max(least_of_limit, kErrors * std::sqrt(limit * (1 - limit) / scenarios));
    };
    return {room(limits.chance_outside, least.chance_outside), room(limits.chance_harm, least.chance_harm)};
}

/// Rounds on time for boxes in doubt.
constexpr std::uint32_t kMostRounds = 4;

bool beyond(const Sketch& sketch, const SketchLimits& limits, const SketchLimits& room) {
    return sketch.chance_outside > limits.chance_outside + room.chance_outside ||
           sketch.chance_harm > limits.chance_harm + room.chance_harm;
}

/// `share` of one and the rest of the other. A chance that is put together like this is off by no more than
/// one that is seen in that many scenarios at once.
Sketch mixed(double share, const Sketch& one, const Sketch& other) {
    const auto mix = [=](double a, double b) { return share * a + (1 - share) * b; };
    return {mix(one.hours_outside, other.hours_outside),
            mix(one.hours_cold, other.hours_cold),
            mix(one.chance_outside, other.chance_outside),
            mix(one.chance_harm, other.chance_harm),
            false,
            std::min(one.scenarios / share, other.scenarios / (1 - share))};
}

/// Scenarios of a stratum.
struct Part {
    std::uint32_t first;
    std::uint32_t last;
};

Sketch means_over(const Outcomes& outcomes, const care::Species& species, Part part) {
    const auto harm_low = static_cast<float>(species.harm.low_c);
    const auto harm_high = static_cast<float>(species.harm.high_c);
    const double each = 1.0 / (part.last - part.first);
    Sketch means;
    means.scenarios = part.last - part.first;
    for (std::uint32_t s = part.first; s < part.last; ++s) {
        const float hours = outcomes.hours_cold[s] + outcomes.hours_warm[s];
        means.hours_outside += each * static_cast<double>(hours);
        means.hours_cold += each * static_cast<double>(outcomes.hours_cold[s]);
        if (hours > kNoticeableHours) means.chance_outside += each;
        if (outcomes.coldest_c[s] < harm_low || outcomes.warmest_c[s] > harm_high) means.chance_harm += each;
    }
    return means;
}

/// The boxes of one trip, fewer and fewer of them.
class FirstLook {
public:
    /// `on_time_share` of all arrivals are on time.
    FirstLook(const World& world, std::span<const Occupied> boxes, const SketchLimits& limits,
              double on_time_share)
        : world_(&world),
          boxes_(boxes),
          limits_(limits),
          on_time_share_(on_time_share),
          left_(by_absorptance(boxes)),
          on_time_(boxes.size()),
          sketches_(boxes.size()) {}

    /// One round.
    void on_time(const Exposure& exposure) {
        constexpr std::uint32_t kHalf = kRound / kBlock / 2;
        StratumOutcomes outcomes;
        StratumRun first(exposure, *world_, boxes_, left_);
        first.prepare_boxes(outcomes);
        first.run_blocks(0, kHalf, outcomes);
        look(outcomes, {0, kRound / 2});
        drop();
        StratumRun rest(exposure, *world_, boxes_, left_);
        rest.run_blocks(kHalf, 2 * kHalf, outcomes);
        look(outcomes, {0, kRound});
        drop();
    }

    /// Where their weather is not known, those on time stand for all.
    void late(const Exposure& exposure) {
        if (exposure.first_unknown()) {
            on_time_share_ = 1;
            drop();
            return;
        }
        late_.resize(boxes_.size());
        StratumOutcomes outcomes;
        StratumRun late(exposure, *world_, boxes_, left_);
        late.prepare_boxes(outcomes);
        late.run_blocks(0, exposure.blocks(), outcomes);
        for_each_left([&](std::size_t i) {
            late_[i] = means_over(outcomes.boxes[i], *boxes_[i].species, {0, exposure.scenarios()});
            sketches_[i] = mixed(on_time_share_, on_time_[i], late_[i]);
        });
        drop();
    }

    /// For those beyond the limits, but not clearly so. `exposure` begins with what on_time() saw.
    void more_on_time(const Exposure& exposure) {
        keep([&](std::size_t i) { return beyond(sketches_[i], limits_, kNoRoom); });
        if (left_.empty()) return;
        StratumOutcomes outcomes;
        StratumRun more(exposure, *world_, boxes_, left_);
        more.prepare_boxes(outcomes);
        more.run_blocks(kRound / kBlock, exposure.blocks(), outcomes);
        for_each_left([&](std::size_t i) {
            const Sketch rest =
                means_over(outcomes.boxes[i], *boxes_[i].species, {kRound, exposure.scenarios()});
            on_time_[i] = mixed(static_cast<double>(kRound) / exposure.scenarios(), on_time_[i], rest);
            sketches_[i] = late_.empty() ? on_time_[i] : mixed(on_time_share_, on_time_[i], late_[i]);
        });
        drop();
    }

    [[nodiscard]] bool any_left() const { return !left_.empty(); }
    [[nodiscard]] const std::vector<Sketch>& sketches() const { return sketches_; }

private:
    template <class Each>
    void for_each_left(Each each) const {
        for (const Alike& group : left_) {
            for (const std::size_t i : group.boxes) each(i);
        }
    }

    template <class Wanted>
    void keep(Wanted wanted) {
        for (Alike& group : left_) std::erase_if(group.boxes, [&](std::size_t i) { return !wanted(i); });
        std::erase_if(left_, [](const Alike& group) { return group.boxes.empty(); });
    }

    void look(const StratumOutcomes& outcomes, Part part) {
        for_each_left([&](std::size_t i) {
            on_time_[i] = sketches_[i] = means_over(outcomes.boxes[i], *boxes_[i].species, part);
        });
    }

    /// Those that are beyond the limits by their room, and would be even if all was well with late ones that
    /// were not looked at.
    void drop() {
        const double known_share = late_.empty() ? on_time_share_ : 1;
        keep([&](std::size_t i) {
            Sketch& sketch = sketches_[i];
            Sketch at_least = sketch;
            at_least.chance_outside *= known_share;
            at_least.chance_harm *= known_share;
            sketch.hopeless = beyond(at_least, limits_, room_of(limits_, sketch.scenarios));
            return !sketch.hopeless;
        });
    }

    const World* world_;
    std::span<const Occupied> boxes_;
    SketchLimits limits_;
    double on_time_share_;
    std::vector<Alike> left_;
    std::vector<Sketch> on_time_;
    std::vector<Sketch> late_;  ///< empty until they were looked at
    std::vector<Sketch> sketches_;
};

}  // namespace

bool clearly_beyond(const Sketch& sketch, const SketchLimits& limits) {
    return beyond(sketch, limits, room_of(limits, sketch.scenarios));
}

std::vector<std::optional<Sketch>> sketch_trip(const TripCases& cases, const World& world,
                                               std::span<const Occupied> boxes, const SketchLimits& limits) {
    const std::uint32_t scenarios = world.handling->scenarios();
    const std::uint32_t round = std::min(kRound, scenarios);
    const Exposure on_time(cases.on_time, world, round);
    if (on_time.first_unknown()) return std::vector<std::optional<Sketch>>(boxes.size());
    FirstLook first_look(world, boxes, limits, cases.odds.on_time());
    first_look.on_time(on_time);
    if (cases.odds.late() > 0 && first_look.any_left())
        first_look.late(Exposure(cases.one_late[cases.likeliest_wait()], world, round));
    if (scenarios > kRound && first_look.any_left())
        first_look.more_on_time(Exposure(cases.on_time, world, std::min(kMostRounds * kRound, scenarios)));
    return {first_look.sketches().begin(), first_look.sketches().end()};
}

}  // namespace mildway::odds
