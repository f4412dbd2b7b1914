#include "leg_reader.hpp"

#include <algorithm>

#include <fmt/format.h>

namespace mildway::transit {

namespace {

const std::vector<std::string>& role_names() {
    static const std::vector<std::string> names{"origin", "counter", "hub", "second-hub", "destination"};
    return names;
}

LegEnd read_clock_end(const ConfigNode& node, Role default_at) {
    LegEnd end;
    end.kind = LegEnd::Kind::clock;
    end.clock = node.clock("clock");
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

/// "place", or "from" and "to" with "shares" of the way.
Stretch read_stretch(const ConfigNode& node) {
    Stretch stretch;
    if (node.has("place")) {
        stretch.from = stretch.to = read_role(node, "place");
        return stretch;
    }
    stretch.from = read_role(node, "from");
    stretch.to = read_role(node, "to");
    if (stretch.from > stretch.to)
        node.fail("to", fmt::format("is '{}', which comes before '{}'; a leg never goes back",
                                    role_name(stretch.to), role_name(stretch.from)));
    if (!node.has("shares")) return stretch;
    const auto shares = node.numbers("shares");
    if (shares.size() != 2 || !(shares[0] >= 0 && shares[0] <= shares[1] && shares[1] <= 1)) {
        node.fail("shares",
                  "expected two shares of the way from 'from' to 'to', such as [0, 0.4], rising and within "
                  "0 to 1");
    }
    stretch.from_share = shares[0];
    stretch.to_share = shares[1];
    return stretch;
}

/// A whole leg, or `like` with what the node says otherwise.
LegPlan read_leg(const ConfigNode& node, const Settings& settings, const LegPlan* like) {
    LegPlan leg = like == nullptr ? LegPlan{} : *like;
    if (like == nullptr || node.has("setting"))
        leg.setting = node.index_of("setting", "setting", node.text("setting"), settings.names());
    if (like == nullptr || node.has("place") || node.has("from")) leg.stretch = read_stretch(node);
    if (like == nullptr || node.has("ends")) leg.end = read_end(node.object("ends"), leg.stretch.to);
    return leg;
}

LegPlan read_leg_of_service(const ConfigNode& node, const LegContext& context) {
    if (!node.has("leg")) {
        LegPlan leg = read_leg(node, context.settings, nullptr);
        leg.name = node.text("name");
        return leg;
    }
    const std::string name = node.text("leg");
    std::vector<std::string> names;
    for (const auto& [known, leg] : context.templates) names.push_back(known);
    (void)node.index_of("leg", "leg template", name, names);
    LegPlan leg = read_leg(node, context.settings, &context.templates.at(name));
    leg.name = node.text_or("name", name);
    return leg;
}

/// A point of the lane; being all the way to a place is being there.
struct Spot {
    Role from;
    Role to;
    double share;
    bool operator==(const Spot&) const = default;
};

Spot spot_of(const Stretch& stretch, double share) {
    if (stretch.from == stretch.to || share <= 0) return {stretch.from, stretch.from, 0};
    if (share >= 1) return {stretch.to, stretch.to, 0};
    return {stretch.from, stretch.to, share};
}

std::string describe(const Spot& spot) {
    if (spot.from == spot.to) return fmt::format("at the {}", role_name(spot.from));
    return fmt::format("{:.0f} % of the way from the {} to the {}", 100 * spot.share, role_name(spot.from),
                       role_name(spot.to));
}

/// Can be told before any lane is known: two clock ends on the same clock and day are in order.
bool is_no_longer(const LegEnd& end, const LegEnd& start) {
    const bool comparable = end.kind == LegEnd::Kind::clock && start.kind == LegEnd::Kind::clock &&
                            end.from == start.from && end.at == start.at;
    return comparable && date::days{end.plus_days} + end.clock <= date::days{start.plus_days} + start.clock;
}

void check_hub(const ConfigNode& node, Role role, std::size_t hubs) {
    const std::size_t needed = role == Role::hub ? 1 : role == Role::second_hub ? 2 : 0;
    if (needed > hubs) {
        node.fail(node.has("place") ? "place" : "",
                  fmt::format("is at the {}, but the service passes {} hub{}; name it in 'hubs'",
                              role_name(role), hubs, hubs == 1 ? "" : "s"));
    }
}

}  // namespace

Role read_role(const ConfigNode& node, std::string_view key) {
    return static_cast<Role>(node.index_of(key, "place of a lane", node.text(key), role_names()));
}

LegTemplates read_leg_templates(const ConfigNode& node, const Settings& settings) {
    LegTemplates templates;
    if (!node.has("leg_templates")) return templates;
    for (const auto& [name, entry] : node.object("leg_templates").named_objects()) {
        LegPlan leg = read_leg(entry, settings, nullptr);
        leg.name = name;
        entry.finish();
        templates.emplace(name, std::move(leg));
    }
    return templates;
}

std::vector<LegPlan> read_legs(const ConfigNode& node, std::string_view key, const LegContext& context) {
    std::vector<LegPlan> legs;
    for (const ConfigNode& entry : node.objects(key)) {
        LegPlan leg = read_leg_of_service(entry, context);
        for (const Role role : {leg.stretch.from, leg.stretch.to, leg.end.at})
            check_hub(entry, role, context.hubs);
        entry.finish();
        legs.push_back(std::move(leg));
    }
    if (legs.empty()) node.fail(key, "is empty; expected at least one leg");
    return legs;
}

void check_legs(const ConfigNode& node, std::string_view key, const Service& service) {
    LegEnd start;
    start.clock = service.cut_off;
    start.at = Role::counter;
    Spot here{Role::counter, Role::counter, 0};
    bool clocks_seen = false;
    std::vector<std::string> names{kPackedLeg, kDriveLeg, kParkedLeg};
    for (const LegPlan& leg : service.legs) {
        if (std::find(names.begin(), names.end(), leg.name) != names.end()) {
            node.fail(key,
                      fmt::format("hold a leg '{}', a name which another leg has; expected each name once",
                                  leg.name));
        }
        const Spot begins = spot_of(leg.stretch, leg.stretch.from_share);
        if (!(begins == here)) {
            node.fail(key,
                      fmt::format("hold a leg '{}' that begins {}, but the parcel is {} by then; legs must "
                                  "join, from the counter to the destination",
                                  leg.name, describe(begins), describe(here)));
        }
        if (is_no_longer(leg.end, start)) {
            node.fail(key, clocks_seen
                               ? fmt::format("hold a leg '{}' that is not after the end of the leg before "
                                             "it; a leg must have some length",
                                             leg.name)
                               : fmt::format("hold a leg '{}' that ends at the counter no later than the "
                                             "cut-off; expected the pick-up after it",
                                             leg.name));
        }
        if (leg.end.kind == LegEnd::Kind::clock) {
            start = leg.end;
            clocks_seen = true;
        } else {
            start.clock += leg.end.length;  // parcels handed over last are there at the next clock end, too
        }
        here = spot_of(leg.stretch, leg.stretch.to_share);
        names.push_back(leg.name);
    }
    if (!(here == Spot{Role::destination, Role::destination, 0}))
        node.fail(key, "must end at the destination; expected a last leg that is there");
}

}  // namespace mildway::transit
