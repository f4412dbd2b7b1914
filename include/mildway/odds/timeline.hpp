// Hour by hour inside one box.
#pragma once

#include "mildway/odds/assessment.hpp"
#include "mildway/odds/box_model.hpp"
#include "mildway/odds/world.hpp"
#include "mildway/transit/trip.hpp"

#include <optional>
#include <string>
#include <vector>

namespace mildway::odds {

/// Temperatures at one moment, over the scenarios in which the parcel is still on its way.
struct Moment {
    Instant when;
    std::string leg;  ///< where the parcel typically is then
    std::size_t setting;
    Spread around_c;  ///< air around the box
    Spread cavity_c;  ///< inside the box
    Spread animals_c;
    std::optional<Spread> coolant_c;         ///< empty when the box has none
    std::optional<double> oxygen_share_p50;  ///< relative to fresh air; empty when it has no warmers
    double on_its_way;                       ///< share of scenarios in which the buyer does not have it yet
};

struct Timeline {
    std::vector<Moment>
        moments;            ///< at packing, at every whole multiple of the interval, and at the typical end
    std::string cut_short;  ///< why it ends before the trip does; empty when it does not
};

/// Follows one box through one trip in every scenario, by exact steps in double precision
/// (box::ParcelRun).
/// `every`: from 1 to 60 minutes.
[[nodiscard]] Timeline trace_trip(const transit::Trip& trip, const World& world, const BoxModel& box,
                                  minutes every);

/// As one sentence, what the forecasts leave open on this trip; empty when they cover it.
[[nodiscard]] std::string uncovered_part(const transit::Trip& trip, const World& world);

}  // namespace mildway::odds
