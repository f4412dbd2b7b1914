// The write lock, taken at the beginning: a transaction that reads first and writes later fails when another
// one has written meanwhile.
#pragma once

#include "query.hpp"

#include <optional>

#include <SQLiteCpp/Transaction.h>

namespace mildway::orders {

/// Rolls back unless committed. Inside another one of the same store it is part of that one.
class WriteLock {
public:
    explicit WriteLock(Store& store) {
        if (!store.in_transaction())
            transaction_.emplace(store.database(), SQLite::TransactionBehavior::IMMEDIATE);
    }
    void commit() {
        if (transaction_) transaction_->commit();
    }

private:
    std::optional<SQLite::Transaction> transaction_;
};

}  // namespace mildway::orders
