// What Open-Meteo last said of each place.
#pragma once

#include "mildway/fetch/disk_cache.hpp"
#include "mildway/weather/outlook.hpp"

#include <optional>
#include <string>
#include <string_view>

namespace mildway::weather {

/// Keeps each place's part of an answer in the cache, under the place: parts of a request for several places
/// are at hand when another mix is asked for and the service does not answer; and an answer that stays the
/// same is noticed. (The service names no time of issue, and its feeds have stood still for days.)
class OpenMeteoMemory {
public:
    /// The last part that came for a place.
    struct Last {
        std::string text;
        Instant fetched;
        Instant first_seen;  ///< since when its temperatures have been the same
    };

    /// Borrows the cache. `product` tells apart what is asked for (a host, a model).
    OpenMeteoMemory(const fetch::DiskCache* cache, std::string product, Basis basis);

    [[nodiscard]] std::optional<Last> last(const Place& place) const;

    /// When the temperatures of an outlook were first seen: earlier than `fetched` when those of the last
    /// part are the same at all hours they share, at least kLeastShared.
    [[nodiscard]] Instant first_seen(const Outlook& outlook, const std::optional<Last>& last,
                                     Instant fetched) const;

    /// Throws SystemError when it cannot be written.
    void keep(const Place& place, const Last& part) const;

    static constexpr std::size_t kLeastShared = 24;

private:
    [[nodiscard]] std::string key(const Place& place) const;

    const fetch::DiskCache* cache_;
    std::string product_;
    Basis basis_;
};

}  // namespace mildway::weather
