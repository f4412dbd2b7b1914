// The search itself: one objective after the other, each with all earlier ones kept at their best (CBC).
#pragma once

#include "assignment_reduce.hpp"

#include <vector>

namespace mildway::planning {

struct StagesFound {
    std::vector<std::size_t> columns;  ///< those chosen, at most one of an order
    bool proven = true;                ///< orders, hours and grades
    double usd_may_lack = 0;           ///< another choice that is as good may be cheaper by up to this
};

/// `columns` as reduce() gives them.
[[nodiscard]] StagesFound solve_stages(const AssignmentProblem& problem, const std::vector<Column>& columns,
                                       const SearchLimits& limits);

/// The most orders that can be shipped; empty when the search was cut short.
[[nodiscard]] std::optional<std::int64_t> most_shipped(const AssignmentProblem& problem,
                                                       const std::vector<Column>& columns,
                                                       const SearchLimits& limits);

}  // namespace mildway::planning
