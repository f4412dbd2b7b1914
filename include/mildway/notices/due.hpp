// Which messages an order's buyer should get now, and which of those that wait are overtaken.
#pragma once

#include "mildway/notices/kind.hpp"
#include "mildway/orders/order.hpp"
#include "mildway/orders/outbox.hpp"

#include <optional>
#include <string>
#include <vector>

namespace mildway::notices {

struct Due {
    Kind kind = Kind::window;
    int version = 0;                      ///< of the proposal for window, else of the choice it tells of
    int issue = 1;                        ///< among the messages of this order, kind and version
    int sequence = 0;                     ///< of its calendar file, if it has one: higher than all before
    std::string told;                     ///< what it tells, for comparing: orders::Message::told
    std::optional<orders::Choice> given;  ///< the choice whose day the buyer expects, as far as we know
};

struct DueList {
    std::vector<Due> due;                     ///< not in the outbox yet
    std::vector<orders::Message> superseded;  ///< wait, or were refused, but are no longer true
    /// What no message should tell by itself; a sentence each.
    std::vector<std::pair<Kind, std::string>> for_person;
};

/// All there is of one order.
struct OrderStory {
    const orders::Order& order;
    std::vector<orders::Choice> choices;    ///< of any age
    std::vector<orders::Message> messages;  ///< of this order, any state, oldest first
    std::string counter_zone;               ///< where parcels are handed over
};

/// Only messages to the buyer's present address count: what went to another one was not told.
/// `delay_asked`: a delay of a parcel that is under way is told of even before the promise has passed.
[[nodiscard]] DueList due_messages(const OrderStory& story, Instant now, bool delay_asked);

/// Arrival days of the proposal that can still be shipped for, in order, each once.
[[nodiscard]] std::vector<Date> days_still_open(const orders::Order& order, const std::string& counter_zone,
                                                Instant now);

/// Days from the planned hand-over to the true one, by the counter's calendar; 0: as planned, or not yet.
[[nodiscard]] int days_off_plan(const orders::Order& order, const std::string& counter_zone);

/// Whether a parcel under way is later than the carrier promised; one at a counter is late when that day is
/// over. After a hand-over on another day nothing was promised: false.
[[nodiscard]] bool promise_passed(const orders::Order& order, const std::string& counter_zone, Instant now);

}  // namespace mildway::notices
