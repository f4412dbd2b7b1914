// All the live sources of a workspace as one.
#pragma once

#include "mildway/fetch/fetcher.hpp"
#include "mildway/weather/climate_normals.hpp"
#include "mildway/weather/setup.hpp"
#include "mildway/weather/source.hpp"

#include <memory>
#include <vector>

namespace mildway::weather {

/// Asks the sources of the setup that cover a place, all at the same time or one after the other until one
/// has a usable answer (`ask_all`), judges each outlook and pools what can be used. A source that gives
/// nothing while another does is a finding; when none does the reading holds every reason.
class LiveSource : public BatchSource {
public:
    /// Borrows the fetcher. `now` is what ages are counted from.
    LiveSource(const fetch::Fetcher* fetcher, const WeatherSetup& setup, std::vector<ClimateStation> stations,
               Instant now);
    /// The same with sources of one's own; `climate` readings are those of `setup.beyond`.
    LiveSource(std::vector<std::unique_ptr<BatchSource>> sources, const fetch::Fetcher* fetcher,
               const WeatherSetup& setup, std::vector<ClimateStation> stations, Instant now);

    [[nodiscard]] std::string name() const override;
    [[nodiscard]] std::vector<Reading> read(std::span<const Place> places) const override;
    [[nodiscard]] std::vector<Reading> climate(std::span<const Place> places, Instant from,
                                               Instant to) const override;

private:
    /// What one source says about all places; empty readings (no outlook, no reason) where it was not asked.
    [[nodiscard]] std::vector<Reading> ask(const BatchSource& source, std::span<const Place> places,
                                           const std::vector<bool>& wanted) const;
    [[nodiscard]] Reading combine(const Place& place, std::vector<Reading> said) const;

    WeatherSetup setup_;
    Instant now_;
    std::vector<std::unique_ptr<BatchSource>> sources_;
    ClimateNormals normals_;
    OpenMeteoPastYears past_years_;
};

}  // namespace mildway::weather
