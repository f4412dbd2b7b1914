// Asking the test server, without the patience that a real service is owed.
#pragma once

#include "mildway/fetch/curl_transport.hpp"

#include "http_server.hpp"

#include <chrono>
#include <string>
#include <utility>
#include <vector>

namespace mildway::testing {

using std::chrono::milliseconds;

inline fetch::CurlOptions quick_options() {
    fetch::CurlOptions options;
    options.user_agent = "mildway-test (test@example.org)";
    options.connect_time = milliseconds(20'000);
    options.answer_time = milliseconds(20'000);
    options.batch_time = milliseconds(60'000);
    options.first_wait = milliseconds(5);
    options.longest_wait = milliseconds(2000);
    return options;
}

inline fetch::Request request_to(const std::string& url) {
    fetch::Request request;
    request.url = url;
    return request;
}

inline fetch::Answer ask(const std::string& url, const fetch::CurlOptions& options = quick_options()) {
    const std::vector<fetch::Request> one{request_to(url)};
    return fetch::CurlTransport(options).get(one).at(0);
}

/// A server that gives one reply, whatever is asked.
inline auto always(Reply reply) {
    return [reply = std::move(reply)](const Seen&) { return reply; };
}

/// A server that gives these replies in turn, and the last one ever after.
inline auto in_turn(std::vector<Reply> replies) {
    return [replies = std::move(replies), next = std::size_t{0}](const Seen&) mutable {
        return replies[next + 1 < replies.size() ? next++ : next];
    };
}

inline Reply with_status(int status, std::vector<std::string> headers = {}) {
    Reply reply;
    reply.status = status;
    reply.body = "{}";
    reply.headers = std::move(headers);
    return reply;
}

inline Reply with_body(std::string body) {
    Reply reply;
    reply.body = std::move(body);
    return reply;
}

inline Reply with_fault(Fault fault, std::string body = R"({"some": "body", "cut": "somewhere"})") {
    Reply reply;
    reply.fault = fault;
    reply.body = std::move(body);
    return reply;
}

/// A port of this computer that nobody listens on: taken, and given back.
inline std::string refused_url() {
    const HttpServer taken(always({}));
    return taken.url();
}

}  // namespace mildway::testing
