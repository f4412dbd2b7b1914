// hazards.json -> HazardRules.
#include "mildway/odds/hazards.hpp"

#include <algorithm>

#include <fmt/format.h>

namespace mildway::odds {

namespace {

using transit::Role;

const std::vector<std::string> kPlaces{"hub", "origin", "destination", "ends"};
const std::vector<std::string> kKinds{"thunder", "snow", "ice", "gust", "cold", "alert", "fog"};

std::vector<Role> read_places(const ConfigNode& node) {
    switch (node.choice("at", kPlaces)) {
        case 0:
            return {Role::hub, Role::second_hub};
        case 1:
            return {Role::origin};
        case 2:
            return {Role::destination};
        default:
            return {Role::origin, Role::destination};
    }
}

double read_threshold(const ConfigNode& node, HazardKind kind) {
    switch (kind) {
        case HazardKind::snow:
        case HazardKind::ice:
            return node.number("above_mm", {0.1, 5000});
        case HazardKind::gust:
            return node.number("above_m_per_s", {1, 100});
        case HazardKind::cold:
            return node.number("below_c", {-70, 10});
        case HazardKind::thunder:
        case HazardKind::fog:
        case HazardKind::alert:
            return 0;
    }
    return 0;
}

std::vector<std::string> read_alerts(const ConfigNode& node) {
    std::vector<std::string> codes = node.texts("alerts");
    const auto is_code = [](const std::string& code) {
        return code.size() == 2 &&
               std::all_of(code.begin(), code.end(), [](char c) { return c >= 'A' && c <= 'Z'; });
    };
    if (codes.empty() || !std::all_of(codes.begin(), codes.end(), is_code)) {
        node.fail("alerts", R"(must hold codes of warnings, two capital letters each, e.g. ["BZ", "IS"] for )"
                            "blizzard and ice storm");
    }
    return codes;
}

std::optional<ClockSpan> read_clock_span(const ConfigNode& node) {
    if (!node.has("clock_from") && !node.has("clock_until")) return std::nullopt;
    const ClockSpan span{node.clock("clock_from"), node.clock("clock_until")};
    if (span.from == span.until)
        node.fail("clock_until", "is the same as clock_from; leave both out for the whole day");
    return span;
}

void read_latitudes(const ConfigNode& node, HazardRule& rule) {
    rule.latitude_from_deg = node.number_or("latitude_from_deg", rule.latitude_from_deg, {0, 90});
    rule.latitude_below_deg = node.number_or("latitude_below_deg", rule.latitude_below_deg, {0, 91});
    if (rule.latitude_from_deg >= rule.latitude_below_deg) {
        node.fail("latitude_below_deg",
                  "is not above latitude_from_deg; the rule would hold nowhere (degrees from the equator)");
    }
}

HazardRule read_rule(const ConfigNode& node) {
    HazardRule rule;
    rule.id = node.text("id");
    rule.words = node.text("words");
    rule.places = read_places(node);
    rule.kind = static_cast<HazardKind>(node.choice("kind", kKinds));
    rule.threshold = read_threshold(node, rule.kind);
    if (rule.kind == HazardKind::alert) rule.alerts = read_alerts(node);
    rule.clock = read_clock_span(node);
    read_latitudes(node, rule);
    rule.odds_factor = node.number("odds_factor", {1, 1000});
    rule.two_day_share = node.number("two_day_share", {0, 1});
    rule.group = node.text_or("group", rule.id);
    rule.source = node.text("source");
    node.finish();
    return rule;
}

}  // namespace

HazardRules HazardRules::read(const ConfigNode& node) {
    HazardRules rules;
    for (const ConfigNode& entry : node.objects("hazards")) {
        HazardRule rule = read_rule(entry);
        for (const HazardRule& other : rules.all_) {
            if (other.id == rule.id)
                entry.fail("id", fmt::format("is '{}' a second time; expected each id once", rule.id));
        }
        rules.all_.push_back(std::move(rule));
    }
    node.finish();
    return rules;
}

}  // namespace mildway::odds
