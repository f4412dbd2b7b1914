#include "mildway/notices/sending.hpp"

#include <algorithm>

namespace mildway::notices {

namespace {

using orders::Message;
using orders::MessageState;

MessageState record(orders::Outbox& outbox, std::int64_t id, const Delivery& delivery) {
    switch (delivery.fate) {
        case Fate::taken:
            outbox.sent(id, delivery.reply);
            return MessageState::sent;
        case Fate::refused:
            outbox.refused(id, delivery.reply);
            return MessageState::refused;
        case Fate::in_doubt:
            outbox.in_doubt(id, delivery.reply);
            return MessageState::in_doubt;
        case Fate::not_now:
        case Fate::no_server:
            outbox.put_back(id, delivery.reply);
            return MessageState::written;
    }
    return MessageState::in_doubt;
}

}  // namespace

SendReport send_waiting(orders::Outbox& outbox, Sender& sender, Instant now) {
    SendReport report;
    std::vector<Message> waiting = outbox.messages(MessageState::written);
    std::sort(waiting.begin(), waiting.end(), [](const Message& a, const Message& b) { return a.id < b.id; });
    for (Message& message : waiting) {
        if (!outbox.claim(message.id, now)) {
            report.changed.push_back(message);
            continue;
        }
        const std::string bytes = outbox.message(message.id).bytes;
        const Delivery delivery = sender.send({message.to, bytes}, [&] { outbox.on_wire(message.id); });
        message.state = record(outbox, message.id, delivery);
        message.reply = delivery.reply;
        report.tried.push_back({message, delivery});
        if (delivery.fate == Fate::no_server) {
            report.stopped = delivery.reply;
            break;
        }
    }
    return report;
}

}  // namespace mildway::notices
