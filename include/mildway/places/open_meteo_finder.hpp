// Open-Meteo's geocoder (GeoNames), opt-in like all of that service.
#pragma once

#include "mildway/fetch/fetcher.hpp"
#include "mildway/places/finder.hpp"

namespace mildway::places {

/// Throws WeatherError naming the answer.
[[nodiscard]] std::vector<Candidate> parse_open_meteo_places(const std::string& name,
                                                             const std::string& text);

/// Towns and ZIP codes. "Duluth MN" and "Duluth, MN" are asked as the town and the region's full name is
/// matched; only results with that very name (or that postal code) count.
class OpenMeteoFinder : public Finder {
public:
    /// Borrows the fetcher.
    OpenMeteoFinder(const fetch::Fetcher* fetcher, std::string api_key,
                    std::string base_url = "https://geocoding-api.open-meteo.com");
    [[nodiscard]] std::string name() const override { return "Open-Meteo geocoding (GeoNames)"; }
    [[nodiscard]] std::vector<Candidate> find(const std::string& text) const override;

private:
    const fetch::Fetcher* fetcher_;
    std::string api_key_;
    std::string base_url_;
};

}  // namespace mildway::places
