// The parts of a gridpoint answer that are used, as they stand in the JSON.
#pragma once

#include "mildway/weather/gridpoint.hpp"

#include <array>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace mildway::weather {

enum class Layer { temperature, sky_cover, wind_speed, wind_gust, snowfall, ice, thunder };
inline constexpr std::array<std::string_view, 7> kLayerNames{
    "temperature",    "skyCover",        "windSpeed",           "windGust",
    "snowfallAmount", "iceAccumulation", "probabilityOfThunder"};

/// One value of a layer; NaN for a JSON null.
struct Sample {
    Interval interval{};
    double value = 0;
};

/// A layer; absent and empty ones have no samples.
struct LayerDocument {
    std::string unit;  ///< "wmoUnit:degC"; empty when the layer names none
    std::vector<Sample> samples;
};

struct GridpointDocument {
    std::string update_time;
    std::array<LayerDocument, kLayerNames.size()> layers;
    LayerDocument fog;  ///< probability, 0 to 1, from the words of the layer "weather"
    std::vector<Gridpoint::Vertex> cell;
    std::optional<double> elevation_m;  ///< empty also when it is in a unit other than metres

    [[nodiscard]] const LayerDocument& layer(Layer which) const {
        return layers[static_cast<std::size_t>(which)];
    }
};

/// Reads the text of an answer. Throws WeatherError naming the file and the JSON pointer of what is wrong.
[[nodiscard]] GridpointDocument read_gridpoint_document(const std::string& name, const std::string& text);

/// "wmoUnit:degC", "unit:degC" and bare "degC" are the same unit: what stands behind the last colon.
[[nodiscard]] std::string_view bare_unit(std::string_view unit);

}  // namespace mildway::weather
