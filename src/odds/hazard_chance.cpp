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

/// Calls `each` with every whole hour that the window touches and the rule asks about.
template <class Each>
void for_hours(const HazardRule& rule, const PlaceOutlook& at, const Window& window, Each each) {
    const date::time_zone& zone = find_zone(at.place.zone);
    for (Instant hour = date::floor<hours>(window.from); hour < window.until; hour += hours(1)) {
        if (!rule.clock || rule.clock->holds(local_hour(zone, hour))) each(hour);
    }
}

double temperature_sd_k(const PlaceOutlook& at, Instant when) {
    const date::time_zone& zone = find_zone(at.place.zone);
    const double clock = local_hour(zone, when);
    // midway between 06:00 and 16:00, where the model has its lows and highs
    const auto phase = clock >= 11 && clock < 23 ? weather::Phase::high : weather::Phase::low;
    const auto season = weather::season_of(local_date(zone, when), at.place.latitude_deg);
    return weather::drawn_sd_k(at.outlook, at.place.climate, phase, season, when);
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
bool too_warm_for_snow(const PlaceOutlook& at, Instant hour) {
    return coldest_member_c(at.outlook, hour) > std::max(kTooWarmForSnowC, temperature_sd_k(at, hour));
}

HazardChance thunder(const HazardRule& rule, const PlaceOutlook& at, const Window& window) {
    HazardChance out;
    for_hours(rule, at, window, [&](Instant hour) {
        const double probability = at.outlook.at(at.outlook.thunder_probability, hour);
        if (std::isnan(probability)) out.unknown = true;
        if (probability > out.chance) out.chance = probability;
    });
    out.amount = out.chance;
    return out;
}

HazardChance total_above(const HazardRule& rule, const PlaceOutlook& at, const Window& window,
                         const std::vector<double>& mm_per_h) {
    HazardChance out;
    for_hours(rule, at, window, [&](Instant hour) {
        const double mm = at.outlook.at(mm_per_h, hour);
        if (!std::isnan(mm)) out.amount += mm;
        if (std::isnan(mm) && !too_warm_for_snow(at, hour)) out.unknown = true;
    });
    if (out.amount > 0)
        out.chance = normal_cdf(std::log(out.amount / rule.threshold) / std::log(kTotalSpreadFactor));
    return out;
}

HazardChance gust(const HazardRule& rule, const PlaceOutlook& at, const Window& window) {
    HazardChance out;
    for_hours(rule, at, window, [&](Instant hour) {
        const double gust_m_per_s = at.outlook.at(at.outlook.gust_m_per_s, hour);
        if (std::isnan(gust_m_per_s)) out.unknown = true;
        if (gust_m_per_s > out.amount) out.amount = gust_m_per_s;
    });
    if (out.amount > 0) out.chance = normal_cdf((out.amount - rule.threshold) / (kGustSpread * out.amount));
    return out;
}

/// The likeliest hour stands for the window: the error of one night's hours is much the same.
HazardChance cold(const HazardRule& rule, const PlaceOutlook& at, const Window& window) {
    HazardChance out;
    out.amount = std::numeric_limits<double>::infinity();
    for_hours(rule, at, window, [&](Instant hour) {
        const double coldest_c = coldest_member_c(at.outlook, hour);
        if (std::isnan(coldest_c)) {
            out.unknown = true;
            return;
        }
        const double sd_k = temperature_sd_k(at, hour);
        double sum = 0;
        for (const std::vector<double>& member : at.outlook.temp_c)
            sum += normal_cdf((rule.threshold - at.outlook.at(member, hour)) / sd_k);
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
    return out;
}

}  // namespace

bool ClockSpan::holds(double local_hour) const {
    const double begin = in_hours(from);
    const double end = in_hours(until);
    return begin < end ? local_hour >= begin && local_hour < end : local_hour >= begin || local_hour < end;
}

HazardChance chance_of(const HazardRule& rule, const PlaceOutlook& at, const Window& window) {
    switch (rule.kind) {
        case HazardKind::thunder:
            return thunder(rule, at, window);
        case HazardKind::snow:
            return total_above(rule, at, window, at.outlook.snow_mm_per_h);
        case HazardKind::ice:
            return total_above(rule, at, window, at.outlook.ice_mm_per_h);
        case HazardKind::gust:
            return gust(rule, at, window);
        case HazardKind::cold:
            return cold(rule, at, window);
        case HazardKind::alert:
            return alert(rule, at, window);
    }
    return {};
}

}  // namespace mildway::odds
