// Which of many orders goes on which day: the choice that is best for all together, and proven so.
//
// A problem of counting only; there is no weather in it. Docs: docs/model.md, "All orders together".
#pragma once

#include <cstddef>
#include <cstdint>
#include <optional>
#include <vector>

namespace mildway::planning {

/// Things taken from a stock.
struct StockUse {
    std::size_t resource = 0;  ///< index into AssignmentProblem::stock
    int count = 1;
};

/// One way in which one order may go.
struct Candidate {
    std::size_t order = 0;
    std::size_t day = 0;
    std::uint32_t id = 0;      ///< the caller's; of candidates that are equal in all else the smallest counts
    double hours_outside = 0;  ///< expected; counted in whole tenths of an hour (kTieHours)
    int grade = 0;             ///< 0 for the best verdict, more for worse ones
    double usd = 0;            ///< all but the counter trip; counted in whole cents
    std::vector<StockUse> uses;
};

struct AssignmentDay {
    std::optional<int> boxes;  ///< the most parcels; 0: nothing is shipped; empty: as many as you like
    bool trip_made = false;    ///< a trip to the counter is made anyway, so that it costs nothing
};

struct AssignmentProblem {
    std::size_t orders = 0;
    std::vector<AssignmentDay> days;
    std::vector<int> stock;  ///< how many there are of each resource
    double trip_usd = 0;     ///< of each day on which anything is shipped
    std::vector<Candidate> candidates;
};

/// Something of which there is not enough.
struct Limit {
    enum class Kind { boxes_of_day, stock, trip_cost };
    Kind kind = Kind::boxes_of_day;
    std::size_t index = 0;  ///< of the day or the resource
    friend bool operator==(const Limit&, const Limit&) = default;
};

/// What one order got.
struct OrderAssigned {
    std::optional<std::size_t> chosen;  ///< index into the candidates; empty: it waits
    /// The candidate it would have with no other orders, when that is better than the chosen one.
    std::optional<std::size_t> given_up;
    /// Why not that one (of an order that waits: why none of its candidates): what would run out if it were
    /// taken beside all that the others have.
    std::vector<Limit> because;
};

/// How many orders more could be shipped with one more of something.
struct Relief {
    Limit limit;
    int more_shipped = 0;
};

struct AssignmentTotals {
    std::int64_t shipped = 0;
    std::int64_t tenths_outside = 0;  ///< of an hour, over all shipped
    std::int64_t grades = 0;
    std::int64_t cents = 0;  ///< trips to the counter included
    friend bool operator==(const AssignmentTotals&, const AssignmentTotals&) = default;
};

struct Assignment {
    std::vector<OrderAssigned> orders;
    AssignmentTotals totals;
    /// Of limits that are used up, when an order waits for one of them.
    std::vector<Relief> reliefs;
    /// That nothing ships more orders, with fewer hours or lower grades. False when the search was cut short:
    /// the choice keeps all limits, but a better one may exist.
    bool proven = true;
    /// Another choice that is as good otherwise may be cheaper by up to this; 0 when the search for it was
    /// not cut short.
    double usd_may_lack = 0;
};

/// When to stop searching. The nodes come first, so that the answer does not depend on the machine.
struct SearchLimits {
    int nodes = 20000;         ///< of each stage's search tree
    double seconds = 20;       ///< of each stage
    double usd_tolerance = 0;  ///< a choice is cheap enough when no other is cheaper by more than this
};

/// Ships as many orders as can be; of all ways to do so takes one with the fewest predicted hours outside, of
/// those one with the lowest grades, of those the cheapest; of those, orders that come first in the list
/// go, and go early. The same answer in whatever order the candidates are given, as long as order, day and
/// id tell them apart. Throws std::invalid_argument on an index that does not exist, on negative counts, and
/// on figures that are negative or not finite (USD may be negative).
[[nodiscard]] Assignment assign(const AssignmentProblem& problem, const SearchLimits& limits = {});

/// What `chosen` adds up to, trips included.
[[nodiscard]] AssignmentTotals totals_of(const AssignmentProblem& problem,
                                         const std::vector<std::optional<std::size_t>>& chosen);

/// Whole tenths of an hour, as the choice counts them.
[[nodiscard]] std::int64_t tenths_of(double hours_outside);

}  // namespace mildway::planning
