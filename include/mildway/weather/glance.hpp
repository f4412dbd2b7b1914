// The next days at one place, as a person wants to see them.
#pragma once

#include "mildway/weather/outlook.hpp"

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

namespace mildway::weather {

/// 5, 50 and 95 of 100 possible truths are below.
struct Fan {
    double p5_c = 0;
    double p50_c = 0;
    double p95_c = 0;
};

/// One local day from midnight to midnight, or the part of it that lies ahead and is known.
struct DayGlance {
    Date day{};
    int hours_known = 0;
    Fan low;                               ///< the lowest temperature of the hours known
    Fan high;                              ///< the highest
    std::optional<double> cloud_fraction;  ///< mean of the hours 08 to 18, as far as known
    std::optional<double> wind_m_per_s;    ///< highest hourly mean
    std::optional<double> gust_m_per_s;
    std::optional<double> snow_mm;  ///< totals of the hours known; empty when some hour is not known
    std::optional<double> ice_mm;
    std::optional<double> thunder_probability;  ///< the highest of an hour
    bool climate = false;                       ///< rests on the climate, in part or whole
};

struct HourGlance {
    Instant hour;
    Fan temp;
    bool climate = false;
};

struct Glance {
    Place place;
    Outlook outlook;
    std::string doubt;  ///< why it must not be planned with; empty when it may
    Instant now;
    std::vector<DayGlance> days;
    std::vector<HourGlance> hours;  ///< those known, from now on
};

struct GlanceOptions {
    int days = 7;
    std::uint32_t scenarios = 2048;
    std::uint64_t seed = 1;
    unsigned threads = 1;
};

/// Fans are drawn from the same possible truths as a plan's. Days of which nothing is known are left out.
[[nodiscard]] Glance make_glance(const Place& place, Outlook outlook, Instant now, hours stale_after,
                                 const GlanceOptions& options);

}  // namespace mildway::weather
