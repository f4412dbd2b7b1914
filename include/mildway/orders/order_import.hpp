// What a table of orders would change in a book, and changing it.
#pragma once

#include "mildway/orders/order_book.hpp"
#include "mildway/orders/order_table.hpp"

#include <string>
#include <vector>

namespace mildway::orders {

/// What becomes of an order of the table. refused: it differs, but its state allows no change any more.
enum class ImportKind { added, changed, same, refused };

struct ImportEntry {
    ImportKind kind = ImportKind::same;
    int line = 0;                        ///< 0: the file does not name it
    Order order;                         ///< as it would be
    std::vector<FieldChange> changes;    ///< of an order that is there; of a new one, those to a known buyer
    std::vector<std::string> plan_ends;  ///< reasons why it would be open again
    State state = State::open;           ///< before
    /// Of an order that changes only because it shares the buyer: the number of the one that changes the
    /// buyer, and writes it. Empty: it is written itself.
    std::string along_with;
};

struct ImportPlan {
    std::string file;
    /// In the order of the file; then those of the book that only share a buyer with them.
    std::vector<ImportEntry> entries;
    std::vector<TableFault> faults;  ///< of the whole file; with any, nothing can be applied

    [[nodiscard]] std::size_t count(ImportKind kind) const;
};

/// `known` are all orders of the book. A cell that tells nothing leaves what an order has; of a new order it
/// leaves what is usual: `scale` for a buyer who is not known yet.
[[nodiscard]] ImportPlan plan_import(const OrderTable& table, const std::vector<Order>& known,
                                     const FieldHelp& help, TemperatureScale scale);

/// Orders of one e-mail address share the buyer: when `texts` tell an address that another order of the book
/// has, the order begins with that buyer. To be called before take_fields().
void start_from_known_buyer(Order& order, const FieldTexts& texts, const std::vector<Order>& known);

/// Another order of the book whose buyer changes with an order.
struct SharingOrder {
    std::string number;
    State state = State::open;
    std::vector<FieldChange> changes;
};
/// Those which change when `changed` is written, whatever their state.
[[nodiscard]] std::vector<SharingOrder> orders_sharing(const Order& changed, const std::vector<Order>& known);

/// Adds and changes, all or nothing. Throws InputError when there are faults or refused orders; UsageError
/// when the book has changed since.
void apply_import(OrderBook& book, const ImportPlan& plan, Instant now);

/// Writes a changed order within a change, and takes its plan back where that does not stand any more.
void write_changed(Change& change, const OrderBook& book, const Order& order,
                   const std::vector<FieldChange>& changes, const std::vector<std::string>& plan_ends);

/// All or nothing, and everything that is wrong told at once: throws InputError unless there are no faults.
void refuse_faults(const std::string& file, const std::vector<TableFault>& faults);

}  // namespace mildway::orders
