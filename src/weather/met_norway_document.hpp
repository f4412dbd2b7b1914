// The answer of MET Norway's locationforecast, as far as it is read.
#pragma once

#include "service_values.hpp"

#include <optional>
#include <vector>

namespace mildway::weather {

/// What a symbol says is falling.
enum class Falling { unnamed, nothing, rain, sleet, snow };

/// What a step says of the one or six hours that follow it. NaN where it says nothing.
struct MetNorwayAhead {
    double lowest_c = kNotKnown;
    double highest_c = kNotKnown;
    double water_mm = kNotKnown;  ///< total
    double thunder_probability = kNotKnown;
    Falling falling = Falling::unnamed;
};

/// One step of the series, in our units.
struct MetNorwayStep {
    Instant time;
    double temp_c = kNotKnown;
    double cloud_fraction = kNotKnown;
    double wind_m_per_s = kNotKnown;
    double gust_m_per_s = kNotKnown;
    double fog_fraction = kNotKnown;  ///< of the area
    std::optional<MetNorwayAhead> hour;
    std::optional<MetNorwayAhead> six_hours;
};

struct MetNorwayDocument {
    Instant updated;
    std::optional<double> latitude_deg;
    std::optional<double> longitude_deg;
    std::optional<double> elevation_m;
    std::vector<MetNorwayStep> steps;  ///< at least one; times ascend on whole hours, over at most 16 days
};

/// Throws WeatherError for what is no forecast, names a unit that is not known, or has steps out of order.
[[nodiscard]] MetNorwayDocument read_met_norway_document(const JsonAnswer& answer);

}  // namespace mildway::weather
