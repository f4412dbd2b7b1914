// How wrong a public forecast is, by lead time, season, climate and distance (docs/model.md, section
// "Forecast error", with the figures' origin). Pure functions; drawing from them is sampled_weather.hpp.
#pragma once

#include "mildway/base/place.hpp"
#include "mildway/base/time.hpp"

namespace mildway::weather {

enum class Season {
    winter,
    spring,
    summer,
    autumn
};                               ///< DJF, MAM, JJA, SON; turned round south of the equator
enum class Phase { low, high };  ///< the day's low (about 06:00) or high (about 16:00, local)

[[nodiscard]] Season season_of(Date day, double latitude_deg);

/// Standard deviation of the error of a day's low or high, K, at `lead` from issue to valid time. Grows from
/// the short-lead floor s0 to the spread of the climate sc (both scaled by climate): sigma^2 = s0^2 + (sc^2 -
/// s0^2) g(lead), g logistic with midpoint 170 h and width 60 h. Leads below 0 count as 0.
[[nodiscard]] double error_sd_k(Phase phase, Season season, Climate climate, double lead_h);

/// What that error never exceeds: the spread of a day's low or high about a smooth climate, K (sc).
[[nodiscard]] double climate_spread_k(Phase phase, Season season, Climate climate);

/// Standard deviation, K, of what is to be added to each member of an ensemble whose members scatter by
/// `members_sd_k`, when a single forecast at that lead errs by `single_sd_k`: the members and it together
/// scatter by kLeastOfSingle of the single forecast's error at least, and it alone by `least_k`.
[[nodiscard]] double dressing_sd_k(double single_sd_k, double members_sd_k, double least_k);

/// Ensembles know too little about one spot and are too sure of themselves at short lead. Regression of the
/// error on the members' spread (50 members, Magdeburg, 2002 to 2014) leaves a variance of 1.3 to 1.6 K^2
/// when all members agree, here 1.4; and the whole never less than 0.8 of a single forecast's error
/// (judgement).
inline constexpr double kEnsembleDressK = 1.1832;
inline constexpr double kLeastOfSingle = 0.8;

/// Past years bring their own spread; only the station may read otherwise than the grid does (judgement).
inline constexpr double kPastYearsDressK = 0.7;

/// Time scale of the error's autocorrelation, hours: min(30, 4 exp(lead / 105 h)).
[[nodiscard]] double error_time_scale_h(double lead_h);

/// Correlation of the errors at two places `distance` apart: 0.75 exp(-d / l), l growing with lead, longer in
/// winter, shorter in summer and at night. 1 below kSameSpotKm (the same place).
[[nodiscard]] double error_correlation(double distance_km, Phase phase, Season season, double lead_h);

/// Share of the short-lead variance s0^2 that stays with a place and phase from day to day, and the least
/// correlation of the rest from one low or high to the next. Chosen so that the day's extremes drawn by
/// SampledWeather hang together as measured inside one bulletin: .20 to .29 from a high (low) to the next
/// day's, .10 to .24 from a low or high to the next high or low (tests/outside/forecast_error_test.cpp).
inline constexpr double kSteadyShare = 0.38;
inline constexpr double kNeighbourCorrelation = 0.15;

/// Places closer together than this have the same weather and the same error.
inline constexpr double kSameSpotKm = 1;

/// A small fast error on top of the day's course: standard deviation and time scale (judgement).
inline constexpr double kResidualSdK = 0.6;
inline constexpr double kResidualTimeH = 3;

/// Degrees of freedom of the error's Student-t below `kStudentLeadH` of lead (unit variance); normal beyond.
inline constexpr double kStudentDegrees = 6;
inline constexpr double kStudentLeadH = 72;

/// Published values are a shade too cold: added to every forecast value, K.
inline constexpr double kMeanCorrectionK = 0.15;

}  // namespace mildway::weather
