#include "mildway/weather/pooling.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <stdexcept>

#include <fmt/format.h>
#include <fmt/ranges.h>

namespace mildway::weather {

namespace {

constexpr double kUnknown = std::numeric_limits<double>::quiet_NaN();
constexpr int kFadeH = 12;
constexpr hours kEarlyDays{5 * 24};
/// Averages over fewer common hours say little: they may be one night.
constexpr int kLeastCommonH = 24;

Instant hour_at(const Outlook& outlook, std::size_t i) {
    return outlook.first_hour + hours(static_cast<int>(i));
}

/// The mean of an outlook at an hour of another clock.
double mean_at(const Outlook& outlook, Instant hour) {
    if (hour < outlook.first_hour || hour >= outlook.end()) return kUnknown;
    return outlook.mean_c(static_cast<std::size_t>((hour - outlook.first_hour) / hours(1)));
}

/// How far two series are apart, with sign (a - b), over the hours both know before `until`.
struct Gap {
    double mean_k = 0;
    double most_k = 0;  ///< with its sign
    Instant when;       ///< of the most
    int hours_shared = 0;
};

Gap gap_between(const Outlook& a, const Outlook& b, Instant until) {
    Gap gap;
    const Instant end = std::min({a.end(), b.end(), until});
    for (Instant hour = std::max(a.first_hour, b.first_hour); hour < end; hour += hours(1)) {
        const double apart = mean_at(a, hour) - mean_at(b, hour);
        if (std::isnan(apart)) continue;
        gap.mean_k += apart;
        ++gap.hours_shared;
        if (std::abs(apart) > std::abs(gap.most_k)) gap.most_k = apart, gap.when = hour;
    }
    if (gap.hours_shared > 0) gap.mean_k /= gap.hours_shared;
    return gap;
}

/// The hours and members of the pooled outlook, from those that may be used.
class Pool {
public:
    Pool(std::vector<Outlook> outlooks, const Place& place) : from_(std::move(outlooks)), place_(place) {
        out_.first_hour = from_.front().first_hour;
        Instant end = from_.front().end();
        for (const Outlook& outlook : from_) {
            out_.first_hour = std::min(out_.first_hour, outlook.first_hour);
            end = std::max(end, outlook.end());
        }
        hour_count_ = static_cast<std::size_t>((end - out_.first_hour) / hours(1));
    }

    Outlook take() {
        name_sources();
        mix_temperatures();
        mix_layers();
        compare();
        return std::move(out_);
    }

private:
    static double weight_of(const Outlook& outlook) {
        return 1 / (outlook.error_factor * outlook.error_factor);
    }

    void name_sources() {
        std::vector<std::string> names;
        std::vector<std::string> origins;
        double weights = 0;
        double factors = 0;
        out_.basis = from_.front().basis;
        out_.issued = from_.front().issued;
        for (const Outlook& outlook : from_) {
            names.push_back(outlook.source);
            origins.push_back(outlook.origin);
            if (outlook.basis == Basis::ensemble) out_.basis = Basis::ensemble;
            out_.issued = std::min(out_.issued, outlook.issued);
            if (outlook.fetched)
                out_.fetched = std::min(out_.fetched.value_or(*outlook.fetched), *outlook.fetched);
            weights += weight_of(outlook);
            factors += weight_of(outlook) * outlook.error_factor;
            add_all(out_.findings, outlook.findings);
            add_all(out_.attributions, outlook.attributions);
            out_.alerts.insert(out_.alerts.end(), outlook.alerts.begin(), outlook.alerts.end());
            out_.alerts_known = out_.alerts_known || outlook.alerts_known;
        }
        out_.source = fmt::format("{}", fmt::join(names, " and "));
        out_.origin = fmt::format("{}", fmt::join(origins, ", "));
        out_.error_factor = factors / weights;
    }

    static void add_all(std::vector<std::string>& to, const std::vector<std::string>& from) {
        for (const std::string& line : from) {
            if (std::find(to.begin(), to.end(), line) == to.end()) to.push_back(line);
        }
    }

    /// 1, going to 0 over the last hours of an outlook that ends before the others, so that its end is no
    /// step.
    static double fade(const Outlook& outlook, Instant hour) {
        const double left_h = in_hours(outlook.last_known() - hour) + 1;
        return std::clamp(left_h / (kFadeH + 1), 0.0, 1.0);
    }

    void mix_temperatures() {
        const auto ensemble = std::find_if(from_.begin(), from_.end(),
                                           [](const Outlook& o) { return o.basis == Basis::ensemble; });
        const std::size_t members = ensemble == from_.end() ? 1 : ensemble->temp_c.size();
        out_.temp_c.assign(members, std::vector<double>(hour_count_, kUnknown));
        out_.extra_error_k.assign(hour_count_, 0.0);
        out_.error_factors.assign(hour_count_, out_.error_factor);
        for (std::size_t i = 0; i < hour_count_; ++i) {
            const Instant hour = hour_at(out_, i);
            const double mean_c = mix_hour(hour, out_.extra_error_k[i], out_.error_factors[i]);
            const double ensemble_c = ensemble == from_.end() ? kUnknown : mean_at(*ensemble, hour);
            for (std::size_t m = 0; m < members; ++m) {
                const double departure_k =
                    std::isnan(ensemble_c) ? 0 : ensemble->at(ensemble->temp_c[m], hour) - ensemble_c;
                out_.temp_c[m][i] = mean_c + departure_k;
            }
        }
    }

    /// The pooled mean of an hour; `error_k` becomes the spread between the sources and what they bring
    /// along, `factor` their mean error factor: no gain is claimed from averaging, since the errors of
    /// forecasts of one day are much the same.
    double mix_hour(Instant hour, double& error_k, double& factor) const {
        double weights = 0;
        double sum = 0;
        double squares = 0;
        double brought = 0;
        double factors = 0;
        for (const Outlook& outlook : from_) {
            const double temp_c = mean_at(outlook, hour);
            if (std::isnan(temp_c)) continue;
            // one that is alone keeps its weight to the end
            const double weight = weight_of(outlook) * std::max(1e-6, fade(outlook, hour));
            const double extra_k = outlook.at(outlook.extra_error_k, hour);
            weights += weight;
            sum += weight * temp_c;
            factors += weight * outlook.error_factor;
            squares += weight * temp_c * temp_c;
            if (!std::isnan(extra_k)) brought += weight * extra_k * extra_k;
        }
        if (weights == 0) return kUnknown;
        const double mean_c = sum / weights;
        factor = factors / weights;
        error_k = std::sqrt(std::max(0.0, squares / weights - mean_c * mean_c) + brought / weights);
        return mean_c;
    }

    using Layer = std::vector<double> Outlook::*;

    void mix_layers() {
        for (const Layer layer : {&Outlook::cloud_fraction, &Outlook::wind_m_per_s}) mix_layer(layer, false);
        for (const Layer layer : {&Outlook::gust_m_per_s, &Outlook::snow_mm_per_h, &Outlook::ice_mm_per_h,
                                  &Outlook::thunder_probability, &Outlook::fog_probability}) {
            mix_layer(layer, true);
        }
    }

    void mix_layer(Layer layer, bool largest) {
        std::vector<double>& series = out_.*layer;
        series.assign(hour_count_, kUnknown);
        for (std::size_t i = 0; i < hour_count_; ++i) {
            for (const Outlook& outlook : from_) {
                const double value = outlook.at(outlook.*layer, hour_at(out_, i));
                if (std::isnan(value)) continue;
                if (std::isnan(series[i]) || (largest && value > series[i])) series[i] = value;
            }
        }
    }

    /// Says who spoke, and how far each is from the whole and from the preferred one.
    void compare() {
        double weights = 0;
        for (const Outlook& outlook : from_) weights += weight_of(outlook);
        const Outlook& preferred = from_.front();
        for (const Outlook& outlook : from_) {
            const Gap from_pool = gap_between(outlook, out_, preferred.issued + kEarlyDays);
            out_.voices.push_back({outlook.source, outlook.origin, outlook.basis, outlook.issued,
                                   outlook.fetched, outlook.last_known(), weight_of(outlook) / weights,
                                   from_pool.mean_k, from_pool.most_k});
            if (&outlook != &preferred) compare_with_preferred(preferred, outlook);
        }
    }

    void compare_with_preferred(const Outlook& preferred, const Outlook& other) {
        const Gap gap = gap_between(other, preferred, preferred.issued + kEarlyDays);
        // a few hours may be one front that comes early for one of them, but not twice as far apart
        const double most_k =
            gap.hours_shared >= kLeastCommonH ? kCannotBothBeRightK : 2 * kCannotBothBeRightK;
        if (gap.hours_shared > 0 && std::abs(gap.mean_k) > most_k) {
            out_.doubt = fmt::format(
                "{} and {} cannot both be right about {}: over {} hours they are {:.0f} K apart on average",
                preferred.source, other.source, place_.name, gap.hours_shared, std::abs(gap.mean_k));
        } else if (std::abs(gap.most_k) >= kWorthSayingApartK) {
            out_.findings.push_back(
                fmt::format("{} says up to {:.0f} K {} than {} ({}), {:.1f} K {} on average", other.source,
                            std::abs(gap.most_k), gap.most_k > 0 ? "warmer" : "colder", preferred.source,
                            format_local(find_zone(place_.zone), gap.when), std::abs(gap.mean_k),
                            gap.mean_k > 0 ? "warmer" : "colder"));
        }
    }

    std::vector<Outlook> from_;
    const Place& place_;
    Outlook out_;
    std::size_t hour_count_ = 0;
};

}  // namespace

Outlook pool(std::vector<Outlook> outlooks, const Place& place) {
    if (outlooks.empty()) throw std::invalid_argument("there is no outlook to pool");
    std::vector<Outlook> usable;
    std::vector<std::string> left_out;
    std::vector<Alert> alerts;  // of an outlook that is left out they still hold
    bool alerts_known = false;
    for (Outlook& outlook : outlooks) {
        if (outlook.doubt.empty()) {
            usable.push_back(std::move(outlook));
            continue;
        }
        left_out.push_back(fmt::format("not used: {}", outlook.doubt));
        alerts.insert(alerts.end(), outlook.alerts.begin(), outlook.alerts.end());
        alerts_known = alerts_known || outlook.alerts_known;
    }
    if (usable.empty()) return std::move(outlooks.front());
    Outlook pooled = usable.size() == 1 ? std::move(usable.front()) : Pool(std::move(usable), place).take();
    pooled.findings.insert(pooled.findings.end(), left_out.begin(), left_out.end());
    pooled.alerts.insert(pooled.alerts.end(), alerts.begin(), alerts.end());
    pooled.alerts_known = pooled.alerts_known || alerts_known;
    return pooled;
}

void extend_with_climate(Outlook& outlook, const Outlook& climate, const Place& place) {
    if (!climate.doubt.empty()) {
        outlook.findings.push_back(fmt::format("no climate behind the forecast: {}", climate.doubt));
        return;
    }
    outlook.findings.insert(outlook.findings.end(), climate.findings.begin(), climate.findings.end());
    const Gap gap = gap_between(outlook, climate, outlook.issued + kEarlyDays);
    if (gap.hours_shared >= kLeastCommonH && std::abs(gap.mean_k) > kCannotBeThatSeasonK &&
        outlook.doubt.empty()) {
        outlook.doubt = fmt::format(
            "the forecast for {} is {:.0f} K {} than {} says this time of the year is there", place.name,
            std::abs(gap.mean_k), gap.mean_k > 0 ? "warmer" : "colder", climate.source);
    }
    const Instant from = outlook.last_known() + hours(1);
    if (climate.end() <= from) return;
    const auto keep = static_cast<std::size_t>((from - outlook.first_hour) / hours(1));
    const auto more = static_cast<std::size_t>((climate.end() - from) / hours(1));
    // a climate of several years keeps them as members; a forecast of one member is the same in each of them
    if (outlook.temp_c.size() == 1) outlook.temp_c.resize(climate.temp_c.size(), outlook.temp_c.front());
    for (std::size_t m = 0; m < outlook.temp_c.size(); ++m) {
        std::vector<double>& series = outlook.temp_c[m];
        series.resize(keep);
        for (std::size_t i = 0; i < more; ++i) {
            series.push_back(
                climate.at(climate.temp_c[m % climate.temp_c.size()], from + hours(static_cast<int>(i))));
        }
    }
    for (auto layer :
         {&Outlook::cloud_fraction, &Outlook::wind_m_per_s, &Outlook::gust_m_per_s, &Outlook::snow_mm_per_h,
          &Outlook::ice_mm_per_h, &Outlook::thunder_probability, &Outlook::fog_probability}) {
        std::vector<double>& series = outlook.*layer;
        series.resize(keep, kUnknown);
        series.resize(keep + more, kUnknown);
    }
    if (!outlook.extra_error_k.empty()) {
        outlook.extra_error_k.resize(keep);
        outlook.extra_error_k.resize(keep + more, 0.0);
    }
    if (!outlook.error_factors.empty()) outlook.error_factors.resize(keep + more, 1.0);
    outlook.climate_from = from;
}

}  // namespace mildway::weather
