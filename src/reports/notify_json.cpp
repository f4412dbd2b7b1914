#include "mildway/reports/notify_report.hpp"

#include <nlohmann/json.hpp>

namespace mildway::reports {

namespace {

using Json = nlohmann::ordered_json;
using orders::Message;

Json message_json(const Message& message) {
    Json json{{"id", message.id == 0 ? Json(nullptr) : Json(message.id)},
              {"order", message.number},
              {"kind", message.kind},
              {"version", message.version},
              {"issue", message.issue},
              {"to", message.to},
              {"subject", message.subject},
              {"message_id", message.message_id},
              {"state", orders::message_state_name(message.state)},
              {"attempts", message.attempts},
              {"written", format_instant(message.written)}};
    json["tried"] = message.tried ? Json(format_instant(*message.tried)) : Json(nullptr);
    json["reply"] = message.reply;
    return json;
}

Json list_json(const std::vector<Message>& messages) {
    Json list = Json::array();
    for (const Message& message : messages) list.push_back(message_json(message));
    return list;
}

Json unwritten_json(const std::vector<Unwritten>& all) {
    Json list = Json::array();
    for (const Unwritten& one : all)
        list.push_back({{"order", one.order}, {"kind", notices::kind_name(one.kind)}, {"why", one.why}});
    return list;
}

Json post_json(const Post& post, const char* did) {
    Json json{{"document", "mildway notify"}, {"version", 1}, {"did", did}};
    Json due = Json::array();
    for (const notices::Composed& one : post.due) {
        Json message = message_json(one.message);
        message["verdict"] = one.verdict ? Json(verdict_name(*one.verdict)) : Json(nullptr);
        message["text"] = one.letter.text;
        message["html"] = one.letter.html;
        message["calendar"] = one.calendar;
        due.push_back(std::move(message));
    }
    json["due"] = std::move(due);
    json["waiting"] = list_json(post.waiting);
    json["superseded"] = list_json(post.superseded);
    json["needs_person"] = list_json(post.needs_person);
    json["being_sent"] = list_json(post.being_sent);
    json["for_person"] = unwritten_json(post.for_person);
    json["without_address"] = unwritten_json(post.without_address);
    json["failed"] = unwritten_json(post.failed);
    return json;
}

}  // namespace

std::string notify_preview_json(const Post& post, const std::vector<std::string>& files) {
    Json json = post_json(post, files.empty() ? "preview" : "dry-run");
    if (!files.empty()) json["files"] = files;
    return json.dump(2) + "\n";
}

std::string notify_sent_json(const Post& post, const notices::SendReport& report) {
    Json json = post_json(post, "send");
    Json tried = Json::array();
    for (const notices::Sent& sent : report.tried) tried.push_back(message_json(sent.message));
    json["tried"] = std::move(tried);
    json["changed"] = list_json(report.changed);
    json["stopped"] = report.stopped;
    return json.dump(2) + "\n";
}

std::string outbox_json(const std::vector<Message>& messages) {
    const Json json{
        {"document", "mildway notify"}, {"version", 1}, {"did", "list"}, {"outbox", list_json(messages)}};
    return json.dump(2) + "\n";
}

}  // namespace mildway::reports
