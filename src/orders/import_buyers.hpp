// Buyers while a table is held against a book.
#pragma once

#include "mildway/orders/order_import.hpp"

#include <map>
#include <string>
#include <unordered_map>
#include <vector>

namespace mildway::orders {

/// Buyers by address, as they are in the book and as the file tells of them. Orders of one address share the
/// buyer, so what one row tells is true of all of them, and two rows may not tell two things.
class ImportBuyers {
public:
    explicit ImportBuyers(const std::vector<Order>& known);

    /// As in the book; null when it does not know the address.
    [[nodiscard]] const Buyer* known(const std::string& email) const;
    /// Gives the order the known buyer of an address that `texts` tell.
    void start(Order& order, const FieldTexts& texts) const;
    /// Notes what the row tells of its buyer; `order` holds it already.
    void note(const TableOrder& row, const Order& order, std::vector<TableFault>& faults);
    /// Gives an order what any row told of its buyer.
    void share(Order& order) const;

private:
    struct Told {
        std::string value;
        int line;
    };
    std::unordered_map<std::string, const Buyer*> known_;
    std::unordered_map<std::string, std::map<Field, Told>> told_;
};

}  // namespace mildway::orders
