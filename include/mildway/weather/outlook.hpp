// What the weather may be at one place.
#pragma once

#include "mildway/base/place.hpp"
#include "mildway/base/time.hpp"

#include <optional>
#include <string>
#include <vector>

namespace mildway::weather {

/// What an outlook rests on.
enum class Basis { forecast, ensemble, climate, observed };

[[nodiscard]] std::string_view basis_name(Basis basis);

/// A warning that a weather service has out for a place.
struct Alert {
    std::string event;       ///< "Winter Storm Warning"
    std::string phenomenon;  ///< two letters of the VTEC code, "WS"; empty when it carries none
    std::string severity;    ///< CAP: Extreme, Severe, Moderate, Minor, Unknown
    Instant begins;
    std::optional<Instant> ends;  ///< empty: until further notice
    std::string headline;
};

/// One source's part in a pooled outlook.
struct Voice {
    std::string source;
    std::string origin;
    Basis basis = Basis::forecast;
    Instant issued;
    std::optional<Instant> fetched;
    Instant known_until;      ///< the last hour with a temperature
    double weight = 1;        ///< share in the pooled mean
    double apart_k = 0;       ///< mean of its distance from the pooled mean, K
    double most_apart_k = 0;  ///< the largest, K
};

/// Hourly weather at one place, values at `first_hour + i` hours. NaN means unknown, never "none".
///
/// All series have `hour_count()` values; one that a source does not have at all may be empty, which means
/// unknown throughout. Quantities that are totals (snow, ice) are given as the mean rate
/// over the hour that starts at the label.
struct Outlook {
    std::string source;  ///< who says so, e.g. "US National Weather Service"
    std::string origin;  ///< the file or address it was read from
    Basis basis = Basis::forecast;
    Instant issued;      ///< when the source last made this forecast, not when it was fetched
    Instant first_hour;  ///< on a whole UTC hour
    std::vector<std::vector<double>> temp_c;  ///< [member][hour], at least one member; air at 2 m
    std::vector<double> cloud_fraction;       ///< 0 to 1
    std::vector<double> wind_m_per_s;
    std::vector<double> gust_m_per_s;
    std::vector<double> snow_mm_per_h;        ///< depth of new snow
    std::vector<double> ice_mm_per_h;         ///< accretion of glaze
    std::vector<double> thunder_probability;  ///< 0 to 1
    std::vector<double> fog_probability;      ///< 0 to 1
    std::vector<std::string> findings;        ///< doubts about the series, as plain sentences

    std::string doubt;               ///< why it must not be used at all, as a clause; empty when it may
    std::optional<Instant> fetched;  ///< when the service last sent or confirmed it; empty for a file
    double error_factor = 1;         ///< its error in units of what docs/model.md says for blended forecasts
    std::vector<double> error_factors;  ///< the same by hour, of a pool whose sources end at different times.
                                        ///< Empty: error_factor throughout
    std::vector<double> extra_error_k;  ///< sd of a further error at each hour: sources that disagree, values
                                        ///< read between coarse steps. Empty: none
    std::optional<Instant> climate_from;  ///< from this hour on it is the climate's, not a forecast
    std::vector<Alert> alerts;
    bool alerts_known = false;                ///< whether a service was asked for alerts and answered
    std::optional<double> cell_latitude_deg;  ///< centre of the grid cell, where the source tells it
    std::optional<double> cell_longitude_deg;
    std::optional<double> cell_elevation_m;
    bool at_sea = false;                    ///< the source says the point lies in water
    std::vector<std::string> attributions;  ///< lines that its licence asks for
    std::vector<Voice> voices;              ///< of a pooled outlook; empty for that of one source

    [[nodiscard]] std::size_t hour_count() const { return temp_c.empty() ? 0 : temp_c.front().size(); }
    [[nodiscard]] Instant end() const { return first_hour + hours(static_cast<int>(hour_count())); }

    /// The first hour in [from, to] at which the temperature is unknown in some member, if there is one.
    /// Hours before the first and after the last value count as unknown. The value at an instant between two
    /// hours needs both, so `to` reaches up to the next whole hour.
    [[nodiscard]] std::optional<Instant> first_unknown(Instant from, Instant to) const;

    /// Mean over the members; NaN where one is unknown or there is no such hour.
    [[nodiscard]] double mean_c(std::size_t hour) const;

    /// The last hour at which every member has a temperature; first_hour when there is none.
    [[nodiscard]] Instant last_known() const;

    /// The value of a series at an hour, NaN outside it. For the series that may be empty.
    [[nodiscard]] double at(const std::vector<double>& series, Instant hour) const;

    /// Linear between the hours, member 0. NaN outside or beside an unknown hour.
    [[nodiscard]] double temp_at(Instant when) const;
};

}  // namespace mildway::weather
