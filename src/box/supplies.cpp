#include "mildway/box/supplies.hpp"

#include <algorithm>
#include <numbers>

#include <fmt/format.h>

namespace mildway::box {

namespace {

constexpr double kMetresPerMillimetre = 0.001;
// 1/K; foams have 0.004. At these ends a material still conducts from -60 to 80 degC, wherever it was
// measured.
constexpr Bounds kConductivityRise{-0.002, 0.008};

/// The "name" of a record, which no record before it may carry.
template <class Item>
std::string fresh_name(const ConfigNode& node, const Table<Item>& before) {
    std::string name = node.text("name");
    if (before.index_of(name)) {
        node.fail("name", fmt::format("is '{}' a second time; expected a name of its own", name));
    }
    return name;
}

double millimetres(const ConfigNode& node, std::string_view key, Bounds bounds) {
    return node.number(key, bounds) * kMetresPerMillimetre;
}

Material read_material(const ConfigNode& node) {
    Material material;
    material.conductivity_w_per_m_k = node.number("conductivity_w_per_m_k", {0.001, 10});
    material.measured_at_c = node.number_or("measured_at_c", 24, {-40, 60});
    material.conductivity_rise_per_k = node.number_or("conductivity_rise_per_k", 0, kConductivityRise);
    material.density_kg_per_m3 = node.number("density_kg_per_m3", {1, 3000});
    material.specific_heat_j_per_kg_k = node.number("specific_heat_j_per_kg_k", {100, 5000});
    if (node.has("usual_thickness_mm"))
        material.usual_thickness_m = millimetres(node, "usual_thickness_mm", {0.2, 450});
    return material;
}

Cup read_cup(const ConfigNode& node) {
    Cup cup;
    cup.diameter_m = millimetres(node, "diameter_mm", {10, 1000});
    cup.height_m = millimetres(node, "height_mm", {10, 1000});
    cup.mass_kg = node.number("kg", {0.001, 5});
    cup.specific_heat_j_per_kg_k = node.number("specific_heat_j_per_kg_k", {100, 5000});
    return cup;
}

std::vector<WarmerType::Point> read_power(const ConfigNode& node) {
    std::vector<WarmerType::Point> points;
    for (const ConfigNode& item : node.objects("power")) {
        const WarmerType::Point point{item.number("hours_since_opening", {0, 1000}),
                                      item.number("power_w", {0, 50})};
        if (!points.empty() && !(point.hours_since_opening > points.back().hours_since_opening)) {
            item.fail("hours_since_opening",
                      fmt::format("is {:g}; expected more than the {:g} of the point before it",
                                  point.hours_since_opening, points.back().hours_since_opening));
        }
        item.finish();
        points.push_back(point);
    }
    if (points.size() < 2) node.fail("power", "expected at least two points of hours and power");
    return points;
}

WarmerType read_warmer(const ConfigNode& node) {
    WarmerType warmer;
    warmer.label = node.text("label");
    warmer.power = read_power(node);
    warmer.unit_spread = node.number("unit_spread", {0, 1});
    warmer.dud_chance = node.number("dud_chance", {0, 1});
    warmer.mass_kg = node.number("mass_kg", {0.001, 5});
    warmer.specific_heat_j_per_kg_k = node.number("specific_heat_j_per_kg_k", {100, 5000});
    warmer.surface_m2 = node.number("surface_m2", {0.0005, 1});
    warmer.thickness_m = millimetres(node, "thickness_mm", {0.5, 200});
    warmer.cost_usd = node.number("cost_usd", {0, 1000});
    return warmer;
}

CoolantType read_coolant(const ConfigNode& node) {
    CoolantType coolant;
    coolant.label = node.text("label");
    coolant.mass_kg = node.number("mass_kg", {0.005, 10});
    coolant.melts_at_c = node.number("melts_at_c", {-40, 60});
    coolant.latent_j_per_kg = 1000 * node.number("latent_kj_per_kg", {1, 400});
    coolant.solid_specific_heat_j_per_kg_k = node.number("solid_specific_heat_j_per_kg_k", {100, 5000});
    coolant.liquid_specific_heat_j_per_kg_k = node.number("liquid_specific_heat_j_per_kg_k", {100, 5000});
    coolant.conductivity_w_per_m_k = node.number("conductivity_w_per_m_k", {0.01, 10});
    coolant.surface_m2 = node.number("surface_m2", {0.0005, 1});
    coolant.thickness_m = millimetres(node, "thickness_mm", {1, 300});
    coolant.cost_usd = node.number("cost_usd", {0, 1000});
    return coolant;
}

/// A list of `node`; every record has a name of its own and a source.
template <class Item, class Read>
Table<Item> read_table(const ConfigNode& node, const char* key, Read read) {
    Table<Item> table;
    for (const ConfigNode& record : node.objects(key)) {
        std::string name = fresh_name(record, table);
        Item item = read(record);
        item.name = std::move(name);
        item.source = record.text("source");
        record.finish();
        table.add(std::move(item));
    }
    return table;
}

}  // namespace

double Cup::volume_m3() const {
    return std::numbers::pi / 4.0 * diameter_m * diameter_m * height_m;
}

double Cup::surface_m2() const {
    return std::numbers::pi * diameter_m * (height_m + diameter_m / 2.0);
}

double WarmerType::power_at(double hours_since_opening) const {
    const auto after =
        std::upper_bound(power.begin(), power.end(), hours_since_opening,
                         [](double hours, const Point& point) { return hours < point.hours_since_opening; });
    if (after == power.begin()) return 0.0;
    const Point& a = *(after - 1);
    if (after == power.end()) return hours_since_opening > a.hours_since_opening ? 0.0 : a.power_w;
    const double share =
        (hours_since_opening - a.hours_since_opening) / (after->hours_since_opening - a.hours_since_opening);
    return a.power_w + share * (after->power_w - a.power_w);
}

double WarmerType::most_power_w() const {
    const auto less = [](const Point& a, const Point& b) { return a.power_w < b.power_w; };
    return std::max_element(power.begin(), power.end(), less)->power_w;
}

double WarmerType::hours_until_low() const {
    const double low_w = most_power_w() / 2;
    for (std::size_t i = power.size(); i-- > 0;) {
        const Point& last_above = power[i];
        if (last_above.power_w < low_w) continue;
        if (i + 1 == power.size()) return last_above.hours_since_opening;
        const Point& below = power[i + 1];
        const double part = (last_above.power_w - low_w) / (last_above.power_w - below.power_w);
        return last_above.hours_since_opening +
               part * (below.hours_since_opening - last_above.hours_since_opening);
    }
    return 0;
}

Supplies Supplies::read(const ConfigNode& node) {
    Supplies supplies;
    supplies.materials = read_table<Material>(node, "materials", read_material);
    supplies.cups = read_table<Cup>(node, "cups", read_cup);
    supplies.warmers = read_table<WarmerType>(node, "warmers", read_warmer);
    supplies.coolants = read_table<CoolantType>(node, "coolants", read_coolant);
    node.finish();
    return supplies;
}

}  // namespace mildway::box
