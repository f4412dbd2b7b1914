#include "mildway/planning/cost.hpp"

namespace mildway::planning {

std::variant<Cost, transit::NotSold> cost_of(const transit::Route& route, Date ship_date,
                                             const box::Packing& packing, const box::Contents& contents,
                                             const box::Warmers& warmers) {
    const transit::Service& service = route.service();
    const double mass_kg =
        packing.empty_mass_kg(contents.count, warmers) + contents.count * contents.mass_kg_each;
    const double volume_m3 = packing.outer_volume_m3();
    const auto carriage = transit::carriage_usd(service.price, route.zone(), mass_kg, volume_m3);
    if (const auto* not_sold = std::get_if<transit::NotSold>(&carriage)) return *not_sold;
    return Cost{packing.materials_usd(warmers), std::get<double>(carriage),
                transit::extras_usd(service, ship_date),
                transit::billed_mass_kg(service.price, mass_kg, volume_m3)};
}

}  // namespace mildway::planning
