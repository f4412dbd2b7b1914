#include "mildway/orders/order_book.hpp"

#include "mildway/base/errors.hpp"

#include "book_parts.hpp"
#include "connection.hpp"
#include "number_order.hpp"
#include "reading.hpp"
#include "schema.hpp"

#include <algorithm>
#include <iterator>
#include <numeric>

#include <fmt/format.h>

namespace mildway::orders {

namespace {

constexpr State kAllStates[] = {State::open, State::planned, State::handed_over, State::arrived,
                                State::cancelled};

std::unique_ptr<SQLite::Database> opened(const std::filesystem::path& file, OrderBook::Access access,
                                         std::chrono::milliseconds patience) {
    if (access == OrderBook::Access::read) return open_for_reading(file, patience);
    auto database = open_for_writing(file, patience);
    speaking_of(file, database->getHandle(), [&] { bring_up_to_date(*database, file); });
    return database;
}

/// Orders or their lines.
template <class One>
std::vector<One> by_number(std::vector<One> orders) {
    const auto before = [](const One& a, const One& b) { return number_before(a.number, b.number); };
    if (std::is_sorted(orders.begin(), orders.end(), before)) return orders;
    std::vector<std::size_t> places(orders.size());  // an order is large: each is moved once
    std::iota(places.begin(), places.end(), std::size_t{0});
    std::sort(places.begin(), places.end(),
              [&](std::size_t a, std::size_t b) { return before(orders[a], orders[b]); });
    std::vector<One> sorted;
    sorted.reserve(orders.size());
    for (const std::size_t place : places) sorted.push_back(std::move(orders[place]));
    return sorted;
}

/// What `read` gives for each wanted state, by number.
template <class Read>
auto of_states(Store& store, const Which& which, Read read) {
    return store.guarded([&] {
        const Snapshot same_state(store);
        decltype(read(store, State::open)) all;
        for (const State state : kAllStates) {
            const auto& wanted = which.states;
            if (!wanted.empty() && std::find(wanted.begin(), wanted.end(), state) == wanted.end()) continue;
            auto some = read(store, state);
            if (all.empty()) {
                all = std::move(some);
            } else {
                std::move(some.begin(), some.end(), std::back_inserter(all));
            }
        }
        return by_number(std::move(all));
    });
}

std::string no_such_order(Store& store, const std::string& number) {
    std::vector<std::string> numbers;
    Query row(store, "SELECT number FROM orders");
    while (row.next()) numbers.push_back(row.text());
    const std::string near = nearest_name(number, numbers);
    return fmt::format("there is no order '{}' in {}{}", number, store.file().string(),
                       near.empty() ? "" : fmt::format("; did you mean '{}'?", near));
}

std::optional<std::int64_t> id_of(Store& store, const std::string& number) {
    Query row(store, "SELECT id FROM orders WHERE number = ?1", number);
    if (!row.next()) return std::nullopt;
    return row.integer();
}

/// Orders whose animal_count or told_... say something else than the tables they were taken from.
constexpr const char* kNotAsTold =
    "SELECT o.number FROM orders o "
    "LEFT JOIN choices c ON c.order_id = o.id AND c.version = o.choice_version "
    "LEFT JOIN reassessments r ON r.id = (SELECT max(n.id) FROM reassessments n "
    "WHERE n.order_id = o.id AND n.choice_version = o.choice_version) "
    "WHERE o.animal_count <> (SELECT count(*) FROM animals a WHERE a.order_id = o.id) "
    "OR o.told_ship_date IS NOT c.ship_date OR o.told_delivery_date IS NOT c.delivery_date "
    "OR o.told_verdict IS NOT coalesce(r.standing, c.verdict) "
    "OR o.told_side IS NOT coalesce(r.side, c.side) "
    "OR o.told_flag IS NOT iif(c.version IS NULL, NULL, coalesce(r.flagged, 0))";

std::vector<std::string> faults_of(Store& store) {
    std::vector<std::string> faults;
    try {
        const Snapshot same_state(store);
        for (Query row(store, "PRAGMA integrity_check"); row.next();) {
            std::string line = row.text();
            if (line != "ok") faults.push_back(std::move(line));
        }
        for (Query row(store, "PRAGMA foreign_key_check"); row.next();) {
            const std::string table = row.text();
            row.skip();
            faults.push_back(
                fmt::format("a row of {} belongs to one of {} that is not there", table, row.text()));
        }
        for (Query row(store, kNotAsTold); row.next();) {
            faults.push_back(
                fmt::format("the line of order {} in a list is not what the order says", row.text()));
        }
        for (Query row(store, "SELECT number FROM orders WHERE id NOT IN (SELECT order_id FROM animals)");
             row.next();) {
            faults.push_back(fmt::format("order {} has no animals", row.text()));
        }
    } catch (const SQLite::Exception& error) {
        faults.emplace_back(error.what());
    }
    return faults;
}

}  // namespace

OrderBook::OrderBook(const std::filesystem::path& file, Access access, std::chrono::milliseconds patience)
    : parts_(new Parts{Store(file, opened(file, access, patience)), access, patience}) {}
OrderBook::~OrderBook() = default;
OrderBook::OrderBook(OrderBook&&) noexcept = default;
OrderBook& OrderBook::operator=(OrderBook&&) noexcept = default;

const std::filesystem::path& OrderBook::file() const {
    return parts_->store.file();
}

std::vector<Order> OrderBook::orders(const Which& which) const {
    return of_states(parts_->store, which,
                     [](Store& store, State state) { return read_orders(store, state); });
}

std::vector<OrderLine> OrderBook::lines(const Which& which) const {
    return of_states(parts_->store, which,
                     [](Store& store, State state) { return read_lines(store, state); });
}

Order OrderBook::order(const std::string& number) const {
    Store& store = parts_->store;
    return store.guarded([&] {
        const Snapshot same_state(store);
        const auto id = id_of(store, number);
        if (!id) throw UsageError(no_such_order(store, number));
        Order order = read_order(store, *id).at(0);
        if (order.choice) {
            Query row(store, "SELECT document FROM choice_documents WHERE order_id = ?1 AND version = ?2",
                      *id, order.choice->version);
            if (row.next()) order.choice->document = row.text();
        }
        return order;
    });
}

bool OrderBook::has(const std::string& number) const {
    Store& store = parts_->store;
    return store.guarded([&] { return id_of(store, number).has_value(); });
}

std::vector<std::string> OrderBook::faults() const {
    if (parts_->access == Access::write || parts_->store.in_memory()) return faults_of(parts_->store);
    Store checked(file(), open_for_checking(file(), parts_->patience));
    return faults_of(checked);
}

}  // namespace mildway::orders
