#include "hourly.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <stdexcept>

#include <fmt/format.h>

namespace mildway::weather {

namespace {

constexpr double kUnknown = std::numeric_limits<double>::quiet_NaN();
constexpr hours kLongest{24 * 16};

Instant end_of(const Sample& sample) {
    return sample.interval.start + sample.interval.length;
}

/// Index of the first hour not before `when`, held inside [0, count].
std::size_t index_from(const Hours& span, Instant when) {
    if (when <= span.first) return 0;
    if (when >= span.end()) return span.count;
    return static_cast<std::size_t>((date::ceil<hours>(when) - span.first) / hours(1));
}

}  // namespace

void sort_samples(std::vector<Sample>& samples) {
    std::sort(samples.begin(), samples.end(),
              [](const Sample& a, const Sample& b) { return a.interval.start < b.interval.start; });
    for (std::size_t i = 1; i < samples.size(); ++i) {
        if (samples[i].interval.start < end_of(samples[i - 1])) {
            throw std::invalid_argument(
                fmt::format("two values claim the time from {}", format_instant(samples[i].interval.start)));
        }
    }
}

Hours hours_of(const std::vector<Sample>& samples) {
    const Instant first = date::ceil<hours>(samples.front().interval.start);
    const Instant end = date::ceil<hours>(end_of(samples.back()));
    if (end - first > kLongest) {
        throw std::invalid_argument(fmt::format("covers {} hours; a forecast has at most {}",
                                                (end - first) / hours(1), kLongest.count()));
    }
    return {first, static_cast<std::size_t>((end - first) / hours(1))};
}

std::vector<double> values_at(const Hours& span, const std::vector<Sample>& samples) {
    std::vector<double> out(span.count, kUnknown);
    for (const Sample& sample : samples) {
        const std::size_t end = index_from(span, end_of(sample));
        for (std::size_t i = index_from(span, sample.interval.start); i < end; ++i) out[i] = sample.value;
    }
    return out;
}

std::vector<double> hourly_rates(const Hours& span, const std::vector<Sample>& samples) {
    std::vector<double> total(span.count, 0);
    std::vector<double> covered_h(span.count, 0);
    for (const Sample& sample : samples) {
        if (std::isnan(sample.value)) continue;
        const double rate = sample.value / in_hours(sample.interval.length);
        const Instant start = std::max(sample.interval.start, span.first);
        const Instant end = std::min(end_of(sample), span.end());
        for (Instant hour = date::floor<hours>(start); hour < end; hour += hours(1)) {
            const auto i = static_cast<std::size_t>((hour - span.first) / hours(1));
            const double share =
                in_hours(std::min<Instant>(end, hour + hours(1)) - std::max<Instant>(start, hour));
            total[i] += rate * share;
            covered_h[i] += share;
        }
    }
    for (std::size_t i = 0; i < span.count; ++i)
        total[i] = covered_h[i] > 0 ? total[i] / covered_h[i] : kUnknown;
    return total;
}

}  // namespace mildway::weather
