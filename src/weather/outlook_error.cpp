#include "mildway/weather/outlook_error.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

namespace mildway::weather {

namespace {

/// Standard deviation between the members at the hour nearest to `when`; 0 when one of them is unknown there:
/// nothing is then taken off the error of a single forecast.
double members_sd_k(const Outlook& outlook, Instant when) {
    const std::size_t members = outlook.temp_c.size();
    if (members < 2 || outlook.hour_count() == 0) return 0;
    const Instant hour =
        std::clamp(Instant{date::round<hours>(when)}, outlook.first_hour, outlook.end() - hours(1));
    const auto i = static_cast<std::size_t>((hour - outlook.first_hour) / hours(1));
    // about the first member, so that members alike scatter by exactly 0
    double sum = 0;
    double squares = 0;
    for (const std::vector<double>& member : outlook.temp_c) {
        const double apart_k = member[i] - outlook.temp_c.front()[i];
        sum += apart_k;
        squares += apart_k * apart_k;
    }
    const auto count = static_cast<double>(members);
    const double variance = (squares - sum * sum / count) / (count - 1);
    return variance > 0 ? std::sqrt(variance) : 0;  // also when it is not a number
}

/// The largest further error within half a half-day of `when`: errors are drawn at a day's low and high only,
/// and what is doubtful between them must not fall between two stools.
double extra_error_near(const Outlook& outlook, Instant when) {
    constexpr hours kReach{6};
    double most_k = 0;
    const Instant middle = date::round<hours>(when);
    for (Instant hour = middle - kReach; hour <= middle + kReach; hour += hours(1)) {
        const double extra_k = outlook.at(outlook.extra_error_k, hour);
        if (extra_k > most_k) most_k = extra_k;
    }
    return most_k;
}

double error_factor_at(const Outlook& outlook, Instant when) {
    const double factor = outlook.at(outlook.error_factors, date::round<hours>(when));
    return std::isnan(factor) ? outlook.error_factor : factor;
}

}  // namespace

bool is_climate(const Outlook& outlook, Instant when) {
    return outlook.basis == Basis::climate || (outlook.climate_from && when >= *outlook.climate_from);
}

double lead_h(const Outlook& outlook, Instant when) {
    if (is_climate(outlook, when)) return std::numeric_limits<double>::infinity();
    return std::max(0.0, in_hours(when - outlook.issued));
}

double drawn_sd_k(const Outlook& outlook, Climate climate, Phase phase, Season season, Instant when) {
    const double spread_k = climate_spread_k(phase, season, climate);
    double sd_k = spread_k;
    double least_k = kPastYearsDressK;
    if (!is_climate(outlook, when)) {
        const double plain_k = error_sd_k(phase, season, climate, lead_h(outlook, when));
        sd_k = std::min(error_factor_at(outlook, when) * plain_k, std::max(plain_k, spread_k));
        least_k = kEnsembleDressK;
    }
    const double members_k = members_sd_k(outlook, when);
    if (members_k > 0) sd_k = dressing_sd_k(sd_k, members_k, least_k);
    return std::hypot(sd_k, extra_error_near(outlook, when));
}

}  // namespace mildway::weather
