#include "query.hpp"

#include "mildway/base/errors.hpp"

#include <utility>

#include <fmt/format.h>
#include <sqlite3.h>

namespace mildway::orders {

Store::Store(std::filesystem::path file, std::unique_ptr<SQLite::Database> database)
    : file_(std::move(file)), database_(std::move(database)) {}

bool Store::in_transaction() const {
    return sqlite3_get_autocommit(database_->getHandle()) == 0;
}

SQLite::Statement& Store::statement(std::string_view sql) {
    const auto known = statements_.find(sql);
    if (known != statements_.end()) return known->second;
    std::string text(sql);
    SQLite::Statement made(*database_, text);
    return statements_.emplace(std::move(text), std::move(made)).first->second;
}

Query::~Query() {
    statement_->tryReset();
}

void Query::bind(int index, Blob value) {
    // Of no bytes, a null pointer would be NULL
    const char* bytes = value.bytes.empty() ? "" : value.bytes.data();
    statement_->bind(index, static_cast<const void*>(bytes), static_cast<int>(value.bytes.size()));
}

void Query::bind(int index, Date value) {
    // format_date takes as long as writing the whole row
    statement_->bind(index,
                     fmt::format("{:04}-{:02}-{:02}", static_cast<int>(value.year()),
                                 static_cast<unsigned>(value.month()), static_cast<unsigned>(value.day())));
}

bool Query::next() {
    column_ = 0;
    return statement_->executeStep();
}

int Query::run() {
    return statement_->exec();
}

std::string Query::text() {
    return std::string(view());
}

std::string_view Query::view() {
    const SQLite::Column value = column();
    const auto* bytes = static_cast<const char*>(value.getBlob());
    return {bytes == nullptr ? "" : bytes, static_cast<std::size_t>(value.getBytes())};
}

std::int64_t Query::integer() {
    return column().getInt64();
}

int Query::small_integer() {
    return column().getInt();
}

bool Query::flag() {
    return column().getInt() != 0;
}

double Query::number() {
    return column().getDouble();
}

std::optional<double> Query::maybe_number() {
    const SQLite::Column value = column();
    if (value.isNull()) return std::nullopt;
    return value.getDouble();
}

Instant Query::instant() {
    return Instant(seconds(integer()));
}

std::optional<Instant> Query::maybe_instant() {
    if (!is_null()) return instant();
    skip();
    return std::nullopt;
}

Date Query::date() {
    const std::string_view text = view();
    // parse_date would take most of the time of reading an order; that it is a date was checked on writing.
    const auto digits = [&](std::size_t from, std::size_t count) {
        int value = 0;
        for (std::size_t i = from; i < from + count; ++i) value = value * 10 + (text[i] - '0');
        return value;
    };
    if (text.size() != 10) damaged();
    const Date day(date::year(digits(0, 4)), date::month(static_cast<unsigned>(digits(5, 2))),
                   date::day(static_cast<unsigned>(digits(8, 2))));
    if (!day.ok()) damaged();
    return day;
}

std::optional<Date> Query::maybe_date() {
    if (!is_null()) return date();
    skip();
    return std::nullopt;
}

void Query::damaged() const {
    throw InputError(
        store_->file().string(), "", 0,
        fmt::format("is damaged (a wrong value of {}); keep it as it is, and go back to a copy of it",
                    statement_->getColumnName(column_ - 1)));
}

Snapshot::Snapshot(Store& store) : store_(&store), own_(!store.in_transaction()) {
    if (own_) Query(store, "BEGIN").run();
}

Snapshot::~Snapshot() {
    if (own_) store_->database().tryExec("ROLLBACK");
}

}  // namespace mildway::orders
