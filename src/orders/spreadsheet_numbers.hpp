// Numbers of orders that are one number to a spreadsheet: "7", "007", "7.0".
#pragma once

#include "mildway/orders/order_table.hpp"

#include <string>
#include <unordered_map>
#include <vector>

namespace mildway::orders {

class SpreadsheetNumbers {
public:
    explicit SpreadsheetNumbers(const std::vector<Order>& known);

    /// Why a number that the book does not have may be one that it has, or that an earlier row tells, changed
    /// by a spreadsheet; empty: it may not.
    [[nodiscard]] std::string fault_of_new(const TableOrder& row);

private:
    struct Seen {
        std::string number;
        int line;  ///< 0: in the book
    };
    std::unordered_map<std::string, Seen> seen_;  ///< by what a spreadsheet makes of it
};

}  // namespace mildway::orders
