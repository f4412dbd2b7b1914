// Whether an order can still go as it was planned, the weather left aside.
#pragma once

#include "mildway/orders/order.hpp"
#include "mildway/weekly/limits.hpp"

#include <string>

namespace mildway::weekly {

struct PlanTrouble {
    /// Clauses without a full stop, joined by "; ": "you are away on Tue 2 Mar"; empty: nothing is known
    /// against the plan.
    std::string says;
    bool no_trip = false;     ///< there is nothing to be assessed: no such parcel can be sent any more
    bool needs_move = false;  ///< only another day, service or box mends it; else a new plan of the same does
};

/// Compares the plan with what the workspace's files say now: species, packing and service are there, the
/// service is sold to the place and takes parcels that day, you are at home, and the trip laid anew from the
/// moment of choosing has the same times. Looks neither at weather nor at the clock. The order has a choice.
[[nodiscard]] PlanTrouble why_not_as_planned(const orders::Order& order, const planning::Workspace& workspace,
                                             const Limits& limits);

/// Why the trip cannot be begun any more at `now`: its day or its cut-off has passed, or packing and the
/// drive would take too long; empty when it can. The order's service is there.
[[nodiscard]] std::string why_too_late(const orders::Order& order, const planning::Workspace& workspace,
                                       Instant now);

}  // namespace mildway::weekly
