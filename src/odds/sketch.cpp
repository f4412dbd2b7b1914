#include "mildway/odds/sketch.hpp"

#include "stratum_run.hpp"

#include <algorithm>

namespace mildway::odds {

namespace {

/// Adds the share that one stratum has in the figures.
void add(const Outcomes& outcomes, const care::Species& species, double weight, Sketch& sketch) {
    const auto harm_low = static_cast<float>(species.harm.low_c);
    const auto harm_high = static_cast<float>(species.harm.high_c);
    const double each = weight / outcomes.scenarios;
    for (std::uint32_t s = 0; s < outcomes.scenarios; ++s) {
        const float hours = outcomes.hours_cold[s] + outcomes.hours_warm[s];
        sketch.hours_outside += each * static_cast<double>(hours);
        if (hours > kNoticeableHours) sketch.chance_outside += each;
        if (outcomes.coldest_c[s] < harm_low || outcomes.warmest_c[s] > harm_high) sketch.chance_harm += each;
    }
}

}  // namespace

std::vector<std::optional<Sketch>> sketch_trip(const TripCases& cases, const World& world,
                                               std::span<const Occupied> boxes) {
    std::vector<std::optional<Sketch>> sketches(boxes.size());
    const std::vector<Alike> groups = by_absorptance(boxes);
    const std::uint32_t scenarios = std::min(kRound, world.handling->scenarios());
    StratumOutcomes outcomes;
    const Exposure on_time(cases.on_time, world, scenarios);
    if (on_time.first_unknown()) return sketches;
    const Exposure late(cases.one_late[cases.likeliest_wait()], world, scenarios);
    const bool with_late = cases.odds.late() > 0 && !late.first_unknown();
    const auto look = [&](const Exposure& exposure, double weight) {
        StratumRun(exposure, world, boxes, groups).run(outcomes);
        for (std::size_t i = 0; i < boxes.size(); ++i) {
            if (!sketches[i]) sketches[i].emplace();
            add(outcomes.boxes[i], *boxes[i].species, weight, *sketches[i]);
        }
    };
    look(on_time, with_late ? cases.odds.on_time() : 1);
    if (with_late) look(late, cases.odds.late());
    return sketches;
}

}  // namespace mildway::odds
