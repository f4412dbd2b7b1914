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
    std::optional<Verdict> verdict;       ///< of the day that a date or moved tells: OrderStory::verdict
};

/// What no message should tell by itself.
struct ForPerson {
    Kind kind = Kind::window;
    std::string why;  ///< a sentence
    /// What the buyer has been told once a person says so; empty: telling does not settle it.
    std::optional<Due> told;
};

struct DueList {
    std::vector<Due> due;                     ///< not in the outbox yet
    std::vector<orders::Message> superseded;  ///< wait, or were refused, but are no longer true
    std::vector<ForPerson> for_person;
};

/// All there is of one order.
struct OrderStory {
    const orders::Order& order;
    std::vector<orders::Choice> choices;    ///< of any age
    std::vector<orders::Message> messages;  ///< of this order, any state, oldest first
    std::string counter_zone;               ///< where parcels are handed over
    /// Of the choice in force, as the newest check tells it, or as it was chosen; unsafe and unknown days are
    /// left to a person, and so are those of which nothing is said here.
    std::optional<Verdict> verdict{};
    bool named = false;     ///< a person asked for this very order: then its day is told whatever the verdict
    hours stale_after{12};  ///< weather issued longer ago is not used (weather/setup.hpp)
};

/// A proposal is looked at again every day; with the age that its weather may have had, this is how long its
/// days may be offered.
inline constexpr hours kProposalLasts{24};

/// Only messages to the buyer's present address count, and what was told another way: what went to another
/// address was not told.
/// `delay_asked`: a delay of a parcel that is under way is told of even before the promise has passed.
[[nodiscard]] DueList due_messages(const OrderStory& story, Instant now, bool delay_asked);

/// Arrival days of the proposal that suit the buyer and can still be shipped for, in order, each once.
[[nodiscard]] std::vector<Date> days_still_open(const orders::Order& order, const std::string& counter_zone,
                                                Instant now);

/// Days from the planned hand-over to the true one, by the counter's calendar; 0: as planned, or not yet. One
/// after the cut-off counts as one of the next day: the parcel has missed its trip.
[[nodiscard]] int days_off_plan(const orders::Order& order, const std::string& counter_zone);

/// Whether a parcel under way is later than the carrier promised; one at a counter is late when that day is
/// over. After a hand-over off plan nothing was promised: false.
[[nodiscard]] bool promise_passed(const orders::Order& order, const std::string& counter_zone, Instant now);

}  // namespace mildway::notices
