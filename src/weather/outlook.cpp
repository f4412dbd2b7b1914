#include "mildway/weather/outlook.hpp"

#include <cmath>
#include <limits>

namespace mildway::weather {

std::string_view basis_name(Basis basis) {
    switch (basis) {
        case Basis::forecast:
            return "forecast";
        case Basis::ensemble:
            return "ensemble";
        case Basis::climate:
            return "climate";
        case Basis::observed:
            return "observed";
    }
    return "unknown";
}

std::optional<Instant> Outlook::first_unknown(Instant from, Instant to) const {
    const Instant last = date::ceil<hours>(to);
    for (Instant hour = date::floor<hours>(from); hour <= last; hour += hours(1)) {
        if (hour < first_hour || hour >= end()) return hour;
        const auto i = static_cast<std::size_t>((hour - first_hour) / hours(1));
        for (const std::vector<double>& member : temp_c) {
            if (std::isnan(member[i])) return hour;
        }
    }
    return std::nullopt;
}

double Outlook::mean_c(std::size_t hour) const {
    if (hour >= hour_count()) return std::numeric_limits<double>::quiet_NaN();
    double sum = 0;
    for (const std::vector<double>& member : temp_c) sum += member[hour];
    return sum / static_cast<double>(temp_c.size());
}

Instant Outlook::last_known() const {
    for (std::size_t hour = hour_count(); hour > 0; --hour) {
        if (!std::isnan(mean_c(hour - 1))) return first_hour + hours(static_cast<int>(hour) - 1);
    }
    return first_hour;
}

double Outlook::at(const std::vector<double>& series, Instant hour) const {
    const auto i = (hour - first_hour) / hours(1);
    if (i < 0 || static_cast<std::size_t>(i) >= series.size())
        return std::numeric_limits<double>::quiet_NaN();
    return series[static_cast<std::size_t>(i)];
}

double Outlook::temp_at(Instant when) const {
    constexpr double kUnknown = std::numeric_limits<double>::quiet_NaN();
    const Instant hour = date::floor<hours>(when);
    if (hour < first_hour || hour >= end()) return kUnknown;
    const auto i = static_cast<std::size_t>((hour - first_hour) / hours(1));
    const std::vector<double>& series = temp_c.front();
    if (when == hour) return series[i];
    if (i + 1 == series.size()) return kUnknown;
    const double share = in_hours(when - hour);
    return (1 - share) * series[i] + share * series[i + 1];
}

}  // namespace mildway::weather
