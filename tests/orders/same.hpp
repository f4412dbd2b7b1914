// Whether two orders, choices, ... say the same.
#pragma once

#include "mildway/orders/order.hpp"

#include <tuple>

namespace mildway::testing {

inline auto fields(const orders::Animal& a) {
    return std::tie(a.mark, a.mass_g, a.shell_mm);
}
inline auto fields(const orders::DateRange& a) {
    return std::tie(a.from, a.until);
}
inline auto fields(const orders::Buyer& a) {
    return std::tie(a.name, a.email, a.address, a.scale);
}
inline auto fields(const Place& a) {
    return std::tie(a.name, a.latitude_deg, a.longitude_deg, a.zone, a.climate, a.elevation_m, a.region);
}
inline auto fields(const orders::Choice& a) {
    return std::tie(a.version, a.ship_date, a.service, a.service_label, a.carrier_label, a.packing,
                    a.packing_label, a.packed, a.handed_over, a.cut_off, a.promised, a.delivery_date, a.held,
                    a.verdict, a.side, a.hours_outside, a.chance_outside, a.chance_harm, a.cost_usd, a.chosen,
                    a.weather_issued, a.chosen_by, a.document);
}
inline auto fields(const orders::Reassessment& a) {
    return std::tie(a.made, a.choice_version, a.verdict, a.standing, a.side, a.hours_outside, a.hours_error,
                    a.chance_outside, a.chance_harm, a.worst_leg, a.weather_issued, a.told_hours, a.trouble,
                    a.flagged, a.better_day, a.better_service, a.better_packing, a.better_by_hours,
                    a.sentence);
}
inline auto fields(const orders::Outcome& a) {
    return std::tie(a.arrived, a.alive, a.well, a.inside_c, a.logger_name, a.logger_bytes, a.note);
}
inline auto fields(const orders::Proposal::Day& a) {
    return std::tie(a.ship_date, a.arrival_date, a.verdict);
}

template <class T>
bool same(const T& a, const T& b) {
    return fields(a) == fields(b);
}

template <class T>
bool same(const std::vector<T>& a, const std::vector<T>& b) {
    if (a.size() != b.size()) return false;
    for (std::size_t i = 0; i < a.size(); ++i) {
        if (!same(a[i], b[i])) return false;
    }
    return true;
}

inline bool same(const orders::Proposal& a, const orders::Proposal& b) {
    return a.version == b.version && a.made == b.made && same(a.days, b.days);
}

template <class T>
bool same(const std::optional<T>& a, const std::optional<T>& b) {
    return a.has_value() == b.has_value() && (!a || same(*a, *b));
}

/// What a person entered.
inline bool same_entry(const orders::Order& a, const orders::Order& b) {
    return std::tie(a.number, a.destination, a.species, a.value_usd, a.earliest_arrival, a.latest_arrival,
                    a.services, a.note) == std::tie(b.number, b.destination, b.species, b.value_usd,
                                                    b.earliest_arrival, b.latest_arrival, b.services,
                                                    b.note) &&
           same(a.buyer, b.buyer) && same(a.place, b.place) && same(a.animals, b.animals) &&
           same(a.buyer_away, b.buyer_away);
}

inline bool same(const orders::Order& a, const orders::Order& b) {
    return same_entry(a, b) &&
           std::tie(a.id, a.state, a.entered, a.changed, a.revision, a.handed_over) ==
               std::tie(b.id, b.state, b.entered, b.changed, b.revision, b.handed_over) &&
           same(a.choice, b.choice) && same(a.proposal, b.proposal);
}

}  // namespace mildway::testing
