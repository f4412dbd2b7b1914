// Real forecasts of highs and lows against what came: 24 US places, 30 January 2021 to 1 June 2022, from
// public bulletins of the US National Weather Service (nws_24_places_test_set.csv of the shared data).
#pragma once

#include "mildway/weather/forecast_error.hpp"

#include "catch.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <fstream>
#include <map>
#include <sstream>
#include <string>
#include <vector>

#include <fmt/format.h>

namespace mildway::testing {

/// The climate of each place, as docs/model.md draws the classes.
inline Climate climate_of(const std::string& city) {
    static const std::map<std::string, Climate> known{
        {"DENVER", Climate::western_plain},         {"PHOENIX", Climate::western_plain},
        {"RENO", Climate::western_mountain},        {"SALT_LAKE_CITY", Climate::western_mountain},
        {"LOS_ANGELES", Climate::pacific_coast},    {"SEATTLE", Climate::pacific_coast},
        {"MIAMI_BEACH", Climate::tropical},         {"FAIRBANKS", Climate::alaska},
        {"HOUSTON", Climate::warm_coast_east},      {"TAMPA", Climate::warm_coast_east},
        {"NEW_YORK_CITY", Climate::warm_coast_east}};
    const auto found = known.find(city);
    return found == known.end() ? Climate::elsewhere : found->second;
}

/// A column of forecasts: of the high or the low, so many hours ahead.
struct Column {
    weather::Phase phase;
    int lead_h;

    bool operator<(const Column& other) const {
        return std::pair(phase, lead_h) < std::pair(other.phase, other.lead_h);
    }
};

inline constexpr std::array<Column, 8> kColumns{{{weather::Phase::high, 8},
                                                 {weather::Phase::high, 20},
                                                 {weather::Phase::high, 32},
                                                 {weather::Phase::high, 44},
                                                 {weather::Phase::low, 10},
                                                 {weather::Phase::low, 22},
                                                 {weather::Phase::low, 34},
                                                 {weather::Phase::low, 46}}};

inline std::string name_of(const Column& column) {
    return fmt::format("{} at {} h", column.phase == weather::Phase::high ? "high" : "low", column.lead_h);
}

struct CityDay {
    std::string city;
    Date day;
    std::map<Column, double> error_k;  ///< forecast minus observed, where both are known
};

inline std::vector<std::string> cells(const std::string& line) {
    std::vector<std::string> out;
    std::istringstream in(line);
    for (std::string cell; std::getline(in, cell, ',');) out.push_back(cell);
    out.resize(16);
    return out;
}

/// Columns: name, state, date, observed high and low, forecasts of the high, forecasts of the low; whole
/// degF.
inline std::vector<CityDay> read_archive() {
    std::vector<CityDay> out;
    std::ifstream in(std::string(MILDWAY_SHARED_DATA) + "/nws_24_places_test_set.csv");
    std::string line;
    std::getline(in, line);
    while (std::getline(in, line)) {
        const auto cell = cells(line);
        CityDay row{cell[0], parse_date(cell[2]).value(), {}};
        for (std::size_t i = 0; i < kColumns.size(); ++i) {
            const std::string& observed = cell[kColumns[i].phase == weather::Phase::high ? 3 : 4];
            const std::string& forecast = cell[5 + i];
            if (observed.empty() || forecast.empty()) continue;
            row.error_k[kColumns[i]] = (std::stod(forecast) - std::stod(observed)) / 1.8;
        }
        out.push_back(std::move(row));
    }
    return out;
}

/// Empty, with a warning, when the shared data are not there.
inline const std::vector<CityDay>& archive() {
    static const std::vector<CityDay> rows = read_archive();
    if (rows.empty()) WARN("skipped: nws_24_places_test_set.csv is not in MILDWAY_SHARED_DATA");
    return rows;
}

/// An error in units of the model's standard deviation, the mean correction applied.
inline double standardised(const CityDay& row, const Column& column, double error_k) {
    const weather::Season season = weather::season_of(row.day, 40);
    const double sd_k = weather::error_sd_k(column.phase, season, climate_of(row.city), column.lead_h);
    return (error_k + weather::kMeanCorrectionK) / sd_k;
}

/// All errors of one column in the rows that `wanted` picks.
template <class Wanted>
std::vector<double> standardised(const Column& column, Wanted wanted) {
    std::vector<double> out;
    for (const CityDay& row : archive()) {
        const auto error = row.error_k.find(column);
        if (error != row.error_k.end() && wanted(row))
            out.push_back(standardised(row, column, error->second));
    }
    return out;
}

inline double sd_of(const std::vector<double>& values) {
    double sum = 0, squares = 0;
    for (const double v : values) sum += v, squares += v * v;
    const double n = static_cast<double>(values.size());
    return std::sqrt(squares / n - sum * sum / n / n);
}

/// Share of standardised errors inside the 90 % interval of Student's t with 6 degrees of freedom: 95 % point
/// 1.943 (tables), scaled to unit variance.
inline double share_in_90(const std::vector<double>& z) {
    const double half_width = 1.943 * std::sqrt(4.0 / 6.0);
    const auto held = std::count_if(z.begin(), z.end(), [&](double v) { return std::abs(v) <= half_width; });
    return static_cast<double>(held) / static_cast<double>(z.size());
}

}  // namespace mildway::testing
