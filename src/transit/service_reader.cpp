// services.json -> Services.
#include "mildway/transit/service.hpp"

#include "leg_reader.hpp"
#include "service_checks.hpp"
#include "service_options.hpp"

#include <algorithm>
#include <cmath>
#include <map>

#include <fmt/format.h>

namespace mildway::transit {

namespace {

/// What the services of one carrier share.
struct Carrier {
    std::string label;
    std::shared_ptr<const Calendar> calendar;
    std::shared_ptr<const Zones> zones;
    std::optional<WeekdaySet> accepts;
    std::optional<WeekdaySet> delivers;
    double late_together = kUsuallyTogether;
};

/// Reads what a carrier, or a service that names none, says of itself.
Carrier read_carrier_keys(const ConfigNode& node, const Holidays& holidays) {
    Carrier carrier;
    carrier.label = node.text("label");
    carrier.calendar = std::make_shared<const Calendar>(read_calendar(node, holidays));
    carrier.zones = std::make_shared<const Zones>(Zones::read(node));
    if (node.has("accepts")) carrier.accepts = read_weekdays(node, "accepts");
    if (node.has("delivers")) carrier.delivers = read_weekdays(node, "delivers");
    carrier.late_together = node.number_or("late_together", kUsuallyTogether, {0, 1});
    return carrier;
}

using Carriers = std::map<std::string, Carrier>;

Carriers read_carriers(const ConfigNode& node, const Holidays& holidays) {
    Carriers carriers;
    if (!node.has("carriers")) return carriers;
    for (const ConfigNode& entry : node.objects("carriers")) {
        const std::string id = entry.text("id");
        if (carriers.contains(id))
            entry.fail("id", fmt::format("is '{}' a second time; expected each id once", id));
        carriers.emplace(id, read_carrier_keys(entry, holidays));
        (void)entry.text("source");
        entry.finish();
    }
    return carriers;
}

/// The carrier that a service names, or is by itself.
Carrier carrier_of(const ConfigNode& node, const Carriers& carriers, const Holidays& holidays) {
    if (!node.has("carrier")) return read_carrier_keys(node, holidays);
    const std::string id = node.text("carrier");
    std::vector<std::string> ids;
    for (const auto& [known, carrier] : carriers) ids.push_back(known);
    (void)node.index_of("carrier", "carrier", id, ids);
    Carrier carrier = carriers.at(id);
    if (node.has("accepts")) carrier.accepts = read_weekdays(node, "accepts");
    if (node.has("delivers")) carrier.delivers = read_weekdays(node, "delivers");
    return carrier;
}

std::vector<Place> read_hubs(const ConfigNode& node, std::span<const Place> places) {
    std::vector<Place> hubs;
    if (!node.has("hubs")) return hubs;
    std::vector<std::string> names;
    for (const Place& place : places) names.push_back(place.name);
    for (const std::string& name : node.texts("hubs"))
        hubs.push_back(places[node.index_of("hubs", "place", name, names)]);
    if (hubs.size() > 2) node.fail("hubs", fmt::format("names {} places; expected at most two", hubs.size()));
    return hubs;
}

Wait read_wait(const ConfigNode& node, const Service& service, const Settings& settings, bool alone) {
    std::vector<std::string> names;
    for (const LegPlan& leg : service.legs) names.push_back(leg.name);
    Wait wait;
    wait.leg = node.index_of("after", "leg", node.text("after"), names);
    if (wait.leg + 1 == service.legs.size())
        node.fail("after",
                  fmt::format("is '{}', the buyer's leg; expected a leg of the carrier", names[wait.leg]));
    if (service.legs[wait.leg].end.kind != LegEnd::Kind::clock) {
        node.fail("after",
                  fmt::format("is '{}', which lasts a fixed while; expected a leg that ends at a clock time",
                              names[wait.leg]));
    }
    wait.share = alone ? node.number_or("share", 1, {0, 1}) : node.number("share", {0, 1});
    wait.setting = node.has("setting")
                       ? node.index_of("setting", "setting", node.text("setting"), settings.names())
                       : service.legs[wait.leg].setting;
    wait.name = fmt::format("wait after {}", names[wait.leg]);
    node.finish();
    return wait;
}

std::vector<Wait> read_waits(const ConfigNode& node, const Service& service, const Settings& settings) {
    std::vector<Wait> waits;
    const auto entries = node.objects("waits");
    double sum = 0;
    for (const ConfigNode& entry : entries) {
        waits.push_back(read_wait(entry, service, settings, entries.size() == 1));
        sum += waits.back().share;
        for (std::size_t i = 0; i + 1 < waits.size(); ++i) {
            if (waits[i].leg == waits.back().leg)
                entry.fail("after", "names the same leg as another wait; expected each leg once");
        }
    }
    if (waits.empty()) node.fail("waits", "is empty; expected where a late parcel waits");
    if (std::abs(sum - 1) > 1e-6)
        node.fail("waits", fmt::format("have shares that sum to {:g}; expected 1", sum));
    return waits;
}

void read_late(const ConfigNode& node, const Settings& settings, Service& service) {
    service.late.one_day = node.number("one_day", {0, 1});
    service.late.more_days = node.number("more_days", {0, 1});
    if (service.late.late() > kMostLate) {
        node.fail("one_day",
                  "and more_days together exceed 0.9; expected the chances of coming late, each 0 to 1");
    }
    if (node.has("factor_by_weekday")) {
        const ConfigNode factors = node.object("factor_by_weekday");
        const auto& days = weekday_names();
        for (std::size_t day = 0; day < days.size(); ++day)
            service.late_factor_by_weekday[day] = factors.number_or(days[day], 1.0, {0, 50});
        factors.finish();
    }
    service.late_factor_after_holiday = node.number_or("factor_after_holiday", 1, {0, 50});
    service.waits = read_waits(node, service, settings);
    node.finish();
}

void read_calendar_of_service(const ConfigNode& node, const Carrier& carrier, Service& service) {
    service.calendar = carrier.calendar;
    service.zones = carrier.zones;
    service.carrier = carrier.label;
    service.late_together = carrier.late_together;
    if (!carrier.accepts)
        node.fail("accepts", "is missing; expected the weekdays on which parcels are taken in");
    if (!carrier.delivers)
        node.fail("delivers", "is missing; expected the weekdays on which parcels are delivered");
    service.accepts = *carrier.accepts;
    service.delivers = *carrier.delivers;
}

/// Days on which nobody can collect are no days of delivery.
void close_where_nobody_collects(Service& service) {
    if (!service.collection) return;
    for (std::size_t day = 0; day < service.delivers.size(); ++day)
        service.delivers[day] = service.delivers[day] && service.collection->by_weekday[day].has_value();
}

std::vector<Service> read_service(const ConfigNode& node, const ServiceReferences& references,
                                  const Carriers& carriers, const LegTemplates& templates) {
    Service service;
    service.id = service.base_id = node.text("id");
    service.label = node.text("label");
    read_calendar_of_service(node, carrier_of(node, carriers, references.holidays), service);
    service.hubs = read_hubs(node, references.places);
    service.cut_off = node.clock("cut_off");
    service.hand_over = node.clock("hand_over");
    if (service.hand_over > service.cut_off) {
        node.fail("hand_over", "is after the cut-off; expected a time at which the parcel is still accepted");
    }
    service.transit_service_days = node.whole("transit_service_days", 1, 14);
    service.promised_by = node.clock("promised_by");
    const LegContext context{references.settings, templates, service.hubs.size()};
    service.legs = read_legs(node, "legs", context);
    check_legs(node, "legs", service);
    read_late(node.object("late"), references.settings, service);
    service.price = read_price(node.object("price"), *service.zones);
    if (node.has("collection")) {
        service.collection = read_collection(node.object("collection"));
        service.held = true;
    }
    service.source = node.text("source");
    std::vector<Service> all = with_options(node, service, context);
    for (Service& one : all) {
        close_where_nobody_collects(one);
        check_legs(node, one.options.empty() ? "legs" : "options", one);
        check_service(node, one);
    }
    node.finish();
    return all;
}

}  // namespace

Services Services::read(const ConfigNode& node, const ServiceReferences& references) {
    const Carriers carriers = read_carriers(node, references.holidays);
    const LegTemplates templates = read_leg_templates(node, references.settings);
    Services services;
    for (const ConfigNode& entry : node.objects("services")) {
        for (Service& service : read_service(entry, references, carriers, templates)) {
            for (const Service& other : services.all_) {
                if (other.id == service.id)
                    entry.fail("id", fmt::format("is '{}' a second time; expected each id once", service.id));
            }
            services.all_.push_back(std::move(service));
        }
    }
    if (services.all_.empty()) node.fail("services", "is empty; expected at least one service");
    node.finish();
    return services;
}

}  // namespace mildway::transit
