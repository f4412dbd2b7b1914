// The order book: one SQLite file.
//
// Safe against crashes (WAL, synchronous=FULL) and against other programs at the same time: every change is
// one transaction that takes the write lock first (BEGIN IMMEDIATE) and waits up to ten seconds for it.
#pragma once

#include "mildway/orders/order.hpp"

#include <chrono>
#include <cstdint>
#include <filesystem>
#include <memory>
#include <optional>
#include <string>
#include <vector>

namespace mildway::orders {

/// In the workspace's folder.
inline constexpr const char* kBookFile = "orders.sqlite";

inline constexpr std::chrono::milliseconds kPatience{10'000};

/// Which orders. Empty: any state.
struct Which {
    std::vector<State> states;
};

/// What a list of orders shows of one.
struct OrderLine {
    std::int64_t id = 0;
    std::string number;
    State state = State::open;
    std::string buyer;        ///< name, or else the e-mail address; may be empty
    std::string destination;  ///< name of the place, or else as it was typed
    std::string species;
    int animals = 0;
    std::optional<Date> ship_date;  ///< of the choice in force, as are the next three
    std::optional<Date> delivery_date;
    std::optional<Verdict> verdict;      ///< as the newest check tells it, or as it was chosen
    Side side = Side::cold;              ///< of the verdict
    bool flagged = false;                ///< by the newest check
    std::optional<Instant> handed_over;  ///< of a handed-over order, as is the next
    std::optional<Instant> cut_off;      ///< of its choice
    std::optional<Date> earliest_arrival;
    std::optional<Date> latest_arrival;
    std::optional<std::vector<Date>> proposed;  ///< of an open order: ship dates of the newest proposal

    struct Arrival {
        Instant at;
        std::string zone;  ///< of the place
        int alive = 0;
    };
    std::optional<Arrival> arrival;  ///< of an arrived order
};

/// An open order book. Not for several threads at once; each opens its own.
///
/// Throws, here and below: SystemError when the disk is full, the file cannot be read or written, or another
/// program keeps it locked; InputError when the file is no order book, is damaged, or was written by a newer
/// program. Nothing is changed then.
class OrderBook {
public:
    enum class Access { read, write };

    /// Reading a file that is not there is an empty book; writing creates it, mode 0600. An older book is
    /// brought up to date when it is opened for writing, after a copy "orders.sqlite.before-N" was made.
    /// `patience`: how long to wait for another program's lock.
    explicit OrderBook(const std::filesystem::path& file, Access access = Access::read,
                       std::chrono::milliseconds patience = kPatience);
    ~OrderBook();
    OrderBook(OrderBook&&) noexcept;
    OrderBook& operator=(OrderBook&&) noexcept;
    OrderBook(const OrderBook&) = delete;
    OrderBook& operator=(const OrderBook&) = delete;

    /// With animals, buyer, choice in force and newest proposal, without documents; by number, numbers in
    /// them as numbers ("JB-9" before "JB-10").
    [[nodiscard]] std::vector<Order> orders(const Which& which = {}) const;
    /// The same orders in the same order, in a fifth of the time.
    [[nodiscard]] std::vector<OrderLine> lines(const Which& which = {}) const;
    /// With the choice's document. Throws UsageError, with the nearest number, when there is none.
    [[nodiscard]] Order order(const std::string& number) const;
    [[nodiscard]] bool has(const std::string& number) const;
    [[nodiscard]] std::vector<Event> events(std::int64_t order) const;                ///< oldest first
    [[nodiscard]] std::vector<Choice> choices(std::int64_t order) const;              ///< oldest first
    [[nodiscard]] std::vector<Reassessment> reassessments(std::int64_t order) const;  ///< oldest first
    /// The newest of each of the orders, in the same order; of their choices in force only.
    [[nodiscard]] std::vector<std::optional<Reassessment>> newest_reassessments(
        const std::vector<Order>& orders) const;
    [[nodiscard]] std::optional<Outcome> outcome(std::int64_t order) const;

    /// What is wrong with the file, a sentence each (PRAGMA integrity_check, foreign_key_check); empty:
    /// sound. Reads all of it. A bit that flipped inside a text or a number does not show.
    [[nodiscard]] std::vector<std::string> faults() const;

    [[nodiscard]] const std::filesystem::path& file() const;

private:
    friend class Change;
    friend class Outbox;
    struct Parts;
    std::unique_ptr<Parts> parts_;
};

/// One transaction: all of it or nothing. Takes the write lock at once; rolls back unless committed.
///
/// `expected` is the order as the caller read it: when its revision has changed since, UsageError says so and
/// names the order. What a state does not allow is a UsageError, too. Every change writes an event.
class Change {
public:
    Change(OrderBook& book, Instant now);
    ~Change();
    Change(const Change&) = delete;
    Change& operator=(const Change&) = delete;
    Change(Change&&) = delete;
    Change& operator=(Change&&) = delete;

    /// A new open order; an empty number is given the next free one ("1", "2", ...). Returns it with number,
    /// id and revision. UsageError when the number is there already.
    Order add(Order order);
    /// Writes every field of an open or planned order but its state and choice. Days that were proposed end
    /// when they do not rest on the order any more (why_proposal_ends). `what` is for the event: "mass of the
    /// first animal 31 g instead of 28 g".
    void edit(const Order& order, const std::string& what);
    /// Plans an open or planned order. The choice's version is set here, and returned.
    int choose(const Order& expected, Choice choice);
    /// A planned order is open again.
    void take_back(const Order& expected, const std::string& why);
    void cancel(const Order& expected, const std::string& why);
    /// A planned order; `at` is when it was handed over.
    void hand_over(const Order& expected, Instant at);
    /// A handed-over order was not: it is planned again, as it was. `why` must be told.
    void take_back_hand_over(const Order& expected, const std::string& why);
    /// A handed-over order.
    void arrive(const Order& expected, const Outcome& outcome);
    /// The newest proposal to an open order; its version is set here, and returned.
    int propose(const Order& expected, Proposal proposal);
    /// What a check found; false when the order was changed since it was read, or is not planned with that
    /// version: nothing is written then. Leaves the revision as it is; an event is written when there is a
    /// sentence.
    bool reassess(const Order& expected, const Reassessment& found);

    void commit();

private:
    struct Parts;
    std::unique_ptr<Parts> parts_;
};

}  // namespace mildway::orders
