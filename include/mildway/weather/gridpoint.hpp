// US National Weather Service gridpoint data (GeoJSON of /gridpoints/{office}/{x},{y}).
#pragma once

#include "mildway/base/place.hpp"
#include "mildway/weather/outlook.hpp"

#include <string>
#include <string_view>
#include <vector>

namespace mildway::weather {

/// Half-open span of time, "2027-03-01T06:00:00+00:00/PT3H".
struct Interval {
    Instant start;
    seconds length;
};

/// ISO 8601 duration of weeks, days, hours, minutes, seconds ("P1DT6H", "PT90M", "P2W"). Years and months are
/// refused, their length not being fixed. Throws std::invalid_argument with the reason.
[[nodiscard]] seconds parse_duration(std::string_view text);

/// ISO 8601 interval, start/duration or start/end. Throws std::invalid_argument with the reason.
[[nodiscard]] Interval parse_interval(std::string_view text);

/// One answer: the outlook and the outline of the grid cell it is for.
struct Gridpoint {
    struct Vertex {
        double longitude_deg;
        double latitude_deg;
    };
    Outlook outlook;
    std::vector<Vertex> cell;  ///< outer ring of the polygon; empty when the answer carries none

    [[nodiscard]] bool contains(const Place& place) const;
};

/// Parses one answer. `name` is the file or address, for messages. Layers read: temperature (needed),
/// skyCover, windSpeed, snowfallAmount, iceAccumulation, probabilityOfThunder (unknown when absent, empty,
/// null). Throws WeatherError naming file, layer and what was expected: not JSON, cut short, no temperature
/// layer, a unit it does not know, an unreadable interval, overlapping hours, a value outside what air can be
/// (-70 to 60 degC), a jump above 20 K in an hour, or a series that reads like degF labelled degC.
[[nodiscard]] Gridpoint parse_gridpoint(const std::string& name, const std::string& text);

}  // namespace mildway::weather
