#include "service_checks.hpp"

#include <algorithm>

#include <fmt/format.h>

namespace mildway::transit {

namespace {

/// Complains about a key of a service; says which combination of options it is about.
class Complaint {
public:
    Complaint(const ConfigNode& node, const Service& service) : node_(node), service_(service) {}

    [[noreturn]] void operator()(std::string_view key, const std::string& why) const {
        node_.fail(key, service_.options.empty() ? why : fmt::format("as '{}': {}", service_.id, why));
    }

private:
    const ConfigNode& node_;
    const Service& service_;
};

/// As far as it can be told before any lane is known.
void check_promise(const Complaint& fail, const Service& service) {
    const LegPlan& last_of_carrier = service.legs[service.legs.size() - 2];
    const LegEnd& delivery = last_of_carrier.end;
    const bool comparable = delivery.kind == LegEnd::Kind::clock &&
                            delivery.from == LegEnd::From::delivery_day && delivery.at == Role::destination;
    if (comparable && date::days{delivery.plus_days} + delivery.clock > service.promised_by) {
        fail("promised_by", fmt::format("is before the leg '{}' ends; expected a promise that the legs keep",
                                        last_of_carrier.name));
    }
    if (!service.collection) return;
    for (std::size_t day = 0; day < service.delivers.size(); ++day) {
        const auto& span = service.collection->by_weekday[day];
        if (!service.delivers[day] || !span) continue;
        if (service.promised_by < span->opens) {
            fail("promised_by",
                 fmt::format("is before the counter opens on {}; expected when it can be collected",
                             weekday_names()[day]));
        }
        if (service.promised_by >= span->closes) {
            fail("promised_by",
                 fmt::format("is not before the counter closes on {}; expected time to collect",
                             weekday_names()[day]));
        }
    }
}

void check_days(const Complaint& fail, const Service& service) {
    const WeekdaySet& only = service.only_for_delivery_on;
    const bool restricted = has_any(only);
    bool delivers = false;
    for (std::size_t day = 0; day < service.delivers.size(); ++day)
        delivers = delivers || (service.delivers[day] && (!restricted || only[day]));
    if (!delivers)
        fail("delivers", restricted
                             ? "holds none of the days that it is bought for; is the counter closed on them?"
                             : "leaves no weekday on which it delivers");
}

void check_hubs(const Complaint& fail, const Service& service) {
    for (std::size_t hub = 0; hub < service.hubs.size(); ++hub) {
        const Role role = hub == 0 ? Role::hub : Role::second_hub;
        const bool passed = std::any_of(service.legs.begin(), service.legs.end(), [&](const LegPlan& leg) {
            return leg.stretch.from == role || leg.stretch.to == role;
        });
        if (!passed) {
            fail("hubs", fmt::format("name {}, but no leg passes the {}; expected a leg there or no such hub",
                                     service.hubs[hub].name, role_name(role)));
        }
    }
}

}  // namespace

CollectionHours read_collection(const ConfigNode& node) {
    CollectionHours hours;
    const auto& days = weekday_names();
    const auto read_span = [&](const std::string& key) {
        const auto texts = node.texts(key);
        const auto opens = texts.size() == 2 ? parse_clock(texts[0]) : std::nullopt;
        const auto closes = texts.size() == 2 ? parse_clock(texts[1]) : std::nullopt;
        if (!opens || !closes || *opens >= *closes)
            node.fail(key, R"(expected when it opens and closes, such as ["09:00", "18:00"])");
        return CollectionHours::Span{*opens, *closes};
    };
    if (node.has("Mon-Fri")) {
        const auto span = read_span("Mon-Fri");
        for (std::size_t day = 1; day <= 5; ++day) hours.by_weekday[day] = span;
    }
    for (std::size_t day = 0; day < days.size(); ++day) {
        if (node.has(days[day])) hours.by_weekday[day] = read_span(days[day]);
    }
    node.finish();
    return hours;
}

void check_service(const ConfigNode& node, const Service& service) {
    const Complaint fail(node, service);
    if (service.legs.size() < 2) {
        fail("legs",
             "expected at least two legs: the last is the buyer's, the parcel is delivered when it begins");
    }
    if (service.waits.empty()) {
        fail("late",
             "leaves a late parcel nowhere to wait; expected a wait after a leg that the parcel still has");
    }
    check_promise(fail, service);
    check_days(fail, service);
    check_hubs(fail, service);
}

}  // namespace mildway::transit
