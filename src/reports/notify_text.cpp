#include "mildway/reports/notify_report.hpp"

#include "layout.hpp"

#include <algorithm>

#include <fmt/format.h>

namespace mildway::reports {

namespace {

using orders::Message;
using orders::MessageState;

std::string counted(std::size_t n) {
    return n == 1 ? "1 message" : fmt::format("{} messages", n);
}

/// Kept as sent, but no mail was.
bool told_by_hand(const Message& message) {
    return message.state == MessageState::sent && message.to.empty();
}

/// "  JB-1041   date         buyer-01@example.org", and the subject under it.
std::string message_lines(const Message& message, std::string_view remark) {
    std::string mark = message.id == 0 ? "" : fmt::format("#{}", message.id);
    std::string out = fmt::format("  {} {} {} {}", fit(mark, mark.empty() ? 0 : 5), fit(message.number, 10),
                                  fit(message.kind, 11), told_by_hand(message) ? "" : message.to);
    if (mark.empty()) out.erase(2, 1);
    if (!remark.empty()) out += fmt::format("  {}", remark);
    return out + "\n" + paragraph(std::string(mark.empty() ? 4 : 8, ' '), message.subject);
}

std::string list_of(const std::vector<Message>& messages) {
    std::string out;
    for (const Message& message : messages) out += message_lines(message, "");
    return out;
}

std::string unwritten(const std::vector<Unwritten>& all, const char* what) {
    std::string out;
    for (const Unwritten& one : all)
        out += paragraph("  ", fmt::format("{}, {}: {}", one.order, notices::kind_name(one.kind), one.why));
    return out.empty() ? "" : fmt::format("{}\n{}", what, out);
}

std::string needs_person(const std::vector<Message>& messages) {
    std::string doubtful;
    std::string refused;
    for (const Message& message : messages) {
        const bool no = message.state == MessageState::refused;
        std::string& out = no ? refused : doubtful;
        out += message_lines(message, no ? "refused" : "in doubt");
        if (!message.reply.empty()) out += paragraph("        ", message.reply);
    }
    std::string out;
    if (!doubtful.empty())
        out +=
            "Needs you: was it sent or not? Ask the buyer, look at the mail server, then say\n"
            "mildway notify --settle NUMBER --as sent, again or dropped:\n" +
            doubtful;
    if (!refused.empty())
        out +=
            "Needs you: the server refused it. Correct the address with mildway order edit; if it is\n"
            "right, say mildway notify --settle NUMBER --as again or dropped:\n" +
            refused;
    return out;
}

std::string frame(const Post& post) {
    std::string out;
    if (!post.superseded.empty())
        out += fmt::format("Overtaken by what has changed since, not sent:\n{}", list_of(post.superseded));
    out += unwritten(post.without_address,
                     "Tell these buyers another way, then say mildway notify ORDER --told:");
    out += unwritten(post.for_person, "Needs you, no message was written:");
    out += unwritten(post.failed, "Cannot be written; correct the order or the workspace:");
    if (!post.being_sent.empty())
        out += fmt::format("Another run is sending these just now:\n{}", list_of(post.being_sent));
    return out;
}

std::string rule(const std::string& title) {
    return fmt::format("--- {} {}\n", title, std::string(70 - std::min<std::size_t>(title.size(), 60), '-'));
}

const char* fate_words(const notices::Sent& sent) {
    switch (sent.delivery.fate) {
        case notices::Fate::taken:
            return "sent";
        case notices::Fate::refused:
            return "refused";
        case notices::Fate::not_now:
            return "not now, waits";
        case notices::Fate::no_server:
            return "not sent, waits";
        case notices::Fate::in_doubt:
            return "in doubt";
    }
    return "";
}

}  // namespace

std::string notify_preview_text(const Post& post, bool whole) {
    std::string out;
    if (post.due.empty()) {
        out += "No message is due.\n";
    } else {
        out += fmt::format(
            "{} due; nothing was put into the outbox or sent:\n",
            post.due.size() == 1 ? "1 message is" : fmt::format("{} messages are", post.due.size()));
        for (const notices::Composed& one : post.due)
            out += message_lines(one.message, one.verdict ? verdict_name(*one.verdict) : "");
    }
    if (!post.waiting.empty())
        out += fmt::format("{} in the outbox, to be sent:\n{}", counted(post.waiting.size()),
                           list_of(post.waiting));
    out += frame(post) + needs_person(post.needs_person);
    if (whole) {
        for (const notices::Composed& one : post.due) {
            out += fmt::format("\n{}To: {}\nSubject: {}\n\n{}",
                               rule(one.message.number + ", " + one.message.kind), one.message.to,
                               one.message.subject, one.letter.text);
            if (!one.calendar.empty()) out += "\n(with a calendar file)\n";
        }
    } else if (!post.due.empty()) {
        out += "See them whole with --show, send them with --send.\n";
    }
    return out;
}

std::string notify_sent_text(const Post& post, const notices::SendReport& report) {
    std::string out = frame(post);
    if (report.tried.empty() && report.changed.empty() && report.stopped.empty()) out += "Nothing to send.\n";
    for (const notices::Sent& sent : report.tried) {
        out += message_lines(sent.message, fate_words(sent));
        if (sent.delivery.fate != notices::Fate::taken) out += paragraph("        ", sent.delivery.reply);
    }
    std::vector<Message> person = post.needs_person;
    for (const Message& message : report.changed)
        out += message_lines(message, "its order has changed meanwhile; the next run looks at it again");
    for (const notices::Sent& sent : report.tried) {
        const auto fate = sent.delivery.fate;
        if (fate == notices::Fate::in_doubt || fate == notices::Fate::refused) person.push_back(sent.message);
    }
    return out + needs_person(person);
}

std::string outbox_text(const std::vector<Message>& messages) {
    std::string out;
    for (const Message& message : messages) {
        const auto state = orders::message_state_name(message.state);
        out += message_lines(message, told_by_hand(message) ? "" : std::string(state));
        const std::string often =
            message.attempts == 1 ? "once" : fmt::format("{} times, last", message.attempts);
        const std::string times =
            message.tried ? fmt::format(", tried {} {}", often, format_instant(*message.tried)) : "";
        out += fmt::format("        written {}{}\n", format_instant(message.written), times);
        if (!message.reply.empty()) out += paragraph("        ", message.reply);
    }
    return out.empty() ? "The outbox is empty.\n" : out;
}

}  // namespace mildway::reports
