// The morning's check: every planned order under today's weather.
#pragma once

#include "mildway/orders/order.hpp"
#include "mildway/planning/plan.hpp"
#include "mildway/weekly/limits.hpp"

#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <vector>

namespace mildway::weekly {

struct CheckRequest {
    std::uint32_t scenarios = 2048;
    std::uint64_t seed = 1;
    unsigned threads = 1;
    Instant now;
    /// How far ahead another day is looked for when the planned one leaves something to gain.
    int days_ahead = 10;
};

/// A planned order and what was told of it last.
struct Planned {
    orders::Order order;                         ///< with its choice
    std::optional<orders::Reassessment> before;  ///< of this choice; empty: the choice itself
};

struct Checked {
    /// With its `trouble`: what keeps the order from going as planned, the weather left aside.
    orders::Reassessment found;
    bool needs_move = false;  ///< of that trouble: another day is told whatever it saves
    std::string no_weather;   ///< why a place of its lane has no forecast at all; empty: that is not so
    std::optional<planning::Option> option;  ///< as planned, under today's weather
    std::optional<planning::Option> better;  ///< another day or box, when it is told and was looked at today
};

struct CheckResult {
    std::vector<Checked> orders;                  ///< in the order of those given
    std::vector<planning::PlaceWeather> weather;  ///< each place once
    std::size_t flagged = 0;
    std::size_t not_searched =
        0;  ///< orders for which another day would be worth a search, beyond the most of one run
};

/// Assesses every order as it was planned: weather of each place is read once, each lane drawn once. Looks
/// for another day, or another box on the same day (any service the order allows, days that suit the buyer
/// and you, no verdict worse than you plan with), where that could save enough to be told, or the order is
/// unsafe, unknown, worse than it was chosen with or cannot go as planned. Borrows
/// `workspace`: options point into it. An order that names a species or service the workspace's files no
/// longer have is flagged with that trouble and the others are checked; weather that is missing makes orders
/// unknown, with the reason.
[[nodiscard]] CheckResult check_orders(const planning::Workspace& workspace, const Limits& limits,
                                       const weather::ForecastSource& source,
                                       std::span<const Planned> planned, const CheckRequest& request);

}  // namespace mildway::weekly
