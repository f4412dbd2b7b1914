// Statements that are made once and used often; values in and out in our types.
#pragma once

#include "mildway/base/time.hpp"

#include <cstdint>
#include <filesystem>
#include <functional>
#include <map>
#include <memory>
#include <optional>
#include <string>
#include <string_view>

#include <SQLiteCpp/Column.h>
#include <SQLiteCpp/Database.h>
#include <SQLiteCpp/Statement.h>

namespace mildway::orders {

/// Bytes that are no text.
struct Blob {
    std::string_view bytes;
};

/// An open database with its statements.
class Store {
public:
    Store(std::filesystem::path file, std::unique_ptr<SQLite::Database> database);

    [[nodiscard]] const std::filesystem::path& file() const { return file_; }
    [[nodiscard]] SQLite::Database& database() { return *database_; }
    [[nodiscard]] bool in_memory() const { return database_->getFilename() == ":memory:"; }
    [[nodiscard]] bool in_transaction() const;
    [[nodiscard]] std::int64_t last_id() const { return database_->getLastInsertRowid(); }
    [[nodiscard]] SQLite::Statement& statement(std::string_view sql);

    /// Calls `work`; SQLite's errors leave as ours.
    template <class Work>
    decltype(auto) guarded(Work&& work);

private:
    std::filesystem::path file_;
    std::unique_ptr<SQLite::Database> database_;
    std::map<std::string, SQLite::Statement, std::less<>> statements_;
};

/// One use of a statement. Resets it at the end: a SELECT left in the middle would hold its read lock, and
/// the write-ahead log could not be emptied.
class Query {
public:
    template <class... Values>
    explicit Query(Store& store, std::string_view sql, const Values&... values)
        : store_(&store), statement_(&store.statement(sql)) {
        int index = 0;
        (bind(++index, values), ...);
    }
    ~Query();
    Query(const Query&) = delete;
    Query& operator=(const Query&) = delete;
    Query(Query&&) = delete;
    Query& operator=(Query&&) = delete;

    /// Steps to the next row; the columns are read from the first one on.
    bool next();
    /// Carries the statement out; the number of rows changed.
    int run();

    // The next column of the row. InputError when it does not hold what it should: the file is damaged.
    [[nodiscard]] std::string text();
    [[nodiscard]] std::int64_t integer();
    [[nodiscard]] int small_integer();
    [[nodiscard]] bool flag();
    [[nodiscard]] double number();
    [[nodiscard]] std::optional<double> maybe_number();
    [[nodiscard]] Instant instant();
    [[nodiscard]] std::optional<Instant> maybe_instant();
    [[nodiscard]] Date date();
    [[nodiscard]] std::optional<Date> maybe_date();
    /// The value that `find` knows by the name in the column.
    template <class Find>
    [[nodiscard]] auto named(Find find) {
        const auto value = find(view());
        if (!value) damaged();
        return *value;
    }
    [[nodiscard]] bool is_null() const { return statement_->isColumnNull(column_); }
    void skip(int columns = 1) { column_ += columns; }

private:
    void bind(int index, std::int64_t value) { statement_->bind(index, value); }
    void bind(int index, int value) { statement_->bind(index, value); }
    void bind(int index, bool value) { statement_->bind(index, value ? 1 : 0); }
    void bind(int index, double value) { statement_->bind(index, value); }
    void bind(int index, const std::string& value) { statement_->bind(index, value); }
    void bind(int index, std::string_view value) { statement_->bind(index, std::string(value)); }
    void bind(int index, Blob value);
    void bind(int index, Instant value) { bind(index, std::int64_t{value.time_since_epoch().count()}); }
    void bind(int index, Date value);
    template <class Value>
    void bind(int index, const std::optional<Value>& value) {
        if (value) {
            bind(index, *value);
        } else {
            statement_->bind(index);
        }
    }
    SQLite::Column column() { return statement_->getColumn(column_++); }
    std::string_view view();
    [[noreturn]] void damaged() const;

    Store* store_;
    SQLite::Statement* statement_;
    int column_ = 0;
};

/// Several statements that see the same state of the book; nothing of its own inside a change.
class Snapshot {
public:
    explicit Snapshot(Store& store);
    ~Snapshot();
    Snapshot(const Snapshot&) = delete;
    Snapshot& operator=(const Snapshot&) = delete;
    Snapshot(Snapshot&&) = delete;
    Snapshot& operator=(Snapshot&&) = delete;

private:
    Store* store_;
    bool own_;
};

}  // namespace mildway::orders

#include "store_errors.hpp"

template <class Work>
decltype(auto) mildway::orders::Store::guarded(Work&& work) {
    return speaking_of(file_, database_->getHandle(), std::forward<Work>(work));
}
