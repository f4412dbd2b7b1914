// Zones of a carrier and prices of a service, from services.json.
#include "mildway/transit/price.hpp"

#include <algorithm>
#include <array>
#include <string_view>

#include <fmt/format.h>

namespace mildway::transit {

namespace {

constexpr double kMostUsd = 10000;
constexpr double kMostUsdPerKg = 1000;
constexpr double kMostStepKg = 1000;
/// Half the way round the Earth is 20,004 km.
constexpr Bounds kReachKm{1, 20100};
/// Water is 1000 kg/m3: nothing is billed as if it were denser.
constexpr Bounds kDimensionalKgPerM3{0, 1000};
/// The same bound, and a divisor in cubic inches for each pound (139, say) lies well outside.
constexpr Bounds kDivisorCm3PerKg{1000, 100000};

constexpr std::array<std::string_view, 2> kFlatKeys{"base_usd", "per_kg_usd"};
constexpr std::array<std::string_view, 4> kTableKeys{"mass_up_to_kg", "usd_by_zone", "not_sold_to",
                                                     "per_kg_above_usd"};

/// [from, to] in degrees, rising and within +-limit.
std::array<double, 2> read_span(const ConfigNode& node, std::string_view key, double limit,
                                std::string_view order) {
    const auto ends = node.numbers(key);
    if (ends.size() != 2 || !(ends[0] >= -limit && ends[0] < ends[1] && ends[1] <= limit)) {
        node.fail(key, fmt::format("is no such range; expected {}, rising, from -{:g} to {:g}", order, limit,
                                   limit));
    }
    return {ends[0], ends[1]};
}

Zone::Rectangle read_rectangle(const ConfigNode& node) {
    (void)node.has("longitude_deg");  // or it would be taken for a latitude misspelt where that is missing
    const auto latitude = read_span(node, "latitude_deg", 90, "[south, north]");
    const auto longitude = read_span(node, "longitude_deg", 180,
                                     "[west, east] (across the 180th meridian write two rectangles)");
    node.finish();
    return {latitude[0], latitude[1], longitude[0], longitude[1]};
}

Zone read_zone(const ConfigNode& node) {
    Zone zone;
    zone.name = node.text("zone");
    const bool by_distance = node.has("up_to_km");
    const bool by_rectangle = node.has("within");
    if (by_distance) zone.up_to_km = node.number("up_to_km", kReachKm);
    if (by_rectangle) {
        for (const ConfigNode& entry : node.objects("within")) zone.within.push_back(read_rectangle(entry));
        if (zone.within.empty()) node.fail("within", "is empty; expected at least one rectangle");
    }
    node.finish();  // first, so that a misspelt key is named before the one it leaves missing
    if (by_distance == by_rectangle) {
        node.fail("", "expected either 'up_to_km' or 'within', and not both");
    }
    return zone;
}

void require_new_name(const ConfigNode& node, const std::vector<Zone>& before, const Zone& zone) {
    for (const Zone& other : before) {
        if (other.name != zone.name) continue;
        node.fail("zone", fmt::format("is '{}' a second time; expected each zone once", zone.name));
    }
}

void require_farther(const ConfigNode& node, const std::vector<Zone>& before, const Zone& zone) {
    for (const Zone& other : before) {
        if (!zone.up_to_km || !other.up_to_km || *zone.up_to_km > *other.up_to_km) continue;
        node.fail("up_to_km",
                  fmt::format("is {:g}, but zone '{}' before it reaches {:g} km; expected distances that "
                              "rise in the order of the file",
                              *zone.up_to_km, other.name, *other.up_to_km));
    }
}

double read_dimensional(const ConfigNode& node) {
    const bool by_divisor = node.has("dimensional_divisor_cm3_per_kg");
    if (!by_divisor) return node.number_or("dimensional_kg_per_m3", 0, kDimensionalKgPerM3);
    if (node.has("dimensional_kg_per_m3")) {
        node.fail(
            "dimensional_kg_per_m3",
            "stands beside 'dimensional_divisor_cm3_per_kg', which says the same; expected one of them");
    }
    constexpr double kCm3PerM3 = 1e6;
    return kCm3PerM3 / node.number("dimensional_divisor_cm3_per_kg", kDivisorCm3PerKg);
}

template <std::size_t count>
std::string_view first_of(const ConfigNode& node, const std::array<std::string_view, count>& keys) {
    std::string_view first;
    for (const std::string_view key : keys) {
        if (node.has(key) && first.empty()) first = key;
    }
    return first;
}

/// Whether the price is a table by zone and not a flat one.
bool is_table(const ConfigNode& node) {
    const std::string_view flat = first_of(node, kFlatKeys);
    const std::string_view table = first_of(node, kTableKeys);
    const std::string forms =
        "expected either a flat price ('base_usd' with 'per_kg_usd') or a table ('mass_up_to_kg' with "
        "'usd_by_zone')";
    if (!flat.empty() && !table.empty()) {
        node.fail(table, fmt::format("stands beside '{}'; {}, and not both", flat, forms));
    }
    if (flat.empty() && table.empty()) {
        node.finish();  // a misspelt key says more
        node.fail("", forms);
    }
    return !table.empty();
}

std::vector<double> read_steps(const ConfigNode& node) {
    const char* key = "mass_up_to_kg";
    auto steps = node.numbers(key);
    if (steps.empty()) node.fail(key, "is empty; expected at least one mass");
    double before = 0;
    for (const double step : steps) {
        if (!(step > before && step <= kMostStepKg)) {
            node.fail(key, fmt::format("holds {:g} after {:g}; expected masses that rise from above 0 to at "
                                       "most {:g}",
                                       step, before, kMostStepKg));
        }
        before = step;
    }
    return steps;
}

std::vector<bool> read_not_sold(const ConfigNode& node, const Zones& zones) {
    const char* key = "not_sold_to";
    std::vector<bool> not_sold(zones.all().size(), false);
    if (!node.has(key)) return not_sold;
    std::vector<std::string> names;
    for (const Zone& zone : zones.all()) names.push_back(zone.name);
    for (const std::string& name : node.texts(key)) {
        const std::size_t index = node.index_of(key, "zone", name, names);
        if (not_sold[index]) {
            node.fail(key, fmt::format("holds '{}' a second time; expected each zone once", name));
        }
        not_sold[index] = true;
    }
    return not_sold;
}

std::vector<double> read_row(const ConfigNode& table, const std::string& zone, std::size_t steps) {
    auto row_usd = table.numbers(zone);
    if (row_usd.size() != steps) {
        table.fail(zone,
                   fmt::format("holds {} prices; expected {}, one for each step of 'mass_up_to_kg' (a price "
                               "table with holes tells nothing)",
                               row_usd.size(), steps));
    }
    for (const double usd : row_usd) {
        if (usd >= 0 && usd <= kMostUsd) continue;
        table.fail(zone, fmt::format("holds {:g}; expected prices from 0 to {:g}", usd, kMostUsd));
    }
    return row_usd;
}

std::vector<std::vector<double>> read_rows(const ConfigNode& node, const Zones& zones, std::size_t steps) {
    const char* key = "usd_by_zone";
    if (zones.empty()) {
        node.fail(key,
                  "has no zones to go by; expected a carrier with 'zones', or a flat price ('base_usd')");
    }
    const std::vector<bool> not_sold = read_not_sold(node, zones);
    const ConfigNode table = node.object(key);
    std::vector<bool> priced;
    for (const Zone& zone : zones.all()) priced.push_back(table.has(zone.name));
    table.finish();  // a misspelt zone is named before the one it leaves without prices
    std::vector<std::vector<double>> rows;
    for (std::size_t i = 0; i < priced.size(); ++i) {
        const std::string& zone = zones.all()[i].name;
        if (priced[i] && not_sold[i]) {
            table.fail(zone, "has prices but stands in 'not_sold_to'; expected one or the other");
        }
        if (!priced[i] && !not_sold[i]) {
            node.fail(key, fmt::format("has no prices for zone '{}'; expected a row for it, or its name in "
                                       "'not_sold_to' (a price table with holes tells nothing)",
                                       zone));
        }
        rows.push_back(priced[i] ? read_row(table, zone, steps) : std::vector<double>{});
    }
    if (std::none_of(priced.begin(), priced.end(), [](bool any) { return any; })) {
        node.fail(key, "is empty; expected at least one zone that the service is sold to");
    }
    return rows;
}

void read_table(const ConfigNode& node, const Zones& zones, Price& price) {
    price.mass_up_to_kg = read_steps(node);
    price.usd_by_zone = read_rows(node, zones, price.mass_up_to_kg.size());
    if (node.has("per_kg_above_usd")) {
        price.per_kg_above_usd = node.number("per_kg_above_usd", {0, kMostUsdPerKg});
    }
}

}  // namespace

Zones Zones::read(const ConfigNode& carrier) {
    Zones zones;
    if (!carrier.has("zones")) return zones;
    for (const ConfigNode& entry : carrier.objects("zones")) {
        Zone zone = read_zone(entry);
        require_new_name(entry, zones.all_, zone);
        require_farther(entry, zones.all_, zone);
        zones.all_.push_back(std::move(zone));
    }
    return zones;
}

Price read_price(const ConfigNode& node, const Zones& zones) {
    Price price;
    price.dimensional_kg_per_m3 = read_dimensional(node);
    if (is_table(node)) {
        read_table(node, zones, price);
    } else {
        price.base_usd = node.number("base_usd", {0, kMostUsd});
        price.per_kg_usd = node.number_or("per_kg_usd", 0, {0, kMostUsdPerKg});
    }
    node.finish();
    return price;
}

}  // namespace mildway::transit
