// MET Norway locationforecast 2.0 "complete": the whole world, CC BY 4.0.
#pragma once

#include "mildway/fetch/fetcher.hpp"
#include "mildway/weather/source.hpp"

#include <string>
#include <string_view>

namespace mildway::weather {

inline constexpr std::string_view kMetNorwayName = "MET Norway";

/// Hourly steps as they stand; 6-hourly ones (after about 60 h) laid on hours between the step values with
/// the lowest and highest of next_6_hours taken in where they are given, and a further error of
/// kCoarseStepErrorK where not: a night's low can fall between two steps. Throws WeatherError.
[[nodiscard]] Outlook parse_met_norway(const std::string& name, const std::string& text);

/// sd of the error of a temperature read between steps six hours apart, K (judgement: the daily course of a
/// clear day, 12 K from low to high, bends away from the chord by about that).
inline constexpr double kCoarseStepErrorK = 1.5;

/// Outside the Nordic countries it is one model run with a height correction: its error in units of a blended
/// forecast's (judgement).
inline constexpr double kSingleModelErrorFactor = 1.15;

class MetNorwaySource : public BatchSource {
public:
    /// Borrows the fetcher.
    explicit MetNorwaySource(const fetch::Fetcher* fetcher, std::string base_url = "https://api.met.no");

    [[nodiscard]] std::string name() const override { return std::string(kMetNorwayName); }
    [[nodiscard]] std::vector<Reading> read(std::span<const Place> places) const override;

private:
    const fetch::Fetcher* fetcher_;
    std::string base_url_;
};

}  // namespace mildway::weather
