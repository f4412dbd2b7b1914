// Small pieces of JSON that several documents have.
#pragma once

#include "mildway/planning/stage.hpp"

#include <optional>
#include <string>

#include <nlohmann/json.hpp>

namespace mildway::reports {

template <class Value>
[[nodiscard]] nlohmann::ordered_json or_null(const std::optional<Value>& value) {
    return value ? nlohmann::ordered_json(*value) : nlohmann::ordered_json(nullptr);
}

/// null for an empty text.
[[nodiscard]] inline nlohmann::ordered_json text_or_null(const std::string& text) {
    return text.empty() ? nlohmann::ordered_json(nullptr) : nlohmann::ordered_json(text);
}

/// In brief, for documents about many places.
[[nodiscard]] inline nlohmann::ordered_json weather_in_brief(const planning::PlaceWeather& there) {
    return {{"place", there.place},
            {"source", there.source},
            {"issued", format_instant(there.issued)},
            {"known_until", format_instant(there.known_until)},
            {"usable", there.doubt.empty()},
            {"doubt", text_or_null(there.doubt)},
            {"attributions", there.attributions}};
}

}  // namespace mildway::reports
