#include "mildway/box/packing.hpp"

#include <algorithm>

#include <fmt/format.h>

namespace mildway::box {

namespace {

constexpr double kMetresPerMillimetre = 0.001;
constexpr double kLargestOuterSide_m = 1.0;  // beyond this it is furniture, or a slip in the units
constexpr double kThickestToShortest = 5.0;
constexpr std::size_t kLongestLabel = 24;  // characters: a column of the ranking

double metres(const ConfigNode& node, std::string_view key, Bounds millimetres) {
    return node.number(key, millimetres) * kMetresPerMillimetre;
}

/// Characters of UTF-8 text as a person counts them: bytes that do not continue another.
std::size_t characters(const std::string& text) {
    return static_cast<std::size_t>(std::count_if(
        text.begin(), text.end(), [](char c) { return (static_cast<unsigned char>(c) & 0xC0u) != 0x80u; }));
}

Material material_of(const ConfigNode& node, const Materials& materials) {
    const std::string name = node.text("material");
    const Material* material = materials.find(name);
    if (material == nullptr) node.fail("material", unknown_name_message("material", name, materials.names()));
    return *material;
}

Layer read_layer(const ConfigNode& node, const Materials& materials, Bounds millimetres) {
    Layer layer{material_of(node, materials), metres(node, "thickness_mm", millimetres)};
    node.finish();
    return layer;
}

std::array<double, 3> read_inner(const ConfigNode& node) {
    const std::vector<double> sides_mm = node.numbers("inner_mm");
    if (sides_mm.size() != 3) node.fail("inner_mm", "expected three numbers: [length, width, height]");
    std::array<double, 3> inner_m{};
    for (std::size_t i = 0; i < 3; ++i) {
        if (!(sides_mm[i] >= 20 && sides_mm[i] <= 1000)) {
            node.fail(fmt::format("inner_mm/{}", i),
                      fmt::format("is {:g}; expected 20 to 1000", sides_mm[i]));
        }
        inner_m[i] = sides_mm[i] * kMetresPerMillimetre;
    }
    return inner_m;
}

Cup read_cup(const ConfigNode& node, const std::array<double, 3>& inner_m) {
    Cup cup;
    cup.diameter_m = metres(node, "diameter_mm", {10, 1000});
    cup.height_m = metres(node, "height_mm", {10, 1000});
    cup.mass_kg = node.number("kg", {0.001, 5});
    cup.specific_heat_j_per_kg_k = node.number("specific_heat_j_per_kg_k", {100, 5000});
    const double floor_m = std::min(inner_m[0], inner_m[1]);
    if (cup.diameter_m > floor_m) {
        node.fail("diameter_mm",
                  fmt::format("is {:g}; expected at most {:g}, the narrower side of the inside",
                              cup.diameter_m * 1000, floor_m * 1000));
    }
    if (cup.height_m > inner_m[2]) {
        node.fail("height_mm", fmt::format("is {:g}; expected at most {:g}, the height of the inside",
                                           cup.height_m * 1000, inner_m[2] * 1000));
    }
    node.finish();
    return cup;
}

WarmerUse read_warmer_use(const ConfigNode& node, const Warmers& warmers) {
    const std::string name = node.text("type");
    const auto type = warmers.index_of(name);
    if (!type) node.fail("type", unknown_name_message("warmer", name, warmers.names()));
    const WarmerUse use{*type, node.whole("count", 1, kMaxWarmers),
                        node.number("opened_before_packing_minutes", {0, 1440}) / 60.0};
    node.finish();
    return use;
}

std::string read_label(const ConfigNode& node) {
    std::string label = node.text("label");
    if (characters(label) > kLongestLabel) {
        node.fail("label",
                  fmt::format("has {} characters; expected at most {}", characters(label), kLongestLabel));
    }
    return label;
}

void check_liner(const ConfigNode& node, const Packing& packing) {
    const auto outer = packing.outer_m();
    const double longest = *std::max_element(outer.begin(), outer.end());
    if (longest > kLargestOuterSide_m) {
        node.fail("liner/thickness_mm",
                  fmt::format("makes the parcel {:.0f} mm long outside; expected at most {:.0f}",
                              longest * 1000, kLargestOuterSide_m * 1000));
    }
    const double shortest = *std::min_element(packing.inner_m.begin(), packing.inner_m.end());
    if (packing.liner.thickness_m >
        kThickestToShortest * shortest) {  // where the shape factor stops being valid
        node.fail("liner/thickness_mm",
                  fmt::format("is {:g}; expected at most {:g}, five times the shortest inner side",
                              packing.liner.thickness_m * 1000, kThickestToShortest * shortest * 1000));
    }
}

Packing read_packing(const ConfigNode& node, const Materials& materials, const Warmers& warmers) {
    Packing packing;
    packing.id = node.text("id");
    packing.label = read_label(node);
    packing.inner_m = read_inner(node);
    packing.liner = read_layer(node.object("liner"), materials, {1, 450});
    packing.board = read_layer(node.object("board"), materials, {0.2, 30});
    check_liner(node, packing);
    const ConfigNode fill = node.object("fill");
    packing.fill_material = material_of(fill, materials);
    packing.fill_kg = fill.number("kg", {0, 50});
    fill.finish();
    packing.cup = read_cup(node.object("cup"), packing.inner_m);
    if (node.has("warmer")) packing.warmer = read_warmer_use(node.object("warmer"), warmers);
    packing.air_exchange_l_per_h = node.number("air_exchange_l_per_h", {0, 2000});
    packing.liner_spread = node.number("liner_spread", {0, 0.5});
    packing.cost_usd = node.number("cost_usd", {0, 10000});
    (void)node.text("source");  // required of the person who writes a packing; nothing computes with it
    node.finish();
    return packing;
}

}  // namespace

Packings Packings::read(const ConfigNode& node, const Materials& materials, const Warmers& warmers) {
    Packings packings;
    for (const ConfigNode& item : node.objects("packings")) {
        Packing packing = read_packing(item, materials, warmers);
        const auto same = [&](const Packing& other) { return other.id == packing.id; };
        if (std::any_of(packings.all_.begin(), packings.all_.end(), same)) {
            item.fail("id", fmt::format("is '{}' a second time; expected an id of its own", packing.id));
        }
        packings.all_.push_back(std::move(packing));
    }
    if (packings.all_.empty()) node.fail("packings", "is empty; expected at least one packing");
    node.finish();
    return packings;
}

const Packing& Packings::find(const std::string& id) const {
    const auto found =
        std::find_if(all_.begin(), all_.end(), [&](const Packing& item) { return item.id == id; });
    if (found != all_.end()) return *found;
    std::vector<std::string> ids;
    for (const Packing& packing : all_) ids.push_back(packing.id);
    throw UsageError(unknown_name_message("packing", id, ids));
}

}  // namespace mildway::box
