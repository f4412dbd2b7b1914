#include "gridpoint_document.hpp"

#include "mildway/base/json_answer.hpp"

#include "nws_problem.hpp"

#include <algorithm>
#include <stdexcept>

namespace mildway::weather {

namespace {

/// The members of an object that go by these keys, by one walk over it: it may have sixty others.
template <std::size_t N>
std::array<std::optional<JsonValue>, N> members(const JsonValue& object,
                                                const std::array<std::string_view, N>& keys) {
    std::array<std::optional<JsonValue>, N> found;
    object.each_member([&](std::string_view key, const JsonValue& member) {
        const auto at = std::find(keys.begin(), keys.end(), key);
        if (at == keys.end()) return;
        auto& place = found[static_cast<std::size_t>(at - keys.begin())];
        if (place) member.fail("stands twice; which one is meant cannot be told");
        place = member;
    });
    return found;
}

Interval interval_of(const JsonValue& text) {
    try {
        return parse_interval(text.text());
    } catch (const std::invalid_argument& error) {
        text.fail(error.what());
    }
}

Sample sample_of(const JsonValue& object) {
    static constexpr std::array<std::string_view, 2> kKeys{"validTime", "value"};
    const auto found = members(object, kKeys);
    for (std::size_t i = 0; i < kKeys.size(); ++i) {
        if (!found[i]) object.fail("has no \"" + std::string(kKeys[i]) + "\"");
    }
    return {interval_of(*found[0]), found[1]->number_or_nan()};
}

LayerDocument layer_of(const JsonValue& object) {
    static constexpr std::array<std::string_view, 2> kKeys{"uom", "values"};
    LayerDocument layer;
    const auto found = members(object, kKeys);
    if (found[0] && !found[0]->is_null()) layer.unit = found[0]->text();
    if (found[1] && !found[1]->is_null()) {
        layer.samples.reserve(128);  // hourly temperatures of a week come in some 130 runs
        found[1]->each([&](const JsonValue& sample) { layer.samples.push_back(sample_of(sample)); });
    }
    return layer;
}

Gridpoint::Vertex vertex_of(const JsonValue& pair) {
    std::vector<double> degrees;
    pair.each([&](const JsonValue& value) { degrees.push_back(value.number()); });
    if (degrees.size() < 2) pair.fail("expected the longitude and latitude of a polygon's corner");
    return {degrees[0], degrees[1]};
}

/// The outer ring; none for another kind of geometry.
std::vector<Gridpoint::Vertex> outline_of(const JsonValue& geometry) {
    std::vector<Gridpoint::Vertex> outline;
    const auto type = geometry.find_known("type");
    if (!type || type->text() != "Polygon") return outline;
    bool outer = true;
    geometry.at("coordinates").each([&](const JsonValue& ring) {
        if (outer) ring.each([&](const JsonValue& corner) { outline.push_back(vertex_of(corner)); });
        outer = false;
    });
    return outline;
}

std::optional<double> metres_of(const JsonValue& quantity) {
    const auto unit = quantity.find_known("unitCode");
    const auto value = quantity.find_known("value");
    if (!unit || !value || bare_unit(unit->text()) != "m") return std::nullopt;
    return value->number();
}

}  // namespace

std::string_view bare_unit(std::string_view unit) {
    return unit.substr(unit.rfind(':') + 1);
}

GridpointDocument read_gridpoint_document(const std::string& name, const std::string& text) {
    static constexpr auto kKeys = [] {
        std::array<std::string_view, kLayerNames.size() + 2> keys{};
        std::copy(kLayerNames.begin(), kLayerNames.end(), keys.begin());
        keys[kLayerNames.size()] = "updateTime";
        keys[kLayerNames.size() + 1] = "elevation";
        return keys;
    }();
    const JsonAnswer answer(name, text);
    const JsonValue root = answer.root();
    const auto found = members(properties_of(root, "a forecast"), kKeys);
    const auto known = [&](std::size_t i) { return found[i] && !found[i]->is_null(); };

    GridpointDocument document;
    for (std::size_t i = 0; i < kLayerNames.size(); ++i) {
        if (known(i)) document.layers[i] = layer_of(*found[i]);
    }
    if (known(kLayerNames.size())) document.update_time = found[kLayerNames.size()]->text();
    if (known(kLayerNames.size() + 1)) document.elevation_m = metres_of(*found[kLayerNames.size() + 1]);
    if (const auto geometry = root.find_known("geometry")) document.cell = outline_of(*geometry);
    return document;
}

}  // namespace mildway::weather
