// One whole-number programme in yes-or-no variables, solved to the end or as far as the limits allow (CBC).
#pragma once

#include "mildway/planning/assignment.hpp"

#include <cstdint>
#include <limits>
#include <vector>

namespace mildway::planning {

/// Sum of factor x variable, at most `most`.
struct Row {
    std::vector<int> variables;
    std::vector<double> factors;
    double most = 0;
};

/// Least sum of cost x variable. Costs are whole numbers.
struct Programme {
    std::vector<double> costs;
    std::vector<Row> rows;
    std::vector<int> decide_first;  ///< variables that much hangs on
};

struct Found {
    std::vector<char> values;  ///< 0 or 1; empty: none was found
    bool proven = false;       ///< the best there is
    double may_lack = 0;       ///< the best may be better by up to this; 0 when it is proven
    /// That a solution with this variable set cannot be as good as the one found.
    std::vector<char> hopeless;
};

/// `known` keeps all rows; what is found is never worse. `proven` then means that nothing is better by more
/// than `slack`.
[[nodiscard]] Found search(const Programme& programme, const std::vector<char>& known,
                           const SearchLimits& limits, std::int64_t slack = 0);

/// Sum of cost x value, in whole numbers.
[[nodiscard]] std::int64_t value_of(const std::vector<double>& costs, const std::vector<char>& values);

}  // namespace mildway::planning
