#include "mildway/base/text.hpp"
#include "mildway/box/packing.hpp"
#include "mildway/box/wall.hpp"

#include <algorithm>
#include <numbers>

#include <fmt/format.h>

namespace mildway::box {

namespace {

constexpr double kMetresPerMillimetre = 0.001;
constexpr double kLargestOuterSide_m = 1.0;  // beyond this it is furniture, or a slip in the units
constexpr double kThickestToShortest = 2.0;
constexpr double kMostHoles = 0.1;         // of the inner faces: beyond it the wall is no wall (judgement)
constexpr int kFewestVents = 2;            // half of them low, half high
constexpr std::size_t kLongestLabel = 24;  // characters: a column of the ranking

double metres(const ConfigNode& node, std::string_view key, Bounds millimetres) {
    return node.number(key, millimetres) * kMetresPerMillimetre;
}

/// The record of this name in a table of supplies.
template <class Item>
const Item& named(const ConfigNode& node, std::string_view key, const char* kind, const Table<Item>& table) {
    const std::string name = node.text(key);
    const auto index = table.index_of(name);
    if (!index) node.fail(key, unknown_name_message(kind, name, table.names()));
    return table.at(*index);
}

Layer read_layer(const ConfigNode& node, const Materials& materials, Bounds millimetres) {
    Layer layer{named(node, "material", "material", materials), 0};
    if (node.has("thickness_mm") || !layer.material.usual_thickness_m) {
        layer.thickness_m = metres(node, "thickness_mm", millimetres);
    } else {
        layer.thickness_m = *layer.material.usual_thickness_m;
    }
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

Cup read_cup(const ConfigNode& node, const Supplies& supplies, const std::array<double, 3>& inner_m) {
    const Cup& cup = named(node, "cup", "cup", supplies.cups);
    const double floor_m = std::min(inner_m[0], inner_m[1]);
    if (cup.diameter_m > floor_m) {
        node.fail("cup",
                  fmt::format("'{}' is {:g} mm wide; expected at most {:g}, the narrower side of the inside",
                              cup.name, cup.diameter_m * 1000, floor_m * 1000));
    }
    if (cup.height_m > inner_m[2]) {
        node.fail("cup", fmt::format("'{}' is {:g} mm high; expected at most {:g}, the height of the inside",
                                     cup.name, cup.height_m * 1000, inner_m[2] * 1000));
    }
    return cup;
}

std::vector<WarmerUse> read_warmers(const ConfigNode& node, const Warmers& types) {
    if (!node.has("warmers")) return {};
    std::vector<WarmerUse> uses;
    int total = 0;
    for (const ConfigNode& item : node.objects("warmers")) {
        const WarmerType& type = named(item, "type", "warmer", types);
        const WarmerUse use{*types.index_of(type.name), item.whole("count", 1, kMaxWarmers),
                            item.number("opened_before_packing_minutes", {0, 1440}) / 60.0};
        total += use.count;
        if (total > kMaxWarmers)
            item.fail("count",
                      fmt::format("makes {} warmers in the parcel; expected at most {}", total, kMaxWarmers));
        item.finish();
        uses.push_back(use);
    }
    return uses;
}

std::optional<CoolantUse> read_coolant(const ConfigNode& node, const Coolants& types) {
    if (!node.has("coolant")) return std::nullopt;
    const ConfigNode item = node.object("coolant");
    const CoolantUse use{named(item, "type", "coolant", types), item.whole("count", 1, 12),
                         item.number("conditioned_to_c", {-40, 40})};
    item.finish();
    return use;
}

Vents read_vents(const ConfigNode& node) {
    if (!node.has("vents")) return {};
    const ConfigNode item = node.object("vents");
    const Vents vents{item.whole("count", kFewestVents, 200), metres(item, "diameter_mm", {0.5, 50})};
    item.finish();
    return vents;
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
        kThickestToShortest * shortest) {  // beyond it the shape factor can be over 10 % too large
        node.fail("liner/thickness_mm",
                  fmt::format("is {:g}; expected at most {:g}, twice the shortest inner side",
                              packing.liner.thickness_m * 1000, kThickestToShortest * shortest * 1000));
    }
}

/// A flat thing whose surface counts both faces.
double flat_volume_m3(double surface_m2, double thickness_m) {
    return surface_m2 / 2 * thickness_m;
}

double warmers_m3(const Packing& packing, const Warmers& types) {
    double sum_m3 = 0;
    for (const WarmerUse& use : packing.warmers) {
        const WarmerType& type = types.at(use.type);
        sum_m3 += use.count * flat_volume_m3(type.surface_m2, type.thickness_m);
    }
    return sum_m3;
}

double coolants_m3(const Packing& packing) {
    if (!packing.coolant) return 0;
    const CoolantType& type = packing.coolant->type;
    return packing.coolant->count * flat_volume_m3(type.surface_m2, type.thickness_m);
}

/// What fills the inside must go in with one cup at least, and packs must leave room for air.
void check_room(const ConfigNode& node, const Packing& packing, const Warmers& types) {
    const double inside_m3 = packing.inner_volume_m3();
    const double packs_m3 = coolants_m3(packing);
    if (packs_m3 > inside_m3 / 2) {
        node.fail("coolant/count", fmt::format("fills {:.1f} L of the {:.1f} L inside; expected at most half",
                                               1000 * packs_m3, 1000 * inside_m3));
    }
    const double room_m3 = inside_m3 - packing.cup.volume_m3() - warmers_m3(packing, types) - packs_m3;
    const double fill_m3 = packing.fill_kg / packing.fill_material.density_kg_per_m3;
    if (fill_m3 > room_m3) {
        node.fail(
            "fill/kg",
            fmt::format("is {:g}, which takes {:.1f} L; expected at most the {:.1f} L that one cup, "
                        "warmers and coolants leave of {:.1f} L inside",
                        packing.fill_kg, 1000 * fill_m3, std::max(0.0, 1000 * room_m3), 1000 * inside_m3));
    }
}

/// Holes must go into the sides and leave a wall between them.
void check_vents(const ConfigNode& node, const Packing& packing) {
    const Vents& vents = packing.vents;
    const double shortest_m = *std::min_element(packing.inner_m.begin(), packing.inner_m.end());
    if (vents.diameter_m > shortest_m / 2) {
        node.fail("vents/diameter_mm",
                  fmt::format("is {:g}; expected at most {:g}, half the shortest inner side",
                              vents.diameter_m * 1000, shortest_m / 2 * 1000));
    }
    const double holes_m2 = vents.count * std::numbers::pi / 4 * vents.diameter_m * vents.diameter_m;
    const double faces_m2 = face_area_m2(packing.inner_m);
    if (holes_m2 > kMostHoles * faces_m2) {
        node.fail(
            "vents/count",
            fmt::format("makes {:.0f} cm2 of holes; expected at most {:.0f}, a tenth of the inner faces",
                        1e4 * holes_m2, 1e4 * kMostHoles * faces_m2));
    }
}

Packing read_packing(const ConfigNode& node, const Supplies& supplies) {
    Packing packing;
    packing.id = node.text("id");
    packing.label = read_label(node);
    packing.box = node.text_or("box", packing.id);
    packing.inner_m = read_inner(node);
    const ConfigNode liner = node.object("liner");
    packing.liner = read_layer(liner, supplies.materials, {1, 450});
    packing.reflective_liner = liner.flag_or("reflective", false);
    liner.finish();
    const ConfigNode board = node.object("board");
    packing.board = read_layer(board, supplies.materials, {0.2, 30});
    packing.solar_absorptance = board.number_or("solar_absorptance", packing.solar_absorptance, {0, 1});
    board.finish();
    check_liner(node, packing);
    const ConfigNode fill = node.object("fill");
    packing.fill_material = named(fill, "material", "material", supplies.materials);
    packing.fill_kg = fill.number("kg", {0, 50});
    fill.finish();
    packing.cup = read_cup(node, supplies, packing.inner_m);
    packing.warmers = read_warmers(node, supplies.warmers);
    packing.coolant = read_coolant(node, supplies.coolants);
    check_room(node, packing, supplies.warmers);
    if (node.has("air_exchange_l_per_h")) {  // how recipes once told all air in one figure
        node.fail("air_exchange_l_per_h",
                  "is reckoned from \"vents\" and \"seams_l_per_h\" now; expected these in its place");
    }
    packing.vents = read_vents(node);
    check_vents(node, packing);
    packing.seams_l_per_h = node.number("seams_l_per_h", {0, 2000});
    packing.liner_spread = node.number("liner_spread", {0, 0.5});
    packing.air_spread = node.number("air_spread", {1, 5});
    packing.cost_usd = node.number("cost_usd", {0, 10000});
    (void)node.text("source");  // required of the person who writes a packing; nothing computes with it
    node.finish();
    return packing;
}

}  // namespace

Packings Packings::read(const ConfigNode& node, const Supplies& supplies) {
    Packings packings;
    for (const ConfigNode& item : node.objects("packings")) {
        Packing packing = read_packing(item, supplies);
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

const Packing* Packings::by_id(const std::string& id) const {
    const auto found =
        std::find_if(all_.begin(), all_.end(), [&](const Packing& item) { return item.id == id; });
    return found == all_.end() ? nullptr : &*found;
}

const Packing& Packings::find(const std::string& id) const {
    if (const Packing* found = by_id(id)) return *found;
    std::vector<std::string> ids;
    for (const Packing& packing : all_) ids.push_back(packing.id);
    throw UsageError(unknown_name_message("packing", id, ids));
}

}  // namespace mildway::box
