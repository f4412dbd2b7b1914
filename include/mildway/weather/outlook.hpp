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

/// Hourly weather at one place, values at `first_hour + i` hours. NaN means unknown, never "none".
///
/// All series have `hour_count()` values. Quantities that are totals (snow, ice) are given as the mean rate
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
    std::vector<double> snow_mm_per_h;        ///< depth of new snow
    std::vector<double> ice_mm_per_h;         ///< accretion of glaze
    std::vector<double> thunder_probability;  ///< 0 to 1
    std::vector<std::string> findings;        ///< doubts about the series, as plain sentences

    [[nodiscard]] std::size_t hour_count() const { return temp_c.empty() ? 0 : temp_c.front().size(); }
    [[nodiscard]] Instant end() const { return first_hour + hours(static_cast<int>(hour_count())); }

    /// The first hour in [from, to] at which the temperature is unknown in some member, if there is one.
    /// Hours before the first and after the last value count as unknown. The value at an instant between two
    /// hours needs both, so `to` reaches up to the next whole hour.
    [[nodiscard]] std::optional<Instant> first_unknown(Instant from, Instant to) const;

    /// Linear between the hours, member 0. NaN outside or beside an unknown hour.
    [[nodiscard]] double temp_at(Instant when) const;
};

}  // namespace mildway::weather
