// The US Census Bureau's geocoder: street addresses, free for all uses.
#pragma once

#include "mildway/fetch/fetcher.hpp"
#include "mildway/places/finder.hpp"

namespace mildway::places {

/// Throws WeatherError naming the answer.
[[nodiscard]] std::vector<Candidate> parse_census(const std::string& name, const std::string& text);

/// Knows street addresses, not bare towns or ZIP codes: a text without a house number is not asked about.
class CensusFinder : public Finder {
public:
    /// Borrows the fetcher.
    explicit CensusFinder(const fetch::Fetcher* fetcher,
                          std::string base_url = "https://geocoding.geo.census.gov");
    [[nodiscard]] std::string name() const override { return "US Census geocoder"; }
    [[nodiscard]] std::vector<Candidate> find(const std::string& text) const override;

private:
    const fetch::Fetcher* fetcher_;
    std::string base_url_;
};

}  // namespace mildway::places
