#include "mildway/orders/outbox.hpp"

#include "mildway/base/errors.hpp"
#include "mildway/base/names.hpp"

#include "book_parts.hpp"
#include "write_lock.hpp"
#include "writing.hpp"

#include <algorithm>
#include <array>
#include <initializer_list>
#include <stdexcept>

#include <fmt/format.h>

namespace mildway::orders {

namespace {

constexpr std::array<std::string_view, 8> kStates{"written", "claimed",  "on-wire", "sent",
                                                  "refused", "in-doubt", "dropped", "overtaken"};

std::optional<MessageState> message_state_of(std::string_view name) {
    return value_named<MessageState>(kStates, name);
}

constexpr std::string_view kToldAnotherWay = "told another way";

constexpr const char* kColumns =
    "m.id, m.order_id, o.number, m.kind, m.version, m.issue, m.told, m.order_revision, m.to_address, "
    "m.subject, m.message_id, m.state, "
    "m.attempts, "
    "m.written, m.tried, m.reply";

/// In the order of kColumns.
Message read_message(Query& row) {
    Message message;
    message.id = row.integer();
    message.order = row.integer();
    message.number = row.text();
    message.kind = row.text();
    message.version = row.small_integer();
    message.issue = row.small_integer();
    message.told = row.text();
    message.order_revision = row.integer();
    message.to = row.text();
    message.subject = row.text();
    message.message_id = row.text();
    message.state = row.named(message_state_of);
    message.attempts = row.small_integer();
    message.written = row.instant();
    message.tried = row.maybe_instant();
    message.reply = row.text();
    return message;
}

std::vector<Message> in_state(Store& store, MessageState state) {
    std::vector<Message> messages;
    Query row(store,
              fmt::format("SELECT {} FROM outbox m JOIN orders o ON o.id = m.order_id WHERE m.state = ?1 "
                          "ORDER BY m.id",
                          kColumns),
              message_state_name(state));
    while (row.next()) messages.push_back(read_message(row));
    return messages;
}

MessageState state_in(Store& store, std::int64_t id) {
    Query row(store, "SELECT state FROM outbox WHERE id = ?1", id);
    if (!row.next()) throw UsageError(fmt::format("there is no message {} in the outbox", id));
    return row.named(message_state_of);
}

/// For a person: "message 7 is sent; it cannot become dropped".
void move(Store& store, std::int64_t id, std::initializer_list<MessageState> from, MessageState to) {
    const MessageState state = state_in(store, id);
    if (std::find(from.begin(), from.end(), state) == from.end()) {
        throw UsageError(fmt::format("message {} is {}; it cannot become {}", id, message_state_name(state),
                                     message_state_name(to)));
    }
    Query(store, "UPDATE outbox SET state = ?2 WHERE id = ?1", id, message_state_name(to)).run();
}

/// The same, with what the server said.
void answer(Store& store, std::int64_t id, std::initializer_list<MessageState> from, MessageState to,
            std::string_view reply) {
    store.guarded([&] {
        WriteLock lock(store);
        move(store, id, from, to);
        Query(store, "UPDATE outbox SET reply = ?2 WHERE id = ?1", id, reply).run();
        lock.commit();
    });
}

}  // namespace

std::string_view message_state_name(MessageState state) {
    return kStates[static_cast<std::size_t>(state)];
}

std::string Message::key() const {
    return fmt::format("{}/{}/{}/{}", order, kind, version, issue);
}

Outbox::Outbox(OrderBook& book) : book_(&book) {}

bool Outbox::write(const Message& message) {
    Store& store = book_->parts_->writable();
    return store.guarded([&] {
        WriteLock lock(store);
        const int written =
            Query(store,
                  "INSERT INTO outbox (order_id, kind, version, issue, told, order_revision, to_address, "
                  "subject, message_id, state, attempts, written, reply) VALUES (?1, ?2, ?3, ?4, ?5, "
                  "CASE ?6 WHEN 0 THEN (SELECT revision FROM orders WHERE id = ?1) ELSE ?6 END, ?7, ?8, ?9, "
                  "'written', 0, ?10, '') ON CONFLICT (order_id, kind, version, issue) DO NOTHING",
                  message.order, message.kind, message.version, message.issue, message.told,
                  message.order_revision, message.to, message.subject, message.message_id, message.written)
                .run();
        if (written == 0) return false;
        Query(store, "INSERT INTO outbox_bytes VALUES (?1, ?2)", store.last_id(), Blob{message.bytes}).run();
        lock.commit();
        return true;
    });
}

std::int64_t Outbox::told(const Message& what, Instant now) {
    Store& store = book_->parts_->writable();
    return store.guarded([&] {
        WriteLock lock(store);
        Query(store,
              "UPDATE outbox SET state = 'overtaken' WHERE order_id = ?1 AND kind = ?2 AND version = ?3 "
              "AND told = ?4 AND (state = 'written' OR state = 'refused')",
              what.order, what.kind, what.version, what.told)
            .run();
        Query(
            store,
            "INSERT INTO outbox (order_id, kind, version, issue, told, order_revision, to_address, "
            "subject, message_id, state, attempts, written, reply) VALUES (?1, ?2, ?3, "
            "(SELECT coalesce(max(issue), 0) + 1 FROM outbox WHERE order_id = ?1 AND kind = ?2 AND "
            "version = ?3), ?4, (SELECT revision FROM orders WHERE id = ?1), '', ?5, '', 'sent', 0, ?6, '')",
            what.order, what.kind, what.version, what.told, kToldAnotherWay, now)
            .run();
        const std::int64_t id = store.last_id();
        Query(store, "INSERT INTO outbox_bytes VALUES (?1, ?2)", id, Blob{""}).run();
        write_event(store, what.order, now, "told another way", what.kind);
        lock.commit();
        return id;
    });
}

std::vector<Message> Outbox::messages(std::optional<MessageState> state) const {
    Store& store = book_->parts_->store;
    return store.guarded([&] {
        if (state) return in_state(store, *state);
        std::vector<Message> messages;
        Query row(store,
                  fmt::format("SELECT {} FROM outbox m JOIN orders o ON o.id = m.order_id ORDER BY m.id",
                              kColumns));
        while (row.next()) messages.push_back(read_message(row));
        return messages;
    });
}

Message Outbox::message(std::int64_t id) const {
    Store& store = book_->parts_->store;
    return store.guarded([&] {
        Query row(store,
                  fmt::format("SELECT {}, b.bytes FROM outbox m JOIN orders o ON o.id = m.order_id "
                              "JOIN outbox_bytes b ON b.message = m.id WHERE m.id = ?1",
                              kColumns),
                  id);
        if (!row.next()) throw UsageError(fmt::format("there is no message {} in the outbox", id));
        Message message = read_message(row);
        message.bytes = row.text();
        return message;
    });
}

std::vector<Message> Outbox::recover(Instant now) {
    Store& store = book_->parts_->writable();
    return store.guarded([&] {
        WriteLock lock(store);
        std::vector<Message> doubtful = in_state(store, MessageState::on_wire);
        for (Message& message : doubtful) {
            move(store, message.id, {MessageState::on_wire}, MessageState::in_doubt);
            message.state = MessageState::in_doubt;
            write_event(store, message.order, now, "message in doubt",
                        fmt::format("it may or may not have gone out: {}", message.subject));
        }
        Query(store, "UPDATE outbox SET state = 'written' WHERE state = 'claimed'").run();
        lock.commit();
        return doubtful;
    });
}

void Outbox::stands(std::int64_t id, std::int64_t order_revision) {
    Store& store = book_->parts_->writable();
    store.guarded([&] {
        WriteLock lock(store);
        Query(store, "UPDATE outbox SET order_revision = ?2 WHERE id = ?1 AND state = 'written'", id,
              order_revision)
            .run();
        lock.commit();
    });
}

bool Outbox::overtake(std::int64_t id) {
    Store& store = book_->parts_->writable();
    return store.guarded([&] {
        WriteLock lock(store);
        const int moved = Query(store,
                                "UPDATE outbox SET state = 'overtaken' WHERE id = ?1 AND (state = 'written' "
                                "OR state = 'refused')",
                                id)
                              .run();
        lock.commit();
        return moved == 1;
    });
}

bool Outbox::claim(std::int64_t id, Instant now) {
    Store& store = book_->parts_->writable();
    return store.guarded([&] {
        WriteLock lock(store);
        const int claimed = Query(store,
                                  "UPDATE outbox SET state = 'claimed', attempts = attempts + 1, tried = ?2 "
                                  "WHERE id = ?1 AND state = 'written' AND EXISTS (SELECT 1 FROM orders o "
                                  "JOIN buyers b ON b.id = o.buyer_id WHERE o.id = order_id "
                                  "AND o.revision = order_revision AND b.email = to_address)",
                                  id, now)
                                .run();
        lock.commit();
        return claimed == 1;
    });
}

void Outbox::on_wire(std::int64_t id) {
    Store& store = book_->parts_->writable();
    store.guarded([&] {
        WriteLock lock(store);
        move(store, id, {MessageState::claimed}, MessageState::on_wire);
        lock.commit();
    });
}

void Outbox::sent(std::int64_t id, std::string_view reply) {
    answer(book_->parts_->writable(), id, {MessageState::on_wire}, MessageState::sent, reply);
}

void Outbox::put_back(std::int64_t id, std::string_view reply) {
    answer(book_->parts_->writable(), id, {MessageState::claimed, MessageState::on_wire},
           MessageState::written, reply);
}

void Outbox::refused(std::int64_t id, std::string_view reply) {
    answer(book_->parts_->writable(), id, {MessageState::claimed, MessageState::on_wire},
           MessageState::refused, reply);
}

void Outbox::in_doubt(std::int64_t id, std::string_view reply) {
    answer(book_->parts_->writable(), id, {MessageState::on_wire}, MessageState::in_doubt, reply);
}

void Outbox::settle(std::int64_t id, MessageState to) {
    if (to != MessageState::sent && to != MessageState::written && to != MessageState::dropped)
        throw std::logic_error("a message is settled as sent, written or dropped");
    Store& store = book_->parts_->writable();
    store.guarded([&] {
        WriteLock lock(store);
        if (to == MessageState::dropped) {
            move(store, id, {MessageState::in_doubt, MessageState::refused, MessageState::written}, to);
        } else {
            move(store, id, {MessageState::in_doubt, MessageState::refused}, to);
        }
        lock.commit();
    });
}

}  // namespace mildway::orders
