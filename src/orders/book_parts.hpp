// What an open order book holds.
#pragma once

#include "mildway/orders/order_book.hpp"

#include "query.hpp"

#include <stdexcept>

namespace mildway::orders {

struct OrderBook::Parts {
    Store store;
    Access access;
    std::chrono::milliseconds patience;

    /// The store, to be changed.
    [[nodiscard]] Store& writable() {
        if (access != Access::write) throw std::logic_error("this order book was opened for reading");
        return store;
    }
};

}  // namespace mildway::orders
