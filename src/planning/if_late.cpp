#include "mildway/planning/if_late.hpp"

#include <algorithm>

namespace mildway::planning {

IfLate if_late(const transit::Service& service, const odds::TripCases& cases, const box::Packing& packing,
               const box::Warmers& warmers) {
    const std::size_t wait = cases.likeliest_wait();
    IfLate late;
    late.trip = cases.one_late.at(wait);
    late.waits_in = service.legs[service.waits[wait].leg].name;
    late.days_later = static_cast<int>(
        (date::sys_days(late.trip.delivery_date) - date::sys_days(cases.on_time.delivery_date)).count());
    for (const box::WarmerUse& use : packing.warmers) {
        const box::WarmerType& type = warmers.at(use.type);
        const double hours_left = type.hours_until_low() - use.opened_before_packing_h;
        late.warmers_low.push_back(
            {type.label,
             cases.on_time.packed + seconds(static_cast<long>(3600 * std::max(0.0, hours_left)))});
    }
    return late;
}

}  // namespace mildway::planning
