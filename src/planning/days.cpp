#include "mildway/planning/days.hpp"

#include <map>
#include <set>

namespace mildway::planning {

std::vector<DayAtBest> days_of(const Plan& plan) {
    std::map<Date, DayAtBest> days;
    for (const Option& option : plan.options)  // best first, so that the first of a day is its best
        days.try_emplace(option.ship_date, DayAtBest{option.ship_date, &option, nullptr, false});
    std::set<Date> differ;
    for (const ClosedDay& closed : plan.closed) {
        const auto [day, first] =
            days.try_emplace(closed.ship_date, DayAtBest{closed.ship_date, nullptr, &closed, false});
        if (first || day->second.best != nullptr) continue;
        if (closed.brief != day->second.closed->brief) differ.insert(closed.ship_date);
        day->second.all_alike = !differ.contains(closed.ship_date);
    }
    std::vector<DayAtBest> all;
    for (const auto& [day, at_best] : days) all.push_back(at_best);
    return all;
}

}  // namespace mildway::planning
