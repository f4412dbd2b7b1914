// Open-Meteo, opt-in: its free service is for non-commercial use only, and who sells animals needs a key.
#pragma once

#include "mildway/fetch/fetcher.hpp"
#include "mildway/weather/source.hpp"

#include <string>
#include <string_view>
#include <vector>

namespace mildway::weather {

inline constexpr std::string_view kOpenMeteoName = "Open-Meteo";

struct OpenMeteoHosts {
    std::string forecast = "https://api.open-meteo.com";
    std::string ensemble = "https://ensemble-api.open-meteo.com";
    std::string archive = "https://archive-api.open-meteo.com";
    std::string api_key;  ///< empty for the free service
    std::string ensemble_model = "ecmwf_ifs025_ensemble";
};

/// Forecast (one member) or ensemble (control and members) answer for one place, asked for with
/// timezone=GMT and timeformat=unixtime. Snow comes in cm and precipitation-like series are totals of the
/// hour that ends at the label: both are turned to ours. A key may carry a model's name behind it or not. The
/// answer names no time of issue: `issued` is left at `fetched`. Throws WeatherError.
[[nodiscard]] Outlook parse_open_meteo(const std::string& name, const std::string& text, Basis basis,
                                       Instant fetched);

/// Deterministic forecast, up to 16 days. An answer whose temperatures are those of an earlier one for all
/// hours they share was issued when it was first seen: a frozen feed ages.
class OpenMeteoForecast : public BatchSource {
public:
    OpenMeteoForecast(const fetch::Fetcher* fetcher, OpenMeteoHosts hosts);
    [[nodiscard]] std::string name() const override { return std::string(kOpenMeteoName); }
    [[nodiscard]] std::vector<Reading> read(std::span<const Place> places) const override;

private:
    const fetch::Fetcher* fetcher_;
    OpenMeteoHosts hosts_;
};

/// Ensemble members, kept as members, up to 15 days.
class OpenMeteoEnsemble : public BatchSource {
public:
    OpenMeteoEnsemble(const fetch::Fetcher* fetcher, OpenMeteoHosts hosts);
    [[nodiscard]] std::string name() const override { return std::string(kOpenMeteoName) + " ensemble"; }
    [[nodiscard]] std::vector<Reading> read(std::span<const Place> places) const override;

private:
    const fetch::Fetcher* fetcher_;
    OpenMeteoHosts hosts_;
};

/// The same days of past years as members (basis climate), from the archive of past weather.
class OpenMeteoPastYears {
public:
    OpenMeteoPastYears(const fetch::Fetcher* fetcher, OpenMeteoHosts hosts, int years = 10);
    /// One reading for each place, covering [from, to] widened to whole days.
    [[nodiscard]] std::vector<Reading> read(std::span<const Place> places, Instant from, Instant to) const;

private:
    const fetch::Fetcher* fetcher_;
    OpenMeteoHosts hosts_;
    int years_;
};

}  // namespace mildway::weather
