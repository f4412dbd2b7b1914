// Messages to buyers: what was written, what went out, and what may or may not have.
//
// A message is written once, with its final bytes, under a key that no other message has. Sending claims it,
// then marks it as on the wire when the server is about to be given the text, then as sent. After a crash
// only what was never on the wire is sent by itself; the rest is in doubt until a person says.
#pragma once

#include "mildway/orders/order_book.hpp"

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace mildway::orders {

/// written: waits to be sent. claimed: a run is about to send it. on_wire: the server may have it. sent: the
/// server took it. refused: the server will not take it (5yz). in_doubt: was on the wire when the run ended.
/// dropped: a person said it shall not go out. overtaken: it was no longer true before it went out.
enum class MessageState { written, claimed, on_wire, sent, refused, in_doubt, dropped, overtaken };

[[nodiscard]] std::string_view message_state_name(MessageState state);  ///< "in-doubt"

struct Message {
    std::int64_t id = 0;
    std::int64_t order = 0;
    std::string number;  ///< of the order
    std::string kind;    ///< "window", "date", "moved", ...
    int version = 0;     ///< of the choice or proposal it tells of
    int issue = 1;       ///< among those of this order, kind and version
    /// "ORDER-ID/KIND/VERSION/ISSUE": two messages never have the same.
    [[nodiscard]] std::string key() const;
    /// What it tells, for comparing with what is true later (notices/due.hpp).
    std::string told;
    /// Of the order, when the message was last found true; it is not claimed at any other. 0: as it is now.
    std::int64_t order_revision = 0;
    std::string to;       ///< address alone; empty: told another way than by mail
    std::string subject;  ///< for lists
    std::string message_id;
    std::string bytes;  ///< RFC 5322, CRLF; empty in lists
    MessageState state = MessageState::written;
    int attempts = 0;
    Instant written;
    std::optional<Instant> tried;
    std::string reply;  ///< what the server said last, one line
};

class Outbox {
public:
    explicit Outbox(OrderBook& book);

    /// False when a message of this key is there already, whatever its state: nothing is written then.
    bool write(const Message& message);
    /// What a person told the buyer another way: kept as sent, to nobody, with the next issue; what of the
    /// same waits is overtaken. Of `what`, order, kind, version and told count. Returns its id.
    std::int64_t told(const Message& what, Instant now);
    [[nodiscard]] std::vector<Message> messages(std::optional<MessageState> state = std::nullopt) const;
    /// With its bytes. Throws UsageError when there is none.
    [[nodiscard]] Message message(std::int64_t id) const;

    /// To be called by the one run that sends (it holds a lock): whatever an earlier run left claimed is
    /// written again, what it left on the wire is in doubt. Returns the latter.
    std::vector<Message> recover(Instant now);
    /// A written one is true of the order at that revision, too.
    void stands(std::int64_t id, std::int64_t order_revision);
    /// written or refused -> overtaken; false when it is neither any more.
    bool overtake(std::int64_t id);
    /// written -> claimed, an attempt more. False, and nothing is changed, when it is not written any more,
    /// or the order or its buyer's address has changed since the message was found true.
    bool claim(std::int64_t id, Instant now);
    void on_wire(std::int64_t id);
    void sent(std::int64_t id, std::string_view reply);
    /// claimed or on_wire -> written: the server said no for now (4yz), or was never reached.
    void put_back(std::int64_t id, std::string_view reply);
    void refused(std::int64_t id, std::string_view reply);
    void in_doubt(std::int64_t id, std::string_view reply);
    /// A person's word on a message in doubt or refused: sent, to be sent again (the same bytes), or dropped.
    /// UsageError in any other state. Also drops a written one.
    void settle(std::int64_t id, MessageState to);

private:
    OrderBook* book_;
};

}  // namespace mildway::orders
