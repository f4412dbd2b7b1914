#include "mildway/reports/notify_post.hpp"

#include "mildway/base/errors.hpp"
#include "mildway/base/text.hpp"
#include "mildway/notices/due.hpp"
#include "mildway/reports/notify_facts.hpp"

#include <algorithm>
#include <map>

namespace mildway::reports {

namespace {

using orders::Message;
using orders::MessageState;
using orders::Order;

bool named(const PostWish& wish, const std::string& order) {
    return std::any_of(wish.orders.begin(), wish.orders.end(),
                       [&](const std::string& number) { return lower_case(number) == lower_case(order); });
}

bool wanted(const PostWish& wish, const Order& order) {
    return wish.orders.empty() || named(wish, order.number);
}

void compose_one(Post& post, const Order& order, const notices::Due& due, const Writing& writing,
                 Instant now) {
    if (order.buyer.email.empty()) {
        post.without_address.push_back(
            {order.number, due.kind, "the buyer has no e-mail address", order.id, due});
        return;
    }
    notices::Facts facts;
    try {
        facts = notify_facts(order, due, writing.workspace, writing.mail, now);
    } catch (const InputError& error) {
        post.failed.push_back({order.number, due.kind, error.what(), order.id, due});
        return;
    }
    try {
        post.due.push_back(notices::compose(writing.templates, writing.mail, {order, due, facts}, now));
    } catch (const UsageError& error) {
        post.failed.push_back({order.number, due.kind, error.what(), order.id, due});
    }
}

bool holds(const std::vector<Message>& messages, std::int64_t id) {
    return std::any_of(messages.begin(), messages.end(), [&](const Message& one) { return one.id == id; });
}

/// Whether what is due can depend on earlier choices: reading them is worth it only then.
bool has_told_date(const std::vector<Message>& messages) {
    return std::any_of(messages.begin(), messages.end(), [](const Message& message) {
        const auto kind = notices::kind_of(message.kind);
        return kind == notices::Kind::date || kind == notices::Kind::moved;
    });
}

/// As the newest check tells it, or as it was chosen.
std::optional<Verdict> verdict_of(const Order& order, const std::optional<orders::Reassessment>& checked) {
    if (checked) return checked->standing;
    return order.choice ? std::optional(order.choice->verdict) : std::nullopt;
}

Message message_of(std::int64_t order, const std::string& number, const notices::Due& due) {
    Message message;
    message.order = order;
    message.number = number;
    message.kind = notices::kind_name(due.kind);
    message.version = due.version;
    message.told = due.told;
    return message;
}

}  // namespace

Post post_due(orders::OrderBook& book, const Writing& writing, const PostWish& wish, Instant now) {
    for (const std::string& number : wish.orders) (void)book.order(number);
    const std::vector<Message> all = orders::Outbox(book).messages();
    std::map<std::int64_t, std::vector<Message>> by_order;
    for (const Message& message : all) by_order[message.order].push_back(message);
    std::map<std::int64_t, std::int64_t> revisions;
    Post post;
    const bool delay_asked = wish.kind == notices::Kind::delay;
    const std::vector<Order> orders = book.orders();
    const auto checked = book.newest_reassessments(orders);
    for (std::size_t i = 0; i < orders.size(); ++i) {
        const Order& order = orders[i];
        const std::vector<Message>& messages = by_order[order.id];
        const auto choices = has_told_date(messages) ? book.choices(order.id) : std::vector<orders::Choice>{};
        const notices::DueList list = notices::due_messages(
            {order, choices, messages, writing.workspace.counter.zone, verdict_of(order, checked[i]),
             named(wish, order.number), writing.workspace.weather.stale_after},
            now, delay_asked);
        post.superseded.insert(post.superseded.end(), list.superseded.begin(), list.superseded.end());
        revisions[order.id] = order.revision;
        if (!wanted(wish, order)) continue;
        for (const notices::ForPerson& one : list.for_person)
            post.for_person.push_back({order.number, one.kind, one.why, order.id, one.told});
        for (const notices::Due& due : list.due) {
            if (!wish.kind || wish.kind == due.kind) compose_one(post, order, due, writing, now);
        }
    }
    for (Message message : all) {
        const MessageState state = message.state;
        if (holds(post.superseded, message.id)) continue;
        message.order_revision = revisions[message.order];
        if (wish.other_run && (state == MessageState::claimed || state == MessageState::on_wire)) {
            post.being_sent.push_back(message);
        } else if (state == MessageState::written) {
            post.waiting.push_back(message);
        } else if (state == MessageState::in_doubt || state == MessageState::on_wire ||
                   state == MessageState::refused) {
            post.needs_person.push_back(message);
        }
    }
    return post;
}

bool needs_person(const Post& post) {
    return !post.needs_person.empty() || !post.for_person.empty() || !post.without_address.empty() ||
           !post.failed.empty();
}

std::vector<Message> told_another_way(const Post& post, const PostWish& wish) {
    std::vector<Message> told;
    for (const notices::Composed& one : post.due) told.push_back(one.message);
    for (const auto* left : {&post.without_address, &post.for_person, &post.failed}) {
        for (const Unwritten& one : *left) {
            if (one.told && (!wish.kind || wish.kind == one.kind))
                told.push_back(message_of(one.id, one.order, *one.told));
        }
    }
    const auto take = [&](const Message& one) {
        if (named(wish, one.number) && (!wish.kind || wish.kind == notices::kind_of(one.kind)))
            told.push_back(one);
    };
    for (const Message& one : post.waiting) take(one);
    for (const Message& one : post.needs_person) {
        if (one.state == MessageState::refused) take(one);
    }
    return told;
}

}  // namespace mildway::reports
