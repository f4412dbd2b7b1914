#include "mildway/planning/ranking.hpp"

#include <algorithm>
#include <cmath>

namespace mildway::planning {

namespace {

const odds::Figures& figures(const Option& option) {
    return *option.assessment.all;
}

bool cheaper_then_earlier(const Option& a, const Option& b) {
    if (a.cost_usd != b.cost_usd) return a.cost_usd < b.cost_usd;
    if (a.ship_date != b.ship_date) return a.ship_date < b.ship_date;
    if (a.service->id != b.service->id) return a.service->id < b.service->id;
    return a.packing->id < b.packing->id;
}

using Iterator = std::vector<Option>::iterator;

/// Sorts [first, last) by `estimate` and calls `within` on each run that ties with the run's best.
template <class Get, class Within>
void sort_in_ties(Iterator first, Iterator last, double immaterial, Get estimate, Within within) {
    std::sort(first, last, [&](const Option& a, const Option& b) {
        if (estimate(a).value != estimate(b).value) return estimate(a).value < estimate(b).value;
        return cheaper_then_earlier(a, b);
    });
    while (first != last) {
        const auto end = std::find_if(first, last, [&](const Option& option) {
            return !tied(estimate(*first), estimate(option), immaterial);
        });
        within(first, end);
        first = end;
    }
}

}  // namespace

bool tied(const odds::Estimate& a, const odds::Estimate& b, double immaterial) {
    return b.value - a.value <= std::max(immaterial, 2 * std::hypot(a.error, b.error));
}

void rank(std::vector<Option>& options) {
    const auto known_end = std::partition(options.begin(), options.end(), [](const Option& option) {
        return option.assessment.all.has_value();
    });
    const auto hours = [](const Option& option) -> const odds::Estimate& {
        return figures(option).hours_outside;
    };
    const auto harm = [](const Option& option) -> const odds::Estimate& {
        return figures(option).chance_harm;
    };
    const auto by_harm = [&](Iterator first, Iterator last) {
        sort_in_ties(first, last, 0.0, harm,
                     [](Iterator a, Iterator b) { std::sort(a, b, cheaper_then_earlier); });
    };
    sort_in_ties(options.begin(), known_end, kTieHours, hours, [&](Iterator first, Iterator last) {
        for (const Verdict verdict : {Verdict::comfortable, Verdict::tight, Verdict::unsafe}) {
            const auto end =
                std::partition(first, last, [&](const Option& o) { return o.verdict == verdict; });
            by_harm(first, end);
            first = end;
        }
    });
    std::sort(known_end, options.end(), [](const Option& a, const Option& b) {
        if (a.ship_date != b.ship_date) return a.ship_date < b.ship_date;
        return cheaper_then_earlier(a, b);
    });
    int rank = 0;
    for (Option& option : options) option.rank = ++rank;
}

const odds::LegShare* worst_leg(const odds::Assessment& assessment) {
    const auto worst = std::max_element(
        assessment.legs.begin(), assessment.legs.end(),
        [](const odds::LegShare& a, const odds::LegShare& b) { return a.hours() < b.hours(); });
    constexpr double kNothing = 0.005;
    return worst == assessment.legs.end() || worst->hours() < kNothing ? nullptr : &*worst;
}

}  // namespace mildway::planning
