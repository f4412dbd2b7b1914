// Orders, choices and what belongs to them into the tables. To be called inside a transaction.
#pragma once

#include "mildway/orders/order.hpp"

#include "query.hpp"

namespace mildway::orders {

struct WrittenBuyer {
    std::int64_t id = 0;
    bool changed = false;  ///< was there, with other fields
    Buyer before;          ///< when it changed
};

/// Finds the buyer by e-mail address and brings it up to date, or makes a new one. `former`: the buyer of the
/// order until now; 0 for a new order, which keeps what it leaves out as it was (filled in in `buyer`).
[[nodiscard]] WrittenBuyer write_buyer(Store& store, Buyer& buyer, std::int64_t former);
void remove_buyer_without_orders(Store& store, std::int64_t buyer);

/// Open, of revision 1, without what belongs to it; its id.
[[nodiscard]] std::int64_t insert_order(Store& store, const Order& order, std::int64_t buyer);
/// What a person entered.
void update_order(Store& store, const Order& order, std::int64_t buyer);

/// Animals, days away and services, in place of those written before.
void write_details(Store& store, const Order& order);

void write_choice(Store& store, std::int64_t order, const Choice& choice);
/// The order is planned with that choice, which was written before.
void put_in_force(Store& store, std::int64_t order, const Choice& choice);
/// The order has no choice any more; its state is `state`.
void put_out_of_force(Store& store, std::int64_t order, State state);
void write_proposal(Store& store, std::int64_t order, const Proposal& proposal);
void write_outcome(Store& store, std::int64_t order, const Outcome& outcome);
/// False when the order is not of that revision, or not planned with that version; nothing is written then.
[[nodiscard]] bool write_reassessment(Store& store, const Order& order, const Reassessment& found);
void write_event(Store& store, std::int64_t order, Instant at, std::string_view kind, std::string_view text);

}  // namespace mildway::orders
