// What a week's plan leaves of days and stock.
#pragma once

#include "mildway/planning/assignment.hpp"
#include "mildway/weekly/week.hpp"

#include <vector>

namespace mildway::weekly {

/// Of a week in which all that is kept or taken is counted. Days beyond the week have no limit.
class Room {
public:
    explicit Room(const Week& week);

    /// What would run out with one parcel more on that day that takes these things; empty: there is room.
    [[nodiscard]] std::vector<planning::Limit> lacking(Date day,
                                                       const std::vector<planning::StockUse>& uses) const;
    /// One parcel less, and that one again.
    void give_back(Date day, const std::vector<planning::StockUse>& uses) { count(day, uses, 1); }
    void take(Date day, const std::vector<planning::StockUse>& uses) { count(day, uses, -1); }

private:
    void count(Date day, const std::vector<planning::StockUse>& uses, int sign);
    /// Into places_, which it may lie beyond.
    [[nodiscard]] std::size_t index_of(Date day) const {
        return static_cast<std::size_t>((date::sys_days(day) - date::sys_days(from_)).count());
    }

    Date from_;
    std::vector<std::optional<int>> places_;  ///< [day]; empty: not limited
    std::vector<int> things_;                 ///< [stock item]
};

}  // namespace mildway::weekly
