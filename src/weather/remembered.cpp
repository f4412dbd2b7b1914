#include "mildway/weather/remembered.hpp"

#include "mildway/base/errors.hpp"

#include <algorithm>

namespace mildway::weather {

Outlook RememberedSource::outlook(const Place& place) const {
    Reading reading = std::move(read({&place, 1}).front());
    if (!reading.outlook) throw WeatherError(reading.reason);
    return std::move(*reading.outlook);
}

std::vector<Reading> RememberedSource::read(std::span<const Place> places) const {
    return remembered(readings_, places, "",
                      [&](std::span<const Place> unknown) { return source_->read(unknown); });
}

std::vector<Reading> RememberedSource::climate(std::span<const Place> places, Instant from,
                                               Instant to) const {
    return remembered(climates_, places, format_instant(from) + " " + format_instant(to),
                      [&](std::span<const Place> unknown) { return source_->climate(unknown, from, to); });
}

std::vector<Reading> RememberedSource::remembered(
    std::map<Key, Reading>& known, std::span<const Place> places, const std::string& reach,
    const std::function<std::vector<Reading>(std::span<const Place>)>& ask) const {
    const std::lock_guard lock(asking_);
    const auto key_of = [&](const Place& place) {
        // the name is part of what an outlook tells, and of recorded files
        return Key{place.name + " " + format_coordinates(place) + " " + place.zone, reach};
    };
    std::vector<Place> unknown;
    std::vector<Key> keys;
    for (const Place& place : places) {
        const Key key = key_of(place);
        if (known.contains(key) || std::find(keys.begin(), keys.end(), key) != keys.end()) continue;
        unknown.push_back(place);
        keys.push_back(key);
    }
    std::vector<Reading> read = unknown.empty() ? std::vector<Reading>{} : ask(unknown);
    for (std::size_t i = 0; i < read.size(); ++i) known.emplace(keys[i], std::move(read[i]));
    std::vector<Reading> readings;
    for (const Place& place : places) readings.push_back(known.at(key_of(place)));
    return readings;
}

}  // namespace mildway::weather
