#include "mildway/box/packing.hpp"

#include <algorithm>

#include <fmt/format.h>

namespace mildway::box {

namespace {

template <class Item>
std::vector<std::string> names_of(const std::vector<Item>& items) {
    std::vector<std::string> names;
    names.reserve(items.size());
    for (const auto& item : items) names.push_back(item.name);
    return names;
}

/// The "name" of a record, which no record before it may carry.
template <class Item>
std::string fresh_name(const ConfigNode& node, const std::vector<Item>& before) {
    std::string name = node.text("name");
    const auto same = [&](const Item& item) { return item.name == name; };
    if (std::any_of(before.begin(), before.end(), same)) {
        node.fail("name", fmt::format("is '{}' a second time; expected a name of its own", name));
    }
    return name;
}

Material read_material(const ConfigNode& node, const std::vector<Material>& before) {
    Material material;
    material.name = fresh_name(node, before);
    material.conductivity_w_per_m_k = node.number("conductivity_w_per_m_k", {0.001, 10});
    material.density_kg_per_m3 = node.number("density_kg_per_m3", {1, 3000});
    material.specific_heat_j_per_kg_k = node.number("specific_heat_j_per_kg_k", {100, 5000});
    material.source = node.text("source");
    node.finish();
    return material;
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

WarmerType read_warmer(const ConfigNode& node, const std::vector<WarmerType>& before) {
    WarmerType warmer;
    warmer.name = fresh_name(node, before);
    warmer.label = node.text("label");
    warmer.power = read_power(node);
    warmer.unit_spread = node.number("unit_spread", {0, 1});
    warmer.dud_chance = node.number("dud_chance", {0, 1});
    warmer.mass_kg = node.number("mass_kg", {0.001, 5});
    warmer.specific_heat_j_per_kg_k = node.number("specific_heat_j_per_kg_k", {100, 5000});
    warmer.surface_m2 = node.number("surface_m2", {0.0005, 1});
    warmer.cost_usd = node.number("cost_usd", {0, 1000});
    warmer.source = node.text("source");
    node.finish();
    return warmer;
}

}  // namespace

Materials Materials::read(const ConfigNode& node) {
    Materials materials;
    for (const ConfigNode& item : node.objects("materials")) {
        materials.all_.push_back(read_material(item, materials.all_));
    }
    (void)node.has("warmers");  // known, and read by Warmers
    node.finish();
    return materials;
}

const Material* Materials::find(const std::string& name) const {
    const auto found =
        std::find_if(all_.begin(), all_.end(), [&](const auto& item) { return item.name == name; });
    return found == all_.end() ? nullptr : &*found;
}

std::vector<std::string> Materials::names() const {
    return names_of(all_);
}

Warmers Warmers::read(const ConfigNode& node) {
    Warmers warmers;
    for (const ConfigNode& item : node.objects("warmers")) {
        warmers.all_.push_back(read_warmer(item, warmers.all_));
    }
    (void)node.has("materials");  // known, and read by Materials
    node.finish();
    return warmers;
}

std::optional<std::size_t> Warmers::index_of(const std::string& name) const {
    const auto found =
        std::find_if(all_.begin(), all_.end(), [&](const auto& item) { return item.name == name; });
    if (found == all_.end()) return std::nullopt;
    return static_cast<std::size_t>(found - all_.begin());
}

std::vector<std::string> Warmers::names() const {
    return names_of(all_);
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

}  // namespace mildway::box
