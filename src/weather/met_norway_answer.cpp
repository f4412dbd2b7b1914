// From MET Norway's steps to hours.
#include "mildway/weather/met_norway.hpp"

#include "met_norway_document.hpp"
#include "plausibility.hpp"

#include <algorithm>
#include <array>
#include <cmath>

namespace mildway::weather {

namespace {

constexpr int kCoarseStepH = 6;
/// New snow is about ten times as deep as the water in it (the rule of thumb of weather services; real snow
/// is 5 to 20 times).
constexpr double kSnowPerWater = 10;
/// Of sleet, half is taken for snow (judgement).
constexpr double kSleetSnowShare = 0.5;
/// A dry symbol stands above traces of water, too; in air this cold the trace is snow (judgement).
constexpr double kTraceIsSnowBelowC = 1;

struct Knot {
    int hour;
    double temp_c;
};

/// The temperature at each of six hours and the one after, straight between knots: the values at both ends,
/// and the lowest and highest of the stretch where they lie outside these. Of two such the one comes first
/// that makes the way shorter (on a rising stretch the low), and each lies where it would be at an even pace.
std::array<double, kCoarseStepH + 1> six_hour_course(double start_c, double end_c, double lowest_c,
                                                     double highest_c) {
    std::vector<Knot> knots{{0, start_c}};
    const auto add = [&](bool outside, double temp_c) {
        if (outside) knots.push_back({0, temp_c});
    };
    const bool dips = lowest_c < std::min(start_c, end_c);
    const bool peaks = highest_c > std::max(start_c, end_c);
    const bool rises = start_c <= end_c;
    add(rises ? dips : peaks, rises ? lowest_c : highest_c);
    add(rises ? peaks : dips, rises ? highest_c : lowest_c);
    knots.push_back({kCoarseStepH, end_c});

    double way_k = 0;
    for (std::size_t i = 1; i < knots.size(); ++i) way_k += std::abs(knots[i].temp_c - knots[i - 1].temp_c);
    double gone_k = 0;
    for (std::size_t i = 1; i + 1 < knots.size(); ++i) {
        gone_k += std::abs(knots[i].temp_c - knots[i - 1].temp_c);
        const int hours_left_for_others = static_cast<int>(knots.size() - 1 - i);
        knots[i].hour = std::clamp(static_cast<int>(std::lround(kCoarseStepH * gone_k / way_k)),
                                   knots[i - 1].hour + 1, kCoarseStepH - hours_left_for_others);
    }
    std::array<double, kCoarseStepH + 1> course{};
    for (std::size_t i = 1; i < knots.size(); ++i) {
        const Knot& a = knots[i - 1];
        const Knot& b = knots[i];
        for (int hour = a.hour; hour <= b.hour; ++hour) {
            const double share = static_cast<double>(hour - a.hour) / (b.hour - a.hour);
            course[static_cast<std::size_t>(hour)] = (1 - share) * a.temp_c + share * b.temp_c;
        }
    }
    return course;
}

double snow_mm(const MetNorwayAhead& ahead, double temp_c) {
    switch (ahead.falling) {
        case Falling::snow:
            return kSnowPerWater * ahead.water_mm;
        case Falling::sleet:
            return kSnowPerWater * kSleetSnowShare * ahead.water_mm;
        case Falling::rain:
            return 0;
        case Falling::nothing:
            return ahead.water_mm > 0 && temp_c < kTraceIsSnowBelowC ? kSnowPerWater * ahead.water_mm : 0;
        case Falling::unnamed:
            break;
    }
    return kNotKnown;
}

class HourFiller {
public:
    explicit HourFiller(const MetNorwayDocument& document)
        : steps_(document.steps),
          span_{steps_.front().time, index(steps_.back().time) + 1},
          coarse_error_k_(span_.count, 0.0) {
        out_.temp_c.assign(1, std::vector<double>(span_.count, kNotKnown));
        for (auto layer : {&Outlook::cloud_fraction, &Outlook::wind_m_per_s, &Outlook::gust_m_per_s,
                           &Outlook::snow_mm_per_h, &Outlook::ice_mm_per_h, &Outlook::thunder_probability,
                           &Outlook::fog_probability})
            (out_.*layer).assign(span_.count, kNotKnown);
        out_.first_hour = span_.first;
        for (std::size_t s = 0; s < steps_.size(); ++s) {
            lay_step(steps_[s]);
            if (s + 1 < steps_.size()) lay_between(steps_[s], steps_[s + 1]);
        }
        for (std::size_t s = 0; s < steps_.size(); ++s) {
            const bool last = s + 1 == steps_.size();
            lay_ahead(steps_[s], last ? 1 : index(steps_[s + 1].time) - index(steps_[s].time));
        }
        if (std::any_of(coarse_error_k_.begin(), coarse_error_k_.end(), [](double e) { return e > 0; }))
            out_.extra_error_k = coarse_error_k_;
    }

    [[nodiscard]] const Hours& span() const { return span_; }
    [[nodiscard]] Outlook take() { return std::move(out_); }

private:
    [[nodiscard]] std::size_t index(Instant time) const {
        return static_cast<std::size_t>((time - steps_.front().time) / hours(1));
    }
    std::vector<double>& temp_c() { return out_.temp_c.front(); }

    void lay_step(const MetNorwayStep& step) {
        const std::size_t i = index(step.time);
        temp_c()[i] = step.temp_c;
        out_.cloud_fraction[i] = step.cloud_fraction;
        out_.wind_m_per_s[i] = step.wind_m_per_s;
        out_.gust_m_per_s[i] = step.gust_m_per_s;
        out_.fog_probability[i] = step.fog_fraction;  // as likely at a point as it covers of the area
    }

    /// The hours strictly between two steps; unknown when they are too far apart.
    void lay_between(const MetNorwayStep& a, const MetNorwayStep& b) {
        const std::size_t first = index(a.time);
        const std::size_t count = index(b.time) - first;
        if (count > kCoarseStepH) return;
        for (std::size_t i = 1; i < count; ++i) {
            const double share = static_cast<double>(i) / static_cast<double>(count);
            const auto between = [&](double from, double to) { return (1 - share) * from + share * to; };
            temp_c()[first + i] = between(a.temp_c, b.temp_c);
            out_.cloud_fraction[first + i] = between(a.cloud_fraction, b.cloud_fraction);
            out_.wind_m_per_s[first + i] = between(a.wind_m_per_s, b.wind_m_per_s);
            out_.gust_m_per_s[first + i] = between(a.gust_m_per_s, b.gust_m_per_s);
            out_.fog_probability[first + i] = between(a.fog_fraction, b.fog_fraction);
            coarse_error_k_[first + i] = kCoarseStepErrorK;
        }
        if (count == kCoarseStepH && a.six_hours) bend(a, b, first);
    }

    void bend(const MetNorwayStep& a, const MetNorwayStep& b, std::size_t first) {
        const MetNorwayAhead& ahead = *a.six_hours;
        if (std::isnan(a.temp_c) || std::isnan(b.temp_c)) return;
        const auto course = six_hour_course(a.temp_c, b.temp_c, ahead.lowest_c, ahead.highest_c);
        const bool both_known = !std::isnan(ahead.lowest_c) && !std::isnan(ahead.highest_c);
        for (std::size_t i = 1; i < kCoarseStepH; ++i) {
            temp_c()[first + i] = course[i];
            if (both_known) coarse_error_k_[first + i] = 0;
        }
    }

    /// What falls in the hours up to the next step.
    void lay_ahead(const MetNorwayStep& step, std::size_t hours_to_next) {
        if (step.six_hours)
            lay_falling(index(step.time), std::min<std::size_t>(hours_to_next, kCoarseStepH), *step.six_hours,
                        kCoarseStepH);
        if (step.hour) lay_falling(index(step.time), 1, *step.hour, 1);
    }

    void lay_falling(std::size_t first, std::size_t count, const MetNorwayAhead& ahead, double over_h) {
        for (std::size_t i = first; i < first + count; ++i) {
            out_.snow_mm_per_h[i] = snow_mm(ahead, temp_c()[i]) / over_h;
            out_.ice_mm_per_h[i] = glaze_not_forecast(temp_c()[i], ahead.water_mm);
            out_.thunder_probability[i] = ahead.thunder_probability;
        }
    }

    const std::vector<MetNorwayStep>& steps_;
    Hours span_;
    std::vector<double> coarse_error_k_;
    Outlook out_;
};

void check(const JsonValue& root, const Hours& span, const Outlook& outlook) {
    const JsonValue series = root.at("properties").at("timeseries");
    check_air(series, span, outlook.temp_c.front());
    check_bounds(series, span, outlook.cloud_fraction, kShareBounds);
    check_bounds(series, span, outlook.wind_m_per_s, kWindBounds);
    check_bounds(series, span, outlook.gust_m_per_s, kGustBounds);
    check_bounds(series, span, outlook.snow_mm_per_h, kSnowBounds);
    check_bounds(series, span, outlook.thunder_probability, kShareBounds);
    check_bounds(series, span, outlook.fog_probability, kShareBounds);
}

}  // namespace

Outlook parse_met_norway(const std::string& name, const std::string& text) {
    const JsonAnswer answer(name, text);
    const MetNorwayDocument document = read_met_norway_document(answer);
    HourFiller filler(document);
    const Hours span = filler.span();
    Outlook outlook = filler.take();
    check(answer.root(), span, outlook);
    outlook.source = kMetNorwayName;
    outlook.origin = name;
    outlook.basis = Basis::forecast;
    outlook.issued = document.updated;
    outlook.error_factor = kSingleModelErrorFactor;
    outlook.cell_latitude_deg = document.latitude_deg;
    outlook.cell_longitude_deg = document.longitude_deg;
    outlook.cell_elevation_m = document.elevation_m;
    outlook.findings = temperature_gaps(span, outlook.temp_c.front());
    outlook.attributions.emplace_back("Data from MET Norway (CC BY 4.0)");
    return outlook;
}

}  // namespace mildway::weather
