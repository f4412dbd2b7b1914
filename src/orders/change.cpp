#include "mildway/base/errors.hpp"
#include "mildway/orders/order_book.hpp"
#include "mildway/orders/order_fields.hpp"

#include "book_parts.hpp"
#include "checked_order.hpp"
#include "reading.hpp"
#include "write_lock.hpp"
#include "writing.hpp"

#include <algorithm>
#include <initializer_list>
#include <map>
#include <string_view>

#include <fmt/format.h>

namespace mildway::orders {

namespace {

/// What decides whether a change may be made.
struct Standing {
    State state = State::open;
    std::string number;
    std::int64_t revision = 0;
    std::int64_t buyer = 0;
    std::optional<Instant> handed_over;
};

Standing standing_of(Store& store, std::int64_t id) {
    Query row(store, "SELECT state, number, revision, buyer_id, handed_over FROM orders WHERE id = ?1", id);
    if (!row.next()) throw UsageError(fmt::format("there is no order of id {} in the book", id));
    Standing standing;
    standing.state = row.named(state_of);
    standing.number = row.text();
    standing.revision = row.integer();
    standing.buyer = row.integer();
    standing.handed_over = row.maybe_instant();
    return standing;
}

int next_version(Store& store, const char* newest, std::int64_t order) {
    Query row(store, newest, order);
    row.next();
    return row.small_integer() + 1;
}

bool number_taken(Store& store, const std::string& number, std::int64_t but) {
    Query row(store, "SELECT 1 FROM orders WHERE number = ?1 AND id <> ?2", number, but);
    return row.next();
}

std::string days_of(const Proposal& proposal) {
    std::string days;
    for (const Proposal::Day& day : proposal.days)
        days += fmt::format("{}{}", days.empty() ? "" : ", ", format_day(day.ship_date));
    return days;
}

/// Why the days that were proposed do not stand for what the order is changed to; empty: they do.
std::string proposal_ends(Store& store, const Order& changed) {
    const Order before = read_order(store, changed.id).at(0);
    if (!before.proposal) return "";
    std::string why;
    for (const std::string& reason : why_proposal_ends(before, changed))
        why += (why.empty() ? "" : "; ") + reason;
    return why;
}

void check_choice(const Choice& choice) {
    check_day(choice.ship_date, "the ship date");
    check_day(choice.delivery_date, "the delivery date");
}

}  // namespace

struct Change::Parts {
    Store& store;
    Instant now;
    WriteLock lock;
    /// How often orders were counted up here because another order of their buyer changed.
    std::map<std::int64_t, std::int64_t> counted_up;
    std::int64_t last_free_number = 0;

    /// `doing` is for a person: "cancelled".
    Standing allowed(const Order& expected, std::initializer_list<State> from, std::string_view doing) const {
        const Standing standing = standing_of(store, expected.id);
        const auto here = counted_up.find(expected.id);
        const std::int64_t own = here == counted_up.end() ? 0 : here->second;
        if (expected.revision < standing.revision - own || expected.revision > standing.revision) {
            throw UsageError(fmt::format("order {} has been changed since it was read; look at it again",
                                         standing.number));
        }
        if (std::find(from.begin(), from.end(), standing.state) == from.end()) {
            throw UsageError(fmt::format("order {} is {} and cannot be {}", standing.number,
                                         state_name(standing.state), doing));
        }
        return standing;
    }

    /// Counts the order up and says why.
    void record(std::int64_t order, std::string_view kind, std::string_view text) const {
        Query(store, "UPDATE orders SET revision = revision + 1, changed = ?2 WHERE id = ?1", order, now)
            .run();
        write_event(store, order, now, kind, text);
    }

    std::string free_number() {
        if (last_free_number == 0) {
            Query row(store,
                      "SELECT max(CAST(number AS INTEGER)) FROM orders "
                      "WHERE number NOT GLOB '*[^0-9]*' AND length(number) < 10");
            row.next();
            last_free_number = row.integer();
        }
        while (number_taken(store, std::to_string(++last_free_number), 0)) continue;
        return std::to_string(last_free_number);
    }

    /// Others that share the buyer show the buyer's new fields, whatever their state: whoever read them
    /// before has to look again.
    void tell_orders_of(const WrittenBuyer& buyer, const Order& but) {
        if (!buyer.changed) return;
        const std::string what = fmt::format("with order {}: {}", but.number,
                                             changes_text(buyer_differences(buyer.before, but.buyer)));
        std::vector<std::int64_t> others;
        {
            Query row(store, "SELECT id FROM orders WHERE buyer_id = ?1 AND id <> ?2", buyer.id, but.id);
            while (row.next()) others.push_back(row.integer());
        }
        for (const std::int64_t other : others) {
            record(other, "changed", what);
            ++counted_up[other];
        }
    }
};

Change::Change(OrderBook& book, Instant now) {
    Store& store = book.parts_->writable();
    store.guarded([&] { parts_.reset(new Parts{store, now, WriteLock(store), {}, 0}); });
}

Change::~Change() = default;

void Change::commit() {
    parts_->store.guarded([&] { parts_->lock.commit(); });
}

Order Change::add(Order order) {
    check_order(order);
    Store& store = parts_->store;
    return store.guarded([&] {
        if (order.number.empty()) order.number = parts_->free_number();
        if (number_taken(store, order.number, 0))
            throw UsageError(fmt::format("there is an order {} already", order.number));
        const auto buyer = write_buyer(store, order.buyer, 0);
        order.state = State::open;
        order.entered = order.changed = parts_->now;
        order.revision = 1;
        order.choice.reset();
        order.proposal.reset();
        order.handed_over.reset();
        order.id = insert_order(store, order, buyer.id);
        write_details(store, order);
        write_event(store, order.id, parts_->now, "entered", "");
        parts_->tell_orders_of(buyer, order);
        return order;
    });
}

void Change::edit(const Order& order, const std::string& what) {
    check_order(order);
    Store& store = parts_->store;
    store.guarded([&] {
        const Standing before = parts_->allowed(order, {State::open, State::planned}, "changed");
        if (order.number.empty()) throw UsageError(fmt::format("order {} needs a number", before.number));
        if (number_taken(store, order.number, order.id))
            throw UsageError(fmt::format("there is an order {} already", order.number));
        Order changed = order;
        const auto no_proposal = proposal_ends(store, changed);
        const auto buyer = write_buyer(store, changed.buyer, before.buyer);
        update_order(store, changed, buyer.id);
        write_details(store, changed);
        if (buyer.id != before.buyer) remove_buyer_without_orders(store, before.buyer);
        parts_->record(order.id, "changed", what);
        if (!no_proposal.empty()) {
            Query(store, "UPDATE orders SET proposal_version = NULL WHERE id = ?1", order.id).run();
            write_event(store, order.id, parts_->now, "proposal ended", no_proposal);
        }
        parts_->tell_orders_of(buyer, changed);
    });
}

int Change::choose(const Order& expected, Choice choice) {
    check_choice(choice);
    Store& store = parts_->store;
    return store.guarded([&] {
        parts_->allowed(expected, {State::open, State::planned}, "planned");
        choice.version = next_version(
            store, "SELECT coalesce(max(version), 0) FROM choices WHERE order_id = ?1", expected.id);
        write_choice(store, expected.id, choice);
        put_in_force(store, expected.id, choice);
        parts_->record(expected.id, "planned",
                       fmt::format("for {}, {}, {}", format_day(choice.ship_date), choice.service_label,
                                   choice.packing_label));
        return choice.version;
    });
}

void Change::take_back(const Order& expected, const std::string& why) {
    check_reason(expected, why);
    Store& store = parts_->store;
    store.guarded([&] {
        parts_->allowed(expected, {State::planned}, "taken back");
        put_out_of_force(store, expected.id, State::open);
        parts_->record(expected.id, "taken back", why);
    });
}

void Change::cancel(const Order& expected, const std::string& why) {
    check_reason(expected, why);
    Store& store = parts_->store;
    store.guarded([&] {
        parts_->allowed(expected, {State::open, State::planned}, "cancelled");
        put_out_of_force(store, expected.id, State::cancelled);
        parts_->record(expected.id, "cancelled", why);
    });
}

void Change::hand_over(const Order& expected, Instant at) {
    Store& store = parts_->store;
    store.guarded([&] {
        parts_->allowed(expected, {State::planned}, "handed over");
        Query(store, "UPDATE orders SET handed_over = ?2, state = 'handed-over' WHERE id = ?1", expected.id,
              at)
            .run();
        parts_->record(expected.id, "handed over", format_instant(at));
    });
}

void Change::take_back_hand_over(const Order& expected, const std::string& why) {
    if (why.find_first_not_of(' ') == std::string::npos)
        throw UsageError(fmt::format("order {} is handed-over; to take that back, say why", expected.number));
    Store& store = parts_->store;
    store.guarded([&] {
        parts_->allowed(expected, {State::handed_over}, "taken back from its hand-over");
        Query(store, "UPDATE orders SET handed_over = NULL, state = 'planned' WHERE id = ?1", expected.id)
            .run();
        parts_->record(expected.id, "hand-over taken back", why);
    });
}

void Change::arrive(const Order& expected, const Outcome& outcome) {
    Store& store = parts_->store;
    store.guarded([&] {
        const Standing standing = parts_->allowed(expected, {State::handed_over}, "marked as arrived");
        check_outcome(expected, outcome);
        if (standing.handed_over && outcome.arrived < *standing.handed_over) {
            throw UsageError(fmt::format(
                "order {} cannot have arrived at {}, before it was handed over at {}", standing.number,
                format_instant(outcome.arrived), format_instant(*standing.handed_over)));
        }
        write_outcome(store, expected.id, outcome);
        Query(store, "UPDATE orders SET state = 'arrived' WHERE id = ?1", expected.id).run();
        parts_->record(
            expected.id, "arrived",
            fmt::format("{} of {} alive, {} well", outcome.alive, expected.animals.size(), outcome.well));
    });
}

int Change::propose(const Order& expected, Proposal proposal) {
    for (const Proposal::Day& day : proposal.days) {
        check_day(day.ship_date, "a proposed ship date");
        check_day(day.arrival_date, "a proposed arrival date");
    }
    Store& store = parts_->store;
    return store.guarded([&] {
        parts_->allowed(expected, {State::open}, "given days to choose from");
        proposal.version = next_version(
            store, "SELECT coalesce(max(version), 0) FROM proposals WHERE order_id = ?1", expected.id);
        write_proposal(store, expected.id, proposal);
        Query(store, "UPDATE orders SET proposal_version = ?2 WHERE id = ?1", expected.id, proposal.version)
            .run();
        parts_->record(expected.id, "proposed", proposal.days.empty() ? "no day" : days_of(proposal));
        return proposal.version;
    });
}

bool Change::reassess(const Order& expected, const Reassessment& found) {
    if (found.better_day) check_day(*found.better_day, "the better day");
    Store& store = parts_->store;
    return store.guarded([&] {
        if (!write_reassessment(store, expected, found)) return false;
        if (!found.sentence.empty()) write_event(store, expected.id, parts_->now, "checked", found.sentence);
        return true;
    });
}

}  // namespace mildway::orders
