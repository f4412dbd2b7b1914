#include "mildway/weather/sun.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace mildway::weather {

namespace {

constexpr double kRadians = std::numbers::pi / 180.0;

}  // namespace

// NOAA Global Monitoring Laboratory, "General Solar Position Calculations": fractional year, equation of time
// and declination as series by Spencer (1971), then the hour angle of the place.
double sun_elevation_sine(const Place& place, Instant when) {
    const auto day = date::floor<date::days>(when);
    const Date civil{day};
    const double day_of_year = static_cast<double>((day - date::sys_days(civil.year() / 1 / 1)).count());
    const double days_in_year = civil.year().is_leap() ? 366.0 : 365.0;
    const double utc_hour = in_hours(when - day);
    const double g = 2 * std::numbers::pi / days_in_year * (day_of_year + (utc_hour - 12) / 24);

    const double equation_of_time_minutes =
        229.18 * (0.000075 + 0.001868 * std::cos(g) - 0.032077 * std::sin(g) - 0.014615 * std::cos(2 * g) -
                  0.040849 * std::sin(2 * g));
    const double declination = 0.006918 - 0.399912 * std::cos(g) + 0.070257 * std::sin(g) -
                               0.006758 * std::cos(2 * g) + 0.000907 * std::sin(2 * g) -
                               0.002697 * std::cos(3 * g) + 0.00148 * std::sin(3 * g);

    const double solar_minutes = utc_hour * 60 + equation_of_time_minutes + 4 * place.longitude_deg;
    const double hour_angle = (solar_minutes / 4 - 180) * kRadians;
    const double latitude = place.latitude_deg * kRadians;
    return std::sin(latitude) * std::sin(declination) +
           std::cos(latitude) * std::cos(declination) * std::cos(hour_angle);
}

double sun_share(const Place& place, Instant when, double cloud_fraction) {
    const double clear = std::max(0.0, sun_elevation_sine(place, when));
    if (std::isnan(cloud_fraction)) return clear;
    return clear * (1 - 0.75 * std::pow(std::clamp(cloud_fraction, 0.0, 1.0), 3.4));
}

}  // namespace mildway::weather
