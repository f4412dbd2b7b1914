#include "hazard_chance.hpp"

#include "mildway/weather/outlook_error.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace mildway::odds {

namespace {

using weather::Outlook;
using weather::PlaceOutlook;

double normal_cdf(double z) {
    return 0.5 * std::erfc(-z / std::numbers::sqrt2);
}

using Hour = WindowHours::Hour;

/// Calls `each` with every hour of the window that the rule asks about.
template <class Each>
void for_hours(const HazardRule& rule, const WindowHours& window, Each each) {
    for (const Hour& hour : window.all()) {
        if (!rule.clock || rule.clock->holds(hour.clock_h())) each(hour);
    }
}

double temperature_sd_k(const PlaceOutlook& at, const Hour& hour) {
    const double clock = hour.clock_h();
    // midway between 06:00 and 16:00, where the model has its lows and highs
    const auto phase = clock >= 11 && clock < 23 ? weather::Phase::high : weather::Phase::low;
    const auto season = weather::season_of(hour.day(), at.place.latitude_deg);
    return weather::drawn_sd_k(at.outlook, at.place.climate, phase, season, hour.when);
}

double coldest_member_c(const Outlook& outlook, Instant hour) {
    double coldest_c = std::numeric_limits<double>::infinity();
    for (const std::vector<double>& member : outlook.temp_c) {
        const double temp_c = outlook.at(member, hour);
        if (std::isnan(temp_c)) return temp_c;
        coldest_c = std::min(coldest_c, temp_c);
    }
    return coldest_c;
}

/// False when the temperature is not known either.
bool too_warm_for_snow(const PlaceOutlook& at, const Hour& hour) {
    return coldest_member_c(at.outlook, hour.when) > std::max(kTooWarmForSnowC, temperature_sd_k(at, hour));
}

/// The likeliest hour stands for the window.
HazardChance highest(const HazardRule& rule, const PlaceOutlook& at, const WindowHours& window,
                     const std::vector<double>& probabilities) {
    HazardChance out;
    for_hours(rule, window, [&](const Hour& hour) {
        const double probability = at.outlook.at(probabilities, hour.when);
        if (std::isnan(probability)) out.unknown = true;
        if (probability > out.chance) out.chance = probability;
    });
    out.amount = out.chance;
    return out;
}

HazardChance total_above(const HazardRule& rule, const PlaceOutlook& at, const WindowHours& window,
                         const std::vector<double>& mm_per_h) {
    HazardChance out;
    for_hours(rule, window, [&](const Hour& hour) {
        const double mm = at.outlook.at(mm_per_h, hour.when);
        if (!std::isnan(mm)) out.amount += mm;
        if (std::isnan(mm) && !too_warm_for_snow(at, hour)) out.unknown = true;
    });
    if (out.amount > 0)
        out.chance = normal_cdf(std::log(out.amount / rule.threshold) / std::log(kTotalSpreadFactor));
    return out;
}

HazardChance gust(const HazardRule& rule, const PlaceOutlook& at, const WindowHours& window) {
    HazardChance out;
    for_hours(rule, window, [&](const Hour& hour) {
        const double gust_m_per_s = at.outlook.at(at.outlook.gust_m_per_s, hour.when);
        if (std::isnan(gust_m_per_s)) out.unknown = true;
        if (gust_m_per_s > out.amount) out.amount = gust_m_per_s;
    });
    if (out.amount > 0) out.chance = normal_cdf((out.amount - rule.threshold) / (kGustSpread * out.amount));
    return out;
}

/// The likeliest hour stands for the window: the error of one night's hours is much the same.
HazardChance cold(const HazardRule& rule, const PlaceOutlook& at, const WindowHours& window) {
    HazardChance out;
    out.amount = std::numeric_limits<double>::infinity();
    for_hours(rule, window, [&](const Hour& hour) {
        const double coldest_c = coldest_member_c(at.outlook, hour.when);
        if (std::isnan(coldest_c)) {
            out.unknown = true;
            return;
        }
        const double sd_k = temperature_sd_k(at, hour);
        double sum = 0;
        for (const std::vector<double>& member : at.outlook.temp_c)
            sum += normal_cdf((rule.threshold - at.outlook.at(member, hour.when)) / sd_k);
        out.chance = std::max(out.chance, sum / static_cast<double>(at.outlook.temp_c.size()));
        out.amount = std::min(out.amount, coldest_c);
    });
    return out;
}

HazardChance alert(const HazardRule& rule, const PlaceOutlook& at, const Window& window) {
    HazardChance out;
    out.unknown = !at.outlook.alerts_known;
    for (const weather::Alert& alert : at.outlook.alerts) {
        const bool meant =
            std::find(rule.alerts.begin(), rule.alerts.end(), alert.phenomenon) != rule.alerts.end();
        const bool over = alert.ends && *alert.ends <= window.from;
        if (!meant || over || alert.begins >= window.until) continue;
        const double chance = alert.event.find("Warning") != std::string::npos ? kWarningHolds : kWatchHolds;
        if (chance > out.chance) {
            out.chance = chance;
            out.event = alert.event;
        }
    }
    out.too_far = at.outlook.alerts_known && window.from >= at.outlook.issued + kWarningsReach;
    return out;
}

}  // namespace

bool ClockSpan::holds(double local_hour) const {
    const double begin = in_hours(from);
    const double end = in_hours(until);
    return begin < end ? local_hour >= begin && local_hour < end : local_hour >= begin || local_hour < end;
}

HazardChance chance_of(const HazardRule& rule, const PlaceOutlook& at, const WindowHours& window) {
    switch (rule.kind) {
        case HazardKind::thunder:
            return highest(rule, at, window, at.outlook.thunder_probability);
        case HazardKind::fog:
            return highest(rule, at, window, at.outlook.fog_probability);
        case HazardKind::snow:
            return total_above(rule, at, window, at.outlook.snow_mm_per_h);
        case HazardKind::ice:
            return total_above(rule, at, window, at.outlook.ice_mm_per_h);
        case HazardKind::gust:
            return gust(rule, at, window);
        case HazardKind::cold:
            return cold(rule, at, window);
        case HazardKind::alert:
            return alert(rule, at, window.window());
    }
    return {};
}

}  // namespace mildway::odds
