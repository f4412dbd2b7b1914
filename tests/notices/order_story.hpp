// An order through its days, with what its buyer was told on the way.
#pragma once

#include "mildway/notices/due.hpp"

#include "catch.hpp"

#include <optional>
#include <string>
#include <vector>

namespace mildway::testing {

using namespace date::literals;
using notices::Due;
using notices::Kind;
using orders::MessageState;
using orders::State;

inline const Instant kNow = date::sys_days(2027_y / 3 / 1) + hours(13);

inline orders::Choice choice_of(int version, Date arrival) {
    orders::Choice choice;
    choice.version = version;
    choice.service = "night-air";
    choice.delivery_date = arrival;
    choice.promised = date::sys_days(arrival) + hours(16);
    choice.ship_date = Date(date::sys_days(arrival) - date::days(1));
    choice.cut_off = date::sys_days(choice.ship_date) + hours(23);
    return choice;
}

/// An order, its choices and its messages; the last choice is in force.
struct Story {
    orders::Order order;
    std::vector<orders::Choice> choices;
    std::vector<orders::Message> messages;

    std::vector<int> sequences;  ///< of the messages
    std::optional<Verdict> verdict = Verdict::comfortable;
    bool named = false;

    Story() {
        order.id = 7;
        order.buyer.email = "buyer-01@example.org";
        order.place = {"Duluth MN", 46.7867, -92.1005, "America/Chicago"};
    }
    /// A person told what only a person may, and said so.
    Story& told_by_hand(Instant now = kNow) {
        for (const notices::ForPerson& one : list(now).for_person) {
            if (!one.told) continue;
            keep(*one.told, "", MessageState::sent);
            return *this;
        }
        FAIL("nothing that a person could tell is left");
        return *this;
    }
    /// What would be due now in that state is written, and stands as `state`. Its kind is checked.
    Story& told(Kind kind, MessageState state = MessageState::sent, Instant now = kNow, bool delay = false) {
        for (const Due& due : list(now, delay).due) {
            if (due.kind != kind) continue;
            keep(due, order.buyer.email, state);
            return *this;
        }
        FAIL("no such message is due");
        return *this;
    }
    void keep(const Due& due, const std::string& to, MessageState state) {
        orders::Message message;
        message.id = static_cast<std::int64_t>(messages.size()) + 1;
        message.order = 7;
        message.kind = notices::kind_name(due.kind);
        message.version = due.version;
        message.issue = due.issue;
        message.told = due.told;
        message.to = to;
        message.state = state;
        sequences.push_back(due.sequence);
        messages.push_back(message);
    }
    Story& proposed(int version, const std::vector<Date>& ships, Instant made = kNow) {
        order.state = State::open;
        order.choice.reset();
        order.proposal = orders::Proposal{version, made, {}};
        for (const Date ship : ships)
            order.proposal->days.push_back(
                {ship, Date(date::sys_days(ship) + date::days(1)), Verdict::comfortable});
        return *this;
    }
    Story& planned(Date arrival) {
        order.state = State::planned;
        choices.push_back(choice_of(static_cast<int>(choices.size()) + 1, arrival));
        order.choice = choices.back();
        return *this;
    }
    Story& in(State state) {
        order.state = state;
        if (state == State::open || state == State::cancelled) order.choice.reset();
        if (state == State::handed_over) order.handed_over = order.choice->cut_off - minutes(30);
        return *this;
    }
    [[nodiscard]] notices::DueList list(Instant now = kNow, bool delay = false) const {
        return notices::due_messages({order, choices, messages, "America/Denver", verdict, named}, now,
                                     delay);
    }
    [[nodiscard]] std::string due(Instant now = kNow, bool delay = false) const {
        std::string all;
        for (const Due& due : list(now, delay).due)
            all += std::string(notices::kind_name(due.kind)) + " " + std::to_string(due.version) + ";";
        return all;
    }
    [[nodiscard]] std::size_t superseded(Instant now = kNow) const { return list(now).superseded.size(); }
};

inline const Date kMonday = 2027_y / 3 / 1;
inline const Date kTuesday = 2027_y / 3 / 2;
inline const Date kWednesday = 2027_y / 3 / 3;
inline const Date kThursday = 2027_y / 3 / 4;

inline constexpr auto kWaits = MessageState::written;

}  // namespace mildway::testing
