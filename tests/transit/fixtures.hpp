// Lanes and services the transit tests share. Times are written as local text, the way a person would check
// them.
#pragma once

#include "mildway/transit/trip.hpp"

#include "catch.hpp"

#include <stdexcept>
#include <string>
#include <variant>
#include <vector>

namespace mildway::transit::fixtures {

inline Place place(const char* name, double latitude_deg, double longitude_deg, const char* zone) {
    return {name, latitude_deg, longitude_deg, zone, Climate::elsewhere};
}

inline const Place kLasCruces = place("Las Cruces NM", 32.31, -106.78, "America/Denver");
inline const Place kElPaso = place("El Paso TX", 31.76, -106.49, "America/Denver");
inline const Place kStLouis = place("St. Louis MO", 38.63, -90.2, "America/Chicago");
inline const Place kNewYork = place("New York NY", 40.71, -74.01, "America/New_York");
inline const Place kLosAngeles = place("Los Angeles CA", 34.05, -118.24, "America/Los_Angeles");

/// Places that services may name as hubs.
inline const std::vector<Place> kPlaces{kLasCruces, kElPaso, kStLouis, kNewYork, kLosAngeles};

inline const Settings& settings() {
    static const Settings all = Settings::read(ConfigNode::load(MILDWAY_SOURCE_DIR "/config/settings.json"));
    return all;
}

inline const Holidays& holidays() {
    static const Holidays all = Holidays::read(ConfigNode::load(MILDWAY_SOURCE_DIR "/config/holidays.json"));
    return all;
}

inline ServiceReferences references() {
    return {settings(), holidays(), kPlaces};
}

/// The services of the starter workspace.
inline const Services& services() {
    static const Services all =
        Services::read(ConfigNode::load(MILDWAY_SOURCE_DIR "/config/services.json"), references());
    return all;
}

/// Every day open, the van after a station that works in the night of the delivery day.
inline Service every_day_service() {
    const char* text = R"({"services": [{
        "id": "daily", "label": "Daily", "accepts": ["Sun","Mon","Tue","Wed","Thu","Fri","Sat"],
        "delivers": ["Sun","Mon","Tue","Wed","Thu","Fri","Sat"], "cut_off": "18:00", "hand_over": "17:00",
        "transit_service_days": 1, "promised_by": "10:30",
        "legs": [
            {"name": "counter", "setting": "indoors", "place": "counter",
             "ends": {"clock": "20:00", "on": "ship-day"}},
            {"name": "linehaul", "setting": "aircraft", "from": "counter", "to": "destination",
             "ends": {"clock": "02:30", "on": "ship-day", "plus_days": 1}},
            {"name": "station", "setting": "warehouse", "place": "destination",
             "ends": {"clock": "08:00", "on": "delivery-day"}},
            {"name": "van", "setting": "vehicle", "place": "destination", "ends": {"lasts_minutes": 90}}],
        "late": {"one_day": 0.03, "more_days": 0.01, "waits": [{"after": "station"}]},
        "price": {"base_usd": 10}, "source": "made up for tests"}]})";
    return Services::read(ConfigNode::parse("services.json", text), references()).all().front();
}

inline Date day(const char* text) {
    return parse_date(text).value();
}
inline Instant at(const char* text) {
    return parse_instant(text).value();
}

/// A moment before any date the tests use.
inline const Instant kLongBefore = at("2026-01-02T00:00:00Z");
inline const HandOver kHandOver{minutes{50}, minutes{30}};

/// From Las Cruces over the counter in El Paso.
inline Route route_to(const Service& service, const Place& destination,
                      const HandOver& hand_over = kHandOver) {
    return {service, settings(), lane_of(service, {kLasCruces, kElPaso}, destination), hand_over};
}

/// On time or late.
inline std::variant<Trip, NoTrip> lay(const Route& route, Date ship_date, Late late,
                                      Instant now = kLongBefore) {
    auto on_time = route.lay(ship_date, now);
    if (late.service_days == 0 || std::holds_alternative<NoTrip>(on_time)) return on_time;
    return route.delayed(std::get<Trip>(on_time), late);
}

inline Trip trip(const Service& service, const Place& destination, const char* ship_date, Late late = {}) {
    auto laid = lay(route_to(service, destination), day(ship_date), late);
    if (const auto* none = std::get_if<NoTrip>(&laid)) throw std::runtime_error(none->reason);
    return std::get<Trip>(std::move(laid));
}

/// Why there is no trip; both empty when there is one.
inline NoTrip no_trip(const Service& service, const char* ship_date, Instant now = kLongBefore,
                      const Place& destination = kNewYork, const HandOver& hand_over = kHandOver) {
    const auto laid = route_to(service, destination, hand_over).lay(day(ship_date), now);
    const auto* none = std::get_if<NoTrip>(&laid);
    return none == nullptr ? NoTrip{} : *none;
}

inline std::string refusal(const Service& service, const char* ship_date, Instant now = kLongBefore) {
    return no_trip(service, ship_date, now).reason;
}

/// When a leg ends, on the clock at `where`; of a leg that is gone through twice the `nth` time.
inline std::string end_of(const Trip& trip, const std::string& leg_name, const Place& where, int nth = 1) {
    for (const Leg& leg : trip.legs) {
        if (leg.name == leg_name && --nth == 0) return format_local(find_zone(where.zone), leg.end);
    }
    throw std::runtime_error("no leg " + leg_name);
}

inline std::vector<std::string> leg_names(const Trip& trip) {
    std::vector<std::string> names;
    for (const Leg& leg : trip.legs) names.emplace_back(leg.name);
    return names;
}

}  // namespace mildway::transit::fixtures
