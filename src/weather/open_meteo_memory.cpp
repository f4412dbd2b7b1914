#include "open_meteo_memory.hpp"

#include "mildway/base/errors.hpp"
#include "mildway/weather/open_meteo.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

namespace mildway::weather {

namespace {

/// Equal to the last decimal wherever both are known. Two runs of a model never are over a day.
bool same_temperatures(const Outlook& a, const Outlook& b) {
    if (a.temp_c.size() != b.temp_c.size()) return false;
    std::size_t shared = 0;
    const Instant end = std::min(a.end(), b.end());
    for (Instant hour = std::max(a.first_hour, b.first_hour); hour < end; hour += hours(1)) {
        for (std::size_t m = 0; m < a.temp_c.size(); ++m) {
            const double one_c = a.at(a.temp_c[m], hour);
            const double other_c = b.at(b.temp_c[m], hour);
            if (std::isnan(one_c) || std::isnan(other_c)) continue;
            if (one_c != other_c) return false;
            if (m == 0) ++shared;
        }
    }
    return shared >= OpenMeteoMemory::kLeastShared;
}

}  // namespace

OpenMeteoMemory::OpenMeteoMemory(const fetch::DiskCache* cache, std::string product, Basis basis)
    : cache_(cache), product_(std::move(product)), basis_(basis) {}

std::string OpenMeteoMemory::key(const Place& place) const {
    return fmt::format("last part: {} {}", product_, format_coordinates(place));
}

std::optional<OpenMeteoMemory::Last> OpenMeteoMemory::last(const Place& place) const {
    const auto entry = cache_->find(key(place));
    if (!entry) return std::nullopt;
    // the entry has no better place for it, and that is what it means
    const auto first_seen = parse_instant(entry->last_modified);
    if (!first_seen) return std::nullopt;
    return Last{entry->body, entry->fetched, *first_seen};
}

Instant OpenMeteoMemory::first_seen(const Outlook& outlook, const std::optional<Last>& last,
                                    Instant fetched) const {
    if (!last) return fetched;
    try {
        const Outlook before = parse_open_meteo(product_, last->text, basis_, last->fetched);
        if (same_temperatures(before, outlook)) return std::min(last->first_seen, fetched);
    } catch (const WeatherError&) {  // kept by another version of the program
    }
    return fetched;
}

void OpenMeteoMemory::keep(const Place& place, const Last& part) const {
    cache_->keep(key(place), {part.text, part.fetched, part.fetched, "", format_instant(part.first_seen)});
}

}  // namespace mildway::weather
