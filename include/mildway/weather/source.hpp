// Where outlooks come from. One file for each kind of source.
#pragma once

#include "mildway/weather/outlook.hpp"

#include <string>

namespace mildway::weather {

/// A service or folder that can be asked about a place.
class ForecastSource {
public:
    ForecastSource() = default;
    ForecastSource(const ForecastSource&) = delete;
    ForecastSource& operator=(const ForecastSource&) = delete;
    ForecastSource(ForecastSource&&) = delete;
    ForecastSource& operator=(ForecastSource&&) = delete;
    virtual ~ForecastSource() = default;

    /// As shown to a person.
    [[nodiscard]] virtual std::string name() const = 0;

    /// The outlook at a place. Throws WeatherError when there is none or what there is cannot be trusted to
    /// be what it says (broken file, unknown unit, impossible values): the message names the file and the
    /// reason.
    [[nodiscard]] virtual Outlook outlook(const Place& place) const = 0;
};

}  // namespace mildway::weather
