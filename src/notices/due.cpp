#include "mildway/notices/due.hpp"

#include "mildway/base/text.hpp"
#include "mildway/orders/order_fields.hpp"

#include <algorithm>

#include <fmt/format.h>

namespace mildway::notices {

namespace {

using orders::Message;
using orders::MessageState;
using orders::State;

/// The buyer has it, or may have it.
bool may_be_told(const Message& message) {
    return message.state == MessageState::sent || message.state == MessageState::on_wire ||
           message.state == MessageState::in_doubt || message.state == MessageState::claimed;
}

bool has_calendar(Kind kind) {
    return kind != Kind::handed_over && kind != Kind::receive && kind != Kind::delay;
}

std::string place_words(const Place& place) {
    return fmt::format("{:.4f} {:.4f} {}", place.latitude_deg, place.longitude_deg, place.name);
}

/// What a buyer has to know of an arrival.
std::string arrival_words(const orders::Order& order, const orders::Choice& choice) {
    return fmt::format("{} {} {} {} {}", format_date(choice.delivery_date), format_instant(choice.promised),
                       choice.service, choice.held ? "counter" : "door", place_words(order.place));
}

std::string window_words(const orders::Order& order, const std::vector<Date>& days) {
    std::string words;
    for (const Date day : days) words += format_date(day) + " ";
    return words + place_words(order.place);
}

constexpr const char* kMayBeLate = "may be late";
constexpr const char* kLate = "late";
constexpr const char* kOffPlan = "off plan";

Instant promise_of(const orders::Order& order) {
    const orders::Choice& choice = order.choice.value();
    if (!choice.held) return choice.promised;
    const date::sys_days next = date::sys_days(choice.delivery_date) + date::days(1);
    return to_instant(find_zone(order.place.zone), Date(next), minutes(0));
}

/// What the buyer knows by now, as far as we know.
struct Known {
    std::optional<orders::Choice> date;  ///< whose day is expected
    std::string arrival;                 ///< arrival_words() of it
    std::string window;                  ///< window_words(), when that was told last
    int window_version = 0;              ///< of the proposal it told
    Instant chosen;                      ///< when the day was chosen that was told, or taken back, last
    std::int64_t since = 0;              ///< the message that says so
};

class Finder {
public:
    Finder(const OrderStory& story, Instant now, bool delay_asked)
        : story_(story), order_(story.order), now_(now), delay_asked_(delay_asked) {
        const std::string address = lower_case(order_.buyer.email);
        for (const Message& message : story.messages) {
            if (message.to.empty() || lower_case(message.to) == address) mine_.push_back(&message);
        }
        for (const Message* message : mine_) {
            if (may_be_told(*message)) learn(*message);
        }
    }

    DueList find() {
        if (!hand_over_taken_back()) see_to_state();
        sort_out();
        return std::move(list_);
    }

private:
    void see_to_state() {
        switch (order_.state) {
            case State::open:
                open();
                break;
            case State::planned:
                planned();
                break;
            case State::handed_over:
                under_way();
                break;
            case State::cancelled:
                if (known_.date) want(Kind::cancelled, known_.date->version, known_.arrival);
                break;
            case State::arrived:
                break;
        }
    }

    void learn(const Message& message) {
        const Kind kind = kind_of(message.kind).value_or(Kind::receive);
        if (!has_calendar(kind)) return;
        known_ = Known{};
        known_.since = message.id;
        if (kind == Kind::window) {
            known_.window = message.told;
            known_.window_version = message.version;
            return;
        }
        for (const orders::Choice& choice : story_.choices) {
            if (choice.version != message.version) continue;
            known_.chosen = choice.chosen;
            if (kind == Kind::date || kind == Kind::moved) known_.date = choice;
        }
        if (known_.date) known_.arrival = message.told;
    }

    [[nodiscard]] Due due_of(Kind kind, int version, std::string told) const {
        const bool tells_day = kind == Kind::date || kind == Kind::moved;
        return {kind,
                version,
                1,
                0,
                std::move(told),
                known_.date,
                tells_day ? story_.verdict.value_or(Verdict::unknown) : std::optional<Verdict>()};
    }

    void want(Kind kind, int version, std::string told) {
        wanted_.push_back(due_of(kind, version, std::move(told)));
    }

    void for_person(Kind kind, std::string why, std::optional<Due> told = std::nullopt) {
        list_.for_person.push_back({kind, std::move(why), std::move(told)});
    }

    /// The buyer heard that it is on its way, and it is not: no message has words for that.
    bool hand_over_taken_back() {
        if (order_.state == State::handed_over || order_.state == State::arrived) return false;
        const auto heard = std::find_if(mine_.begin(), mine_.end(), [&](const Message* message) {
            const auto kind = kind_of(message->kind);
            return kind && !has_calendar(*kind) && may_be_told(*message) && message->id > known_.since;
        });
        if (heard == mine_.end()) return false;
        for_person(Kind::taken_back,
                   "the buyer was told that it is on its way, and the hand-over was taken back: write to the "
                   "buyer yourself",
                   due_of(Kind::taken_back, (*heard)->version, ""));
        return true;
    }

    void open() {
        // days that were proposed before the told one was chosen rest on older weather than that, also when
        // it was taken back since
        const bool fresh = order_.proposal && order_.proposal->made > known_.chosen;
        const auto days = fresh ? days_still_open(order_, story_.counter_zone, now_) : std::vector<Date>{};
        if (days.empty() || !offer(days)) take_day_back();
    }

    /// False when the days rest on weather that is too old to offer them.
    bool offer(const std::vector<Date>& days) {
        const orders::Proposal& proposal = *order_.proposal;
        const std::string words = window_words(order_, days);
        // a proposal is told once: that some of its days have passed is nothing new
        if (known_.window == words || known_.window_version == proposal.version) return true;
        if (now_ - proposal.made <= story_.stale_after + kProposalLasts) {
            want(Kind::window, proposal.version, words);
            return true;
        }
        for_person(Kind::window,
                   fmt::format("its days were proposed {}, on weather that is too old by now: propose anew "
                               "with week --propose",
                               format_local(find_zone(story_.counter_zone), proposal.made)),
                   due_of(Kind::window, proposal.version, words));
        return false;
    }

    void take_day_back() {
        if (!known_.date) return;
        const int version = known_.date->version;
        if (known_.date->delivery_date < local_date(find_zone(order_.place.zone), now_)) {
            for_person(Kind::taken_back,
                       fmt::format("the buyer was told {}, which is past, and the order "
                                   "is open: write to the buyer yourself",
                                   format_date(known_.date->delivery_date)),
                       due_of(Kind::taken_back, version, known_.arrival));
        } else {
            want(Kind::taken_back, version, known_.arrival);
        }
    }

    void planned() {
        const orders::Choice& choice = order_.choice.value();
        const std::string words = arrival_words(order_, choice);
        const bool told = known_.date && known_.arrival == words;
        const Kind kind = known_.date && !told ? Kind::moved : Kind::date;
        const Verdict verdict = story_.verdict.value_or(Verdict::unknown);
        const bool doubtful = verdict == Verdict::unsafe || verdict == Verdict::unknown;
        if (now_ > choice.cut_off && told) {
            for_person(kind,
                       fmt::format("the buyer was told {}, its latest hand-over is past, and it was not "
                                   "handed over: plan it again, or say that it was",
                                   format_day(choice.delivery_date)));
        } else if (now_ > choice.cut_off) {
            for_person(kind,
                       "its latest hand-over is past and the buyer was not told this day: plan it "
                       "again, or say that it was handed over",
                       due_of(kind, choice.version, words));
        } else if (!told && doubtful && !story_.named) {
            for_person(kind,
                       fmt::format("{}, which was not told, is {} by what is known now: plan it again, or "
                                   "tell it all the same with mildway notify {} --send",
                                   format_day(choice.delivery_date), verdict_name(verdict), order_.number),
                       due_of(kind, choice.version, words));
        } else if (!told) {
            want(kind, choice.version, words);
        }
    }

    void under_way() {
        const orders::Choice& choice = order_.choice.value();
        const bool late = promise_passed(order_, story_.counter_zone, now_);
        const bool delay_told = std::any_of(mine_.begin(), mine_.end(), [&](const Message* message) {
            return message->kind == kind_name(Kind::delay) && of_this_trip(*message);
        });
        const int days = days_off_plan(order_, story_.counter_zone);
        // a hand-over that was corrected may be off plan only now, or not any more
        if (!late && !delay_told) want_once(Kind::handed_over, choice.version, days == 0 ? "" : kOffPlan);
        want_once(Kind::receive, choice.version, "");
        if (late) {
            want_once(Kind::delay, choice.version, kLate);
        } else if (delay_asked_ || waits(Kind::delay, kMayBeLate)) {
            want_once(Kind::delay, choice.version, kMayBeLate);
        }
        // the same trip on other days may take longer, and no carrier promised it: never told by itself
        if (days != 0 && !delay_told && now_ > promise_of(order_) + date::days(std::max(days, 0)))
            for_person(Kind::delay,
                       "it was handed over on another day than planned, or after the cut-off, and could have "
                       "come: ask the carrier, and tell the buyer with --kind delay",
                       due_of(Kind::delay, choice.version, kMayBeLate));
    }

    /// Told, and not of a hand-over that was taken back before the buyer learned another day.
    [[nodiscard]] bool of_this_trip(const Message& message) const {
        return may_be_told(message) && message.id > known_.since;
    }

    [[nodiscard]] bool waits(Kind kind, const std::string& told) const {
        return std::any_of(mine_.begin(), mine_.end(), [&](const Message* message) {
            return message->state == MessageState::written && message->kind == kind_name(kind) &&
                   message->told == told;
        });
    }

    /// For what does not change what the buyer expects: nothing of it but that it was told.
    void want_once(Kind kind, int version, const std::string& told) {
        const bool has = std::any_of(mine_.begin(), mine_.end(), [&](const Message* message) {
            return of_this_trip(*message) && message->kind == kind_name(kind) && message->told == told;
        });
        if (!has) want(kind, version, told);
    }

    /// Written for what is wanted, or refused or dropped: a person has to see to it. What was written before
    /// the buyer learned something else is of another time.
    [[nodiscard]] bool serves(const Message& message, const Due& due) const {
        return message.kind == kind_name(due.kind) && message.told == due.told && message.id > known_.since;
    }

    void sort_out() {
        for (const Message& message : story_.messages) {
            const bool mine = std::find(mine_.begin(), mine_.end(), &message) != mine_.end();
            const bool true_still = mine && std::any_of(wanted_.begin(), wanted_.end(),
                                                        [&](const Due& due) { return serves(message, due); });
            const bool elsewhere = message.state == MessageState::refused && !mine;
            if (elsewhere || (message.state == MessageState::written && !true_still))
                list_.superseded.push_back(message);
        }
        int sequence = 0;
        for (const Message& message : story_.messages) sequence += has_calendar_by_name(message.kind) ? 1 : 0;
        for (Due& due : wanted_) {
            const bool there = std::any_of(mine_.begin(), mine_.end(), [&](const Message* message) {
                return message->state != MessageState::overtaken && !may_be_told(*message) &&
                       serves(*message, due);
            });
            if (there) continue;
            due.sequence = sequence;
            for (const Message& message : story_.messages) {
                if (message.kind == kind_name(due.kind) && message.version == due.version)
                    due.issue = std::max(due.issue, message.issue + 1);
            }
            list_.due.push_back(std::move(due));
        }
    }

    static bool has_calendar_by_name(const std::string& name) {
        const auto kind = kind_of(name);
        return kind && has_calendar(*kind);
    }

    const OrderStory& story_;
    const orders::Order& order_;
    Instant now_;
    bool delay_asked_;
    std::vector<const Message*> mine_;  ///< to the present address
    Known known_;
    std::vector<Due> wanted_;  ///< what is true and not told, whether in the outbox or not
    DueList list_;
};

}  // namespace

DueList due_messages(const OrderStory& story, Instant now, bool delay_asked) {
    return Finder(story, now, delay_asked).find();
}

std::vector<Date> days_still_open(const orders::Order& order, const std::string& counter_zone, Instant now) {
    std::vector<Date> days;
    if (!order.proposal) return days;
    const Date today = local_date(find_zone(counter_zone), now);
    for (const orders::Proposal::Day& day : order.proposal->days) {
        if (day.ship_date >= today && orders::why_not_arriving(order, day.arrival_date).empty())
            days.push_back(day.arrival_date);
    }
    std::sort(days.begin(), days.end());
    days.erase(std::unique(days.begin(), days.end()), days.end());
    return days;
}

int days_off_plan(const orders::Order& order, const std::string& counter_zone) {
    if (!order.handed_over || !order.choice) return 0;
    return orders::days_off_plan(order.choice->ship_date, order.choice->cut_off, *order.handed_over,
                                 find_zone(counter_zone));
}

bool promise_passed(const orders::Order& order, const std::string& counter_zone, Instant now) {
    return order.state == orders::State::handed_over && days_off_plan(order, counter_zone) == 0 &&
           now > promise_of(order);
}

}  // namespace mildway::notices
