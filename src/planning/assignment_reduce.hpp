// The candidates that can matter, in an order that does not depend on the one given.
#pragma once

#include "mildway/planning/assignment.hpp"

#include <array>
#include <vector>

namespace mildway::planning {

/// What a candidate adds to each objective but the first.
using Key = std::array<std::int64_t, 3>;  ///< tenths, grade, cents

[[nodiscard]] Key key_of(const Candidate& candidate);

struct Column {
    std::size_t candidate = 0;  ///< index into the problem's
    std::size_t order = 0;
    std::size_t day = 0;
    Key key{};
    std::vector<StockUse> uses;  ///< of stocks that can run out, each once, by resource
};

/// Whether `a` takes no more of anything than `b`.
[[nodiscard]] bool takes_no_more(const std::vector<StockUse>& a, const std::vector<StockUse>& b);

/// By order, day, key, uses and id. Left out: those on days that take none or that need more than there is,
/// and those beside which another of the same order and day is as good and takes no more of anything.
[[nodiscard]] std::vector<Column> reduce(const AssignmentProblem& problem);

}  // namespace mildway::planning
