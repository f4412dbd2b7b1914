// What being a service day late means for a parcel, beyond its temperatures.
#pragma once

#include "mildway/box/packing.hpp"
#include "mildway/odds/trip_cases.hpp"

#include <optional>
#include <string>
#include <vector>

namespace mildway::planning {

/// When warmers of one kind give less than half of the most they gave, in free air. A box that lets in too
/// little air spends them more slowly.
struct WarmersLow {
    std::string label;
    Instant when;
};

/// A typical parcel that is one service day late, where late parcels wait the most.
struct IfLate {
    transit::Trip trip;
    std::string waits_in;                 ///< name of the leg that it waits after
    int days_later = 1;                   ///< civil days from the on-time to the late delivery date
    std::vector<WarmersLow> warmers_low;  ///< on the clock of no place: instants
    /// More than a day is lost by one service day: a weekend or a holiday lies between.
    [[nodiscard]] bool is_trapped() const { return days_later > 1; }
};

[[nodiscard]] IfLate if_late(const transit::Service& service, const odds::TripCases& cases,
                             const box::Packing& packing, const box::Warmers& warmers);

}  // namespace mildway::planning
