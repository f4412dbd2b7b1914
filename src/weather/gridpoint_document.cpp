#include "gridpoint_document.hpp"

#include "mildway/base/json_answer.hpp"

#include "nws_problem.hpp"
#include "service_values.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <stdexcept>
#include <utility>

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

/// Reads one entry of a layer; what its value is depends on the layer.
template <class ReadValue>
Sample sample_of(const JsonValue& object, ReadValue read_value) {
    static constexpr std::array<std::string_view, 2> kKeys{"validTime", "value"};
    const auto found = members(object, kKeys);
    for (std::size_t i = 0; i < kKeys.size(); ++i) {
        if (!found[i]) object.fail("has no \"" + std::string(kKeys[i]) + "\"");
    }
    return {interval_of(*found[0]), read_value(*found[1])};
}

template <class ReadValue>
LayerDocument layer_of(const JsonValue& object, ReadValue read_value) {
    static constexpr std::array<std::string_view, 2> kKeys{"uom", "values"};
    LayerDocument layer;
    const auto found = members(object, kKeys);
    if (found[0] && !found[0]->is_null()) layer.unit = found[0]->text();
    if (found[1] && !found[1]->is_null()) {
        layer.samples.reserve(128);  // hourly temperatures of a week come in some 130 runs
        found[1]->each(
            [&](const JsonValue& sample) { layer.samples.push_back(sample_of(sample, read_value)); });
    }
    return layer;
}

/// How likely what a word of coverage goes with is at a point. The words of probability and of areal coverage
/// stand for percentages (NWS Instruction 10-503, from memory: slight chance and isolated about 20, chance
/// and scattered 30 to 50, likely and numerous 60 to 70, above that definite and widespread); patchy, areas
/// and the words of time are judgement.
double share_of_coverage(std::string_view word) {
    static constexpr std::array<std::pair<std::string_view, double>, 16> kShares{{{"slight_chance", 0.2},
                                                                                  {"isolated", 0.2},
                                                                                  {"few", 0.2},
                                                                                  {"patchy", 0.25},
                                                                                  {"brief", 0.3},
                                                                                  {"chance", 0.4},
                                                                                  {"scattered", 0.4},
                                                                                  {"areas", 0.5},
                                                                                  {"occasional", 0.5},
                                                                                  {"intermittent", 0.5},
                                                                                  {"periods", 0.6},
                                                                                  {"likely", 0.65},
                                                                                  {"numerous", 0.65},
                                                                                  {"frequent", 0.7},
                                                                                  {"definite", 0.9},
                                                                                  {"widespread", 0.9}}};
    const auto known =
        std::find_if(kShares.begin(), kShares.end(), [&](const auto& entry) { return entry.first == word; });
    return known == kShares.end() ? kFogWhenNamed : known->second;
}

/// The value of an entry of the layer "weather" is a list of what there is, each with a coverage; one entry
/// of nulls says that there is nothing. Light fog hinders nobody, but an intensity is seldom given: all fog
/// counts.
double fog_of(const JsonValue& list) {
    double probability = kNotKnown;  // an empty list does not say that there is none
    if (list.is_null()) return probability;
    list.each([&](const JsonValue& weather) {
        const auto what = weather.find_known("weather");
        const auto coverage = weather.find_known("coverage");
        const bool fog = what && (what->text() == "fog" || what->text() == "freezing_fog");
        const double here = !fog ? 0 : coverage ? share_of_coverage(coverage->text()) : kFogWhenNamed;
        probability = std::isnan(probability) ? here : std::max(probability, here);
    });
    return probability;
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
        std::array<std::string_view, kLayerNames.size() + 3> keys{};
        std::copy(kLayerNames.begin(), kLayerNames.end(), keys.begin());
        keys[kLayerNames.size()] = "updateTime";
        keys[kLayerNames.size() + 1] = "elevation";
        keys[kLayerNames.size() + 2] = "weather";
        return keys;
    }();
    const JsonAnswer answer(name, text);
    const JsonValue root = answer.root();
    const auto found = members(properties_of(root, "a forecast"), kKeys);
    const auto known = [&](std::size_t i) { return found[i] && !found[i]->is_null(); };

    GridpointDocument document;
    for (std::size_t i = 0; i < kLayerNames.size(); ++i) {
        if (known(i))
            document.layers[i] =
                layer_of(*found[i], [](const JsonValue& value) { return value.number_or_nan(); });
    }
    if (known(kLayerNames.size())) document.update_time = found[kLayerNames.size()]->text();
    if (known(kLayerNames.size() + 1)) document.elevation_m = metres_of(*found[kLayerNames.size() + 1]);
    if (known(kLayerNames.size() + 2)) document.fog = layer_of(*found[kLayerNames.size() + 2], fog_of);
    if (const auto geometry = root.find_known("geometry")) document.cell = outline_of(*geometry);
    return document;
}

}  // namespace mildway::weather
