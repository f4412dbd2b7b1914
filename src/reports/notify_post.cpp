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

bool wanted(const PostWish& wish, const Order& order) {
    const auto same = [&](const std::string& number) {
        return lower_case(number) == lower_case(order.number);
    };
    return wish.orders.empty() || std::any_of(wish.orders.begin(), wish.orders.end(), same);
}

void compose_one(Post& post, const Order& order, const notices::Due& due, const Writing& writing,
                 Instant now) {
    if (order.buyer.email.empty()) {
        post.without_address.push_back({order.number, due.kind, "the buyer has no e-mail address"});
        return;
    }
    notices::Facts facts;
    try {
        facts = notify_facts(order, due, writing.workspace, writing.mail, now);
    } catch (const InputError& error) {
        post.failed.push_back({order.number, due.kind, error.what()});
        return;
    }
    try {
        post.due.push_back(notices::compose(writing.templates, writing.mail, {order, due, facts}, now));
    } catch (const UsageError& error) {
        post.failed.push_back({order.number, due.kind, error.what()});
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

}  // namespace

Post post_due(orders::OrderBook& book, const Writing& writing, const PostWish& wish, Instant now) {
    for (const std::string& number : wish.orders) (void)book.order(number);
    const std::vector<Message> all = orders::Outbox(book).messages();
    std::map<std::int64_t, std::vector<Message>> by_order;
    for (const Message& message : all) by_order[message.order].push_back(message);
    std::map<std::int64_t, std::int64_t> revisions;
    Post post;
    const bool delay_asked = wish.kind == notices::Kind::delay;
    for (const Order& order : book.orders()) {
        const std::vector<Message>& messages = by_order[order.id];
        const auto choices = has_told_date(messages) ? book.choices(order.id) : std::vector<orders::Choice>{};
        const notices::DueList list = notices::due_messages(
            {order, choices, messages, writing.workspace.counter.zone}, now, delay_asked);
        post.superseded.insert(post.superseded.end(), list.superseded.begin(), list.superseded.end());
        revisions[order.id] = order.revision;
        if (!wanted(wish, order)) continue;
        for (const auto& [kind, why] : list.for_person) post.for_person.push_back({order.number, kind, why});
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

}  // namespace mildway::reports
