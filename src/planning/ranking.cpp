#include "mildway/planning/ranking.hpp"

#include <algorithm>
#include <cmath>

namespace mildway::planning {

namespace {

const odds::Figures& figures(const Option& option) {
    return *option.assessment.all;
}

bool cheaper_then_earlier(const Option& a, const Option& b) {
    if (a.cost.total_usd() != b.cost.total_usd()) return a.cost.total_usd() < b.cost.total_usd();
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

void sort_by_hours(Iterator begin, Iterator end) {
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
    sort_in_ties(begin, end, kTieHours, hours, [&](Iterator first, Iterator last) {
        for (const Verdict verdict : {Verdict::comfortable, Verdict::tight, Verdict::unsafe}) {
            const auto of_verdict =
                std::partition(first, last, [&](const Option& o) { return o.verdict == verdict; });
            by_harm(first, of_verdict);
            first = of_verdict;
        }
    });
}

void sort_by_cost_and_loss(Iterator begin, Iterator end) {
    const auto usd = [](const Option& option) {
        return option.cost.total_usd() + option.expected_loss_usd.value_or(0);
    };
    std::sort(begin, end, [&](const Option& a, const Option& b) {
        if (a.verdict != b.verdict) return a.verdict < b.verdict;
        if (usd(a) != usd(b)) return usd(a) < usd(b);
        return cheaper_then_earlier(a, b);
    });
}

}  // namespace

bool tied(const odds::Estimate& a, const odds::Estimate& b, double immaterial) {
    return b.value - a.value <= std::max(immaterial, 2 * std::hypot(a.error, b.error));
}

void rank(std::vector<Option>& options, RankBy by) {
    const auto known_end = std::partition(options.begin(), options.end(), [](const Option& option) {
        return option.assessment.all.has_value();
    });
    if (by == RankBy::cost_and_loss)
        sort_by_cost_and_loss(options.begin(), known_end);
    else
        sort_by_hours(options.begin(), known_end);
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
