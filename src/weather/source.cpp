#include "mildway/weather/source.hpp"

#include "mildway/base/errors.hpp"

namespace mildway::weather {

std::vector<Reading> ForecastSource::read(std::span<const Place> places) const {
    std::vector<Reading> readings;
    for (const Place& place : places) {
        try {
            readings.push_back({outlook(place), ""});
        } catch (const WeatherError& error) {
            readings.push_back({std::nullopt, error.what()});
        }
    }
    return readings;
}

std::vector<Reading> ForecastSource::climate(std::span<const Place> places, Instant /*from*/,
                                             Instant /*to*/) const {
    return std::vector<Reading>(places.size());
}

Outlook BatchSource::outlook(const Place& place) const {
    std::vector<Reading> readings = read(std::span(&place, 1));
    if (!readings.front().outlook) throw WeatherError(readings.front().reason);
    return std::move(*readings.front().outlook);
}

bool BatchSource::covers(const Place& /*place*/) const {
    return true;
}

}  // namespace mildway::weather
