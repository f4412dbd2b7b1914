#include "mildway/weather/glance.hpp"

#include "mildway/weather/judging.hpp"
#include "mildway/weather/sampled_weather.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

namespace mildway::weather {

namespace {

constexpr int kDayBegins = 8;  // of daylight, on the clock: what the sky is like by day
constexpr int kDayEnds = 18;

/// Nearest rank.
double quantile(std::vector<float>& values, double share) {
    const auto rank = std::lround(share * static_cast<double>(values.size() - 1));
    std::nth_element(values.begin(), values.begin() + rank, values.end());
    return static_cast<double>(values[static_cast<std::size_t>(rank)]);
}

Fan fan_of(std::vector<float> values) {
    return {quantile(values, 0.05), quantile(values, 0.5), quantile(values, 0.95)};
}

/// The hours of one local day that are known and not over.
class Day {
public:
    Day(Glance& glance, const SampledWeather& sampled, Date day) : glance_(glance), sampled_(sampled) {
        const auto& zone = find_zone(glance.place.zone);
        const Date next{date::sys_days(day) + date::days(1)};
        const Instant from = std::max<Instant>(glance.now, to_instant(zone, day, minutes(0)));
        out_.day = day;
        for (Instant hour = date::ceil<hours>(from); hour < to_instant(zone, next, minutes(0));
             hour += hours(1)) {
            if (!glance.outlook.first_unknown(hour, hour)) hours_.push_back(hour);
        }
        out_.hours_known = static_cast<int>(hours_.size());
    }

    void add() {
        if (hours_.empty()) return;
        find_extremes();
        const Outlook& outlook = glance_.outlook;
        out_.cloud_fraction = mean_by_day(outlook.cloud_fraction);
        out_.wind_m_per_s = highest(outlook.wind_m_per_s);
        out_.gust_m_per_s = highest(outlook.gust_m_per_s);
        out_.thunder_probability = highest(outlook.thunder_probability);
        out_.snow_mm = total(outlook.snow_mm_per_h);
        out_.ice_mm = total(outlook.ice_mm_per_h);
        out_.climate = outlook.basis == Basis::climate || is_climate(hours_.back());
        glance_.days.push_back(out_);
    }

private:
    [[nodiscard]] bool is_climate(Instant hour) const {
        return glance_.outlook.climate_from && hour >= *glance_.outlook.climate_from;
    }

    void find_extremes() {
        constexpr float kFar = std::numeric_limits<float>::infinity();
        std::vector<float> low(sampled_.scenarios(), kFar);
        std::vector<float> high(sampled_.scenarios(), -kFar);
        for (const Instant hour : hours_) {
            const auto row =
                sampled_.hour(0, static_cast<std::uint32_t>((hour - sampled_.first_hour()) / hours(1)));
            for (std::size_t s = 0; s < row.size(); ++s) {
                low[s] = std::min(low[s], row[s]);
                high[s] = std::max(high[s], row[s]);
            }
            glance_.hours.push_back({hour, fan_of({row.begin(), row.end()}), is_climate(hour)});
        }
        out_.low = fan_of(std::move(low));
        out_.high = fan_of(std::move(high));
    }

    [[nodiscard]] std::optional<double> highest(const std::vector<double>& series) const {
        std::optional<double> most;
        for (const Instant hour : hours_) {
            const double value = glance_.outlook.at(series, hour);
            if (!std::isnan(value)) most = std::max(most.value_or(value), value);
        }
        return most;
    }

    [[nodiscard]] std::optional<double> total(const std::vector<double>& rates) const {
        double sum = 0;
        for (const Instant hour : hours_) sum += glance_.outlook.at(rates, hour);
        return std::isnan(sum) ? std::nullopt : std::optional(sum);
    }

    [[nodiscard]] std::optional<double> mean_by_day(const std::vector<double>& series) const {
        double sum = 0;
        int count = 0;
        for (const Instant hour : hours_) {
            const double clock = local_hour(find_zone(glance_.place.zone), hour);
            const double value = glance_.outlook.at(series, hour);
            if (clock < kDayBegins || clock > kDayEnds || std::isnan(value)) continue;
            sum += value;
            ++count;
        }
        return count == 0 ? std::nullopt : std::optional(sum / count);
    }

    Glance& glance_;
    const SampledWeather& sampled_;
    DayGlance out_;
    std::vector<Instant> hours_;
};

}  // namespace

Glance make_glance(const Place& place, Outlook outlook, Instant now, hours stale_after,
                   const GlanceOptions& options) {
    Glance glance{place, std::move(outlook), "", now, {}, {}};
    glance.doubt = doubt_about(glance.outlook, place, now, stale_after);
    const auto& zone = find_zone(place.zone);
    const Date today = local_date(zone, now);
    const Date after{date::sys_days(today) + date::days(options.days)};
    const PlaceOutlook at{place, glance.outlook};
    const SampledWeather sampled(std::span(&at, 1), now, to_instant(zone, after, minutes(0)),
                                 {options.scenarios, options.seed, options.threads});
    for (int i = 0; i < options.days; ++i) {
        Day(glance, sampled, Date{date::sys_days(today) + date::days(i)}).add();
    }
    return glance;
}

}  // namespace mildway::weather
