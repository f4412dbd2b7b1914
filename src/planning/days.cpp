#include "mildway/planning/days.hpp"

#include <map>

namespace mildway::planning {

std::vector<DayAtBest> days_of(const Plan& plan) {
    std::map<Date, DayAtBest> days;
    for (const Option& option : plan.options)  // best first, so that the first of a day is its best
        days.try_emplace(option.ship_date, DayAtBest{option.ship_date, &option, nullptr});
    for (const ClosedDay& closed : plan.closed)
        days.try_emplace(closed.ship_date, DayAtBest{closed.ship_date, nullptr, &closed});
    std::vector<DayAtBest> all;
    for (const auto& [day, at_best] : days) all.push_back(at_best);
    return all;
}

}  // namespace mildway::planning
