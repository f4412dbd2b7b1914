// Hourly climate normals of US stations (NOAA NCEI, public domain): what a time of the year is like.
#pragma once

#include "mildway/base/config_reader.hpp"
#include "mildway/fetch/fetcher.hpp"
#include "mildway/weather/source.hpp"

#include <string>
#include <string_view>
#include <vector>

namespace mildway::weather {

inline constexpr std::string_view kNormalsName = "NOAA climate normals";

/// A station that has hourly normals.
struct ClimateStation {
    std::string id;  ///< "USW00023044"
    std::string name;
    double latitude_deg = 0;
    double longitude_deg = 0;
};

/// climate_stations.json of a workspace. Throws InputError.
[[nodiscard]] std::vector<ClimateStation> read_climate_stations(const ConfigNode& node);

/// The normals of a year, hour by hour of local standard time: 365 x 24, no 29 February (which takes those of
/// the 28th).
struct HourlyNormals {
    std::string station;
    double latitude_deg = 0;
    double longitude_deg = 0;
    double elevation_m = 0;
    std::vector<double> normal_c;  ///< [hour of the year]; NaN where the file has none
    std::vector<double> low_c;     ///< 10 % of years are colder
    std::vector<double> high_c;    ///< 10 % are warmer
};

/// The station file, of 1981-2010 (tenths of degF) or 1991-2020 (degF); which one is told by its columns.
/// Throws WeatherError naming file, line and column.
[[nodiscard]] HourlyNormals parse_hourly_normals(const std::string& name, const std::string& text);

/// Climate outlooks from normals: one member, basis climate.
class ClimateNormals {
public:
    /// Borrows the fetcher.
    ClimateNormals(const fetch::Fetcher* fetcher, std::vector<ClimateStation> stations,
                   std::string base_url = "https://www.ncei.noaa.gov");

    /// For each place that of the nearest station within kFarthestKm, lapse-corrected when both heights are
    /// known, covering [from, to] widened to whole hours. A station whose file says it lies elsewhere than
    /// the list does is refused.
    [[nodiscard]] std::vector<Reading> read(std::span<const Place> places, Instant from, Instant to) const;

    static constexpr double kFarthestKm = 120;

private:
    const fetch::Fetcher* fetcher_;
    std::vector<ClimateStation> stations_;
    std::string base_url_;
};

}  // namespace mildway::weather
