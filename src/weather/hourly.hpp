// From the intervals of a layer to one value an hour.
#pragma once

#include "gridpoint_document.hpp"

#include <vector>

namespace mildway::weather {

/// Whole UTC hours, `first` + i.
struct Hours {
    Instant first;
    std::size_t count = 0;

    [[nodiscard]] Instant at(std::size_t i) const { return first + hours(static_cast<int>(i)); }
    [[nodiscard]] Instant end() const { return at(count); }
};

/// Sorts by start. Throws std::invalid_argument when two intervals claim the same time.
void sort_samples(std::vector<Sample>& samples);

/// The hours that begin inside the sorted samples. Throws std::invalid_argument beyond 16 days (a broken or
/// hostile duration: the service looks 8 days ahead).
[[nodiscard]] Hours hours_of(const std::vector<Sample>& samples);

/// The value that holds at the beginning of each hour; NaN where there is none.
[[nodiscard]] std::vector<double> values_at(const Hours& span, const std::vector<Sample>& samples);

/// For samples that are totals over their interval: the mean rate per hour over each hour, as far as it is
/// covered; NaN where nothing is known.
[[nodiscard]] std::vector<double> hourly_rates(const Hours& span, const std::vector<Sample>& samples);

}  // namespace mildway::weather
