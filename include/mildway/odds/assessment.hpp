// Figures of one option over all scenarios.
#pragma once

#include "mildway/base/time.hpp"
#include "mildway/transit/service.hpp"

#include <optional>
#include <string>
#include <vector>

namespace mildway::odds {

/// An estimate and its sampling error (one standard error).
struct Estimate {
    double value = 0;
    double error = 0;
};

/// Quantiles over scenarios.
struct Spread {
    double p5 = 0;
    double p50 = 0;
    double p95 = 0;
};

/// "Outside" means outside the species' safe band; hours are expected hours of one trip.
struct Figures {
    Estimate hours_outside;  ///< cold and warm together
    double hours_cold = 0;
    double hours_warm = 0;
    Estimate chance_outside;       ///< of more than 30 minutes outside
    double hours_p90 = 0;          ///< exceeded in one trip of ten
    double degree_hours_cold = 0;  ///< K h below the band
    double degree_hours_warm = 0;  ///< K h above it
    Estimate chance_harm;          ///< of crossing a harm limit
    double chance_harm_cold = 0;
    Spread coldest_c;  ///< the animals' coldest moment
    Spread warmest_c;  ///< and their warmest
};

/// How much of the hours outside falls on one leg.
struct LegShare {
    std::string leg;
    double hours_cold = 0;
    double hours_warm = 0;
    double hours_late = 0;  ///< of both together, what parcels add that are late
    [[nodiscard]] double hours() const { return hours_cold + hours_warm; }
};

/// What is not known and why, in a sentence; empty when all is known.
struct Assessment {
    std::optional<Figures> all;  ///< every outcome weighted by its chance; empty: the weather is not known
    std::optional<Figures> if_late_one_day;  ///< given that the parcel is one service day late
    std::string unknown_reason;              ///< why `all` is empty
    std::string late_unknown_reason;         ///< why late arrivals are missing from `all`
    transit::LateOdds late;
    std::vector<LegShare> legs;  ///< in the order of the on-time trip, same weights as `all`
    Spread in_box_h;             ///< from closing the box to the buyer, same weights; with `all`
    Spread late_in_box_h;        ///< given that it is one service day late; with `if_late_one_day`
    Spread around_coldest_c;     ///< the coldest moment of the air around the box, same weights; with `all`
    Spread around_warmest_c;     ///< and its warmest
};

}  // namespace mildway::odds
