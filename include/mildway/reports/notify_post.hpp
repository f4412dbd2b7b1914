// The messages that buyers should get now, composed.
#pragma once

#include "mildway/notices/compose.hpp"
#include "mildway/notices/kind.hpp"
#include "mildway/orders/order_book.hpp"
#include "mildway/orders/outbox.hpp"
#include "mildway/planning/workspace.hpp"

#include <optional>
#include <string>
#include <vector>

namespace mildway::reports {

/// Which of what is due. Empty: all.
struct PostWish {
    std::vector<std::string> orders;    ///< numbers; days of these are told whatever their verdict
    std::optional<notices::Kind> kind;  ///< delay: also before the promise has passed
    bool other_run = false;             ///< another run is sending: what is on the wire is not in doubt
};

/// A message that is due but cannot be written.
struct Unwritten {
    std::string order;
    notices::Kind kind = notices::Kind::window;
    std::string why;
    std::int64_t id = 0;               ///< of the order
    std::optional<notices::Due> told;  ///< what the buyer knows once a person has told it; empty: nothing
};

struct Post {
    std::vector<notices::Composed> due;         ///< by order number, then in the order of kinds
    std::vector<orders::Message> waiting;       ///< in the outbox, still to be sent, superseded ones left out
    std::vector<orders::Message> superseded;    ///< of all orders, whatever the wish
    std::vector<orders::Message> needs_person;  ///< in doubt (or on the wire of a run that ended) and refused
    std::vector<orders::Message> being_sent;    ///< claimed or on the wire of a run that lives
    std::vector<Unwritten> without_address;
    std::vector<Unwritten> for_person;  ///< what no message should tell by itself
    std::vector<Unwritten> failed;      ///< a species that is gone, an address or text that no mail can carry
};

/// How messages are made.
struct Writing {
    const planning::Workspace& workspace;
    const notices::Templates& templates;
    const notices::MailSettings& mail;
};

/// Reads the book and changes nothing. Throws UsageError for an order that is not there, InputError.
[[nodiscard]] Post post_due(orders::OrderBook& book, const Writing& writing, const PostWish& wish,
                            Instant now);

/// Whether something is left to a person.
[[nodiscard]] bool needs_person(const Post& post);

/// What the buyers of the orders that were wished for know once a person has told them all of it another way
/// than by mail: for Outbox::told.
[[nodiscard]] std::vector<orders::Message> told_another_way(const Post& post, const PostWish& wish);

}  // namespace mildway::reports
