// What a log from inside one box tells of its wall, its vents and its warmers.
#pragma once

#include "mildway/base/units.hpp"
#include "mildway/box/network.hpp"
#include "mildway/learning/logger.hpp"

#include <optional>
#include <string>
#include <vector>

namespace mildway::learning {

enum class LoggerAt {
    cavity,  ///< in the air of the box
    cup      ///< in a cup, as an animal
};

struct FitRequest {
    std::string file;  ///< of the log, for messages
    const box::Packing* packing = nullptr;
    const box::Warmers* warmers = nullptr;
    box::Contents contents;
    WattsPerSquareMeterKelvin film;  ///< on the outside of the parcel
    LoggerAt at = LoggerAt::cavity;
    std::optional<Instant> packed;  ///< when the box was closed; empty: at the first reading
    std::optional<Instant> opened;  ///< when it was opened again; empty: after the last reading
    LoggerSeries inside;
    LoggerSeries outside;            ///< of the air around; empty with `around_c`
    std::optional<double> around_c;  ///< air around that stays at one temperature
};

enum class FigureKind { wall, air_exchange, warmer };

/// One thing that a log may tell of a box.
struct Figure {
    FigureKind kind = FigureKind::wall;
    double recipe = 1;  ///< wall and warmer: 1; air exchange: L/h as reckoned
    double value = 1;   ///< wall and warmer: times the recipe's; air exchange: L/h
    double low = 0;     ///< 90 % interval
    double high = 0;
    double relative_error = 0;  ///< one standard error of the figure's logarithm
    bool held = false;          ///< not fitted in the end, but kept at the recipe
    bool told = false;          ///< by this log, well enough to be used
    std::string why_not;        ///< a sentence; when not told
    std::string what_would;     ///< a log that would tell it; when not told
};

struct Misfit {
    double rms_k = 0;
    double worst_k = 0;  ///< reading minus model, of the largest size
    Instant worst_at;
};

/// A stretch of the log without a gap that matters.
struct FittedStretch {
    Instant from;
    Instant to;
};

struct Fit {
    std::vector<Figure> figures;  ///< wall, air exchange and, with warmers, warmer
    /// Between the figures when all are free, in their order.
    std::vector<std::vector<double>> correlation;
    Misfit before;  ///< with the recipe as it is; where the log begins is fitted in both
    Misfit after;
    std::size_t readings = 0;
    double independent_readings = 0;
    std::vector<FittedStretch> stretches;
    bool fits = false;  ///< `after` is no worse than kWorstFit_k
    std::vector<std::string> findings;

    [[nodiscard]] bool all_told() const;
};

/// Judgement: a model that is off by more on average is not a model of this box.
inline constexpr double kWorstFit_k = 1.0;
/// Figures correlated more than this are not told apart, unless the interval of each reaches over no more
/// than kNarrowInterval (judgement): then both are known, whatever they have in common.
inline constexpr double kMostCorrelation = 0.95;
inline constexpr double kNarrowInterval = 1.25;
/// A figure whose interval reaches from one value to more than this many times it is not told.
inline constexpr double kWidestInterval = 2.0;

/// Least squares (Levenberg-Marquardt) over the logarithms of the figures and over the temperatures at which
/// each stretch begins; docs/model.md (Learning). Earlier learnt figures of the packing are not used. Throws
/// InputError when the log is too short, too coarse or too broken, or does not overlap the readings outside,
/// and when the packing has a coolant.
[[nodiscard]] Fit fit_box(const FitRequest& request);

}  // namespace mildway::learning
