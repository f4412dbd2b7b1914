// services.json -> Services.
#include "mildway/transit/service.hpp"

#include <algorithm>

#include <fmt/format.h>

namespace mildway::transit {

namespace {

const std::vector<std::string> kWeekdays{"Sun", "Mon", "Tue", "Wed", "Thu", "Fri", "Sat"};
const std::vector<std::string> kRoles{"origin", "counter", "hub", "destination"};

/// Index of a name that must be known, or a complaint about `key` with the nearest one.
std::size_t index_of(const ConfigNode& node, std::string_view key, std::string_view kind,
                     const std::string& name, const std::vector<std::string>& known) {
    const auto found = std::find(known.begin(), known.end(), name);
    if (found == known.end()) node.fail(key, unknown_name_message(kind, name, known));
    return static_cast<std::size_t>(found - known.begin());
}

Role read_role(const ConfigNode& node, std::string_view key) {
    return static_cast<Role>(index_of(node, key, "place of a lane", node.text(key), kRoles));
}

minutes read_clock(const ConfigNode& node, std::string_view key) {
    const std::string text = node.text(key);
    const auto clock = parse_clock(text);
    if (!clock) node.fail(key, fmt::format("is '{}'; expected a local clock time like 17:30", text));
    return *clock;
}

WeekdaySet read_weekdays(const ConfigNode& node, std::string_view key) {
    WeekdaySet days{};
    const auto names = node.texts(key);
    if (names.empty()) node.fail(key, R"(is empty; expected at least one weekday, e.g. ["Mon", "Tue"])");
    for (const auto& name : names) days[index_of(node, key, "weekday", name, kWeekdays)] = true;
    return days;
}

std::vector<Date> read_closed_days(const ConfigNode& node) {
    std::vector<Date> days;
    if (!node.has("closed")) return days;
    for (const auto& text : node.texts("closed")) {
        const auto day = parse_date(text);
        if (!day) node.fail("closed", fmt::format("holds '{}'; expected dates like 2027-05-31", text));
        days.push_back(*day);
    }
    return days;
}

LegEnd read_clock_end(const ConfigNode& node, Role default_at) {
    LegEnd end;
    end.kind = LegEnd::Kind::clock;
    end.clock = read_clock(node, "clock");
    const bool on_delivery_day = node.choice("on", {"ship-day", "delivery-day"}) == 1;
    end.from = on_delivery_day ? LegEnd::From::delivery_day : LegEnd::From::ship_day;
    end.plus_days = node.whole_or("plus_days", 0, on_delivery_day ? -7 : 0, 14);
    end.at = node.has("at") ? read_role(node, "at") : default_at;
    end.spread_minutes = node.number_or("spread_minutes", 0, {0, 720});
    return end;
}

LegEnd read_lasting_end(const ConfigNode& node) {
    LegEnd end;
    end.kind = LegEnd::Kind::lasts;
    end.length = minutes{node.whole("lasts_minutes", 1, 14 * 24 * 60)};
    end.spread_factor = node.number_or("spread_factor", 1, {1, 5});
    return end;
}

LegEnd read_end(const ConfigNode& node, Role default_at) {
    const bool by_clock = node.has("clock");
    if (by_clock == node.has("lasts_minutes")) {
        node.fail("", "expected either 'clock' (with 'on') or 'lasts_minutes', and not both");
    }
    const LegEnd end = by_clock ? read_clock_end(node, default_at) : read_lasting_end(node);
    node.finish();
    return end;
}

LegPlan read_leg(const ConfigNode& node, const Settings& settings) {
    LegPlan leg;
    leg.name = node.text("name");
    leg.setting = index_of(node, "setting", "setting", node.text("setting"), settings.names());
    if (node.has("place")) {
        leg.from = leg.to = read_role(node, "place");
    } else {
        leg.from = read_role(node, "from");
        leg.to = read_role(node, "to");
    }
    leg.end = read_end(node.object("ends"), leg.to);
    node.finish();
    return leg;
}

/// Can be told before any lane is known: two clock ends on the same clock and day are in order.
bool is_no_longer(const LegEnd& end, const LegEnd& start) {
    const bool comparable = end.kind == LegEnd::Kind::clock && start.kind == LegEnd::Kind::clock &&
                            end.from == start.from && end.at == start.at;
    return comparable && date::days{end.plus_days} + end.clock <= date::days{start.plus_days} + start.clock;
}

std::vector<LegPlan> read_legs(const ConfigNode& node, const Settings& settings, minutes hand_over) {
    std::vector<LegPlan> legs;
    LegEnd start;
    start.clock = hand_over;
    start.at = Role::counter;
    Role here = Role::counter;
    for (const ConfigNode& entry : node.objects("legs")) {
        const LegPlan leg = read_leg(entry, settings);
        if (std::any_of(legs.begin(), legs.end(),
                        [&](const LegPlan& other) { return other.name == leg.name; }) ||
            leg.name == kPackedLeg || leg.name == kDriveLeg) {
            entry.fail("name",
                       fmt::format("is '{}', which another leg has; expected each name once", leg.name));
        }
        if (leg.from != here) {
            entry.fail(
                entry.has("place") ? "place" : "from",
                fmt::format(
                    "is '{}', but the parcel is at the {} by then; legs must join, from the counter to "
                    "the destination",
                    role_name(leg.from), role_name(here)));
        }
        if (is_no_longer(leg.end, start)) {
            entry.fail(
                "ends",
                "is not after the end of the leg before it (or the hand-over); a leg must have some length");
        }
        start = leg.end;
        here = leg.to;
        legs.push_back(leg);
    }
    if (here != Role::destination)
        node.fail("legs", "must end at the destination; expected a last leg that is there");
    return legs;
}

std::size_t read_waiting_leg(const ConfigNode& node, const std::vector<LegPlan>& legs) {
    const char* key = "late_parcel_waits_in";
    std::vector<std::string> names;
    names.reserve(legs.size());
    for (const LegPlan& leg : legs) names.push_back(leg.name);
    const std::size_t waiting = index_of(node, key, "leg", node.text(key), names);
    if (legs[waiting].end.kind != LegEnd::Kind::clock) {
        node.fail(key,
                  fmt::format("is '{}', which lasts a fixed while; expected a leg that ends at a clock time",
                              names[waiting]));
    }
    return waiting;
}

void read_late(const ConfigNode& node, Service& service) {
    service.late.one_day = node.number("one_day", {0, 1});
    service.late.more_days = node.number("more_days", {0, 1});
    if (service.late.one_day + service.late.more_days > 0.9) {
        node.fail("one_day",
                  "and more_days together exceed 0.9; expected the chances of coming late, each 0 to 1");
    }
    service.late_factor_by_weekday.fill(1.0);
    if (node.has("factor_by_weekday")) {
        const ConfigNode factors = node.object("factor_by_weekday");
        for (std::size_t day = 0; day < kWeekdays.size(); ++day) {
            service.late_factor_by_weekday[day] = factors.number_or(kWeekdays[day], 1.0, {0, 50});
        }
        factors.finish();
    }
    node.finish();
}

Price read_price(const ConfigNode& node) {
    Price price;
    price.base_usd = node.number("base_usd", {0, 10000});
    price.per_kg_usd = node.number_or("per_kg_usd", 0, {0, 1000});
    price.dimensional_kg_per_m3 = node.number_or("dimensional_kg_per_m3", 0, {0, 1000});
    node.finish();
    return price;
}

Service read_service(const ConfigNode& node, const Settings& settings) {
    Service service;
    service.id = node.text("id");
    service.label = node.text("label");
    service.accepts = read_weekdays(node, "accepts");
    service.delivers = read_weekdays(node, "delivers");
    service.closed = read_closed_days(node);
    service.cut_off = read_clock(node, "cut_off");
    service.hand_over = read_clock(node, "hand_over");
    if (service.hand_over > service.cut_off) {
        node.fail("hand_over", "is after the cut-off; expected a time at which the parcel is still accepted");
    }
    service.transit_service_days = node.whole("transit_service_days", 1, 14);
    service.promised_by = read_clock(node, "promised_by");
    service.legs = read_legs(node, settings, service.hand_over);
    service.waits_in_leg = read_waiting_leg(node, service.legs);
    read_late(node.object("late"), service);
    service.price = read_price(node.object("price"));
    service.source = node.text("source");
    node.finish();
    return service;
}

}  // namespace

Services Services::read(const ConfigNode& node, const Settings& settings) {
    Services services;
    for (const ConfigNode& entry : node.objects("services")) {
        Service service = read_service(entry, settings);
        for (const Service& other : services.all_) {
            if (other.id == service.id) {
                entry.fail("id", fmt::format("is '{}' a second time; expected each id once", service.id));
            }
        }
        services.all_.push_back(std::move(service));
    }
    if (services.all_.empty()) node.fail("services", "is empty; expected at least one service");
    node.finish();
    return services;
}

}  // namespace mildway::transit
