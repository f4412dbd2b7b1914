// Places by what a person typed: towns, ZIP codes, street addresses.
#pragma once

#include "mildway/base/place.hpp"

#include <string>
#include <vector>

namespace mildway::places {

/// A place that may be meant. `place.zone` is empty where the finder does not know the clock there.
struct Candidate {
    Place place;         ///< named in full, as the finder does: "Portland, Oregon, United States"
    std::string source;  ///< who says so
};

class Finder {
public:
    Finder() = default;
    Finder(const Finder&) = delete;
    Finder& operator=(const Finder&) = delete;
    Finder(Finder&&) = delete;
    Finder& operator=(Finder&&) = delete;
    virtual ~Finder() = default;

    [[nodiscard]] virtual std::string name() const = 0;

    /// All that may be meant, the likeliest first; none when there is nothing. Throws WeatherError when the
    /// finder cannot be asked.
    [[nodiscard]] virtual std::vector<Candidate> find(const std::string& text) const = 0;
};

}  // namespace mildway::places
