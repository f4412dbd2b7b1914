// A packings file of one recipe, to be read or spoilt.
#pragma once

#include "mildway/box/packing.hpp"

#include "box_fixtures.hpp"

#include <stdexcept>
#include <string>

namespace mildway::testing {

/// One field to a line; `from` is replaced by `to` to spoil it.
[[nodiscard]] inline std::string recipe(const std::string& from = "", const std::string& to = "") {
    std::string text = R"({"packings": [{
"id": "small-38",
"label": "38 mm foam + 1 warmer",
"inner_mm": [250, 200, 150],
"liner": {"material": "eps-20", "thickness_mm": 38},
"board": {"material": "corrugated-c"},
"fill": {"material": "crumpled-paper", "kg": 0.12},
"cup": "deli-500",
"warmers": [{"type": "slow-40h", "count": 1, "opened_before_packing_minutes": 45}],
"coolant": {"type": "gel-250", "count": 1, "conditioned_to_c": -10},
"vents": {"count": 4, "diameter_mm": 8},
"seams_l_per_h": 3, "liner_spread": 0.1,
"air_spread": 1.5, "cost_usd": 7, "source": "test"}]})";
    if (from.empty()) return text;
    const auto at = text.find(from);
    if (at == std::string::npos) throw std::logic_error("recipe: there is no " + from);
    return text.replace(at, from.size(), to);
}

[[nodiscard]] inline box::Packings read_recipes(const std::string& text) {
    const ShippedBoxes boxes;
    return box::Packings::read(ConfigNode::parse("packings.json", text), boxes.supplies);
}

}  // namespace mildway::testing
