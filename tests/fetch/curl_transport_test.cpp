// Good answers: what is sent, what is read, how many at a time.
#include "catch.hpp"
#include "fetch_fixtures.hpp"

#include <set>
#include <stdexcept>
#include <thread>

#include <signal.h>

using namespace mildway;
using namespace mildway::testing;

namespace {

Instant at(const char* text) {
    return parse_instant(text).value();
}

fetch::Answer ask_with_headers(std::vector<std::string> headers) {
    const HttpServer server(always(with_status(200, std::move(headers))));
    return ask(server.url());
}

std::vector<fetch::Request> many(const HttpServer& server, int count, int at_once) {
    std::vector<fetch::Request> requests;
    for (int i = 0; i < count; ++i) {
        requests.push_back(request_to(server.url() + "/" + std::to_string(i)));
        requests.back().at_once = at_once;
    }
    return requests;
}

HttpServer echo_server(milliseconds delay) {
    return HttpServer([delay](const Seen& seen) {
        Reply reply = with_body(seen.target);
        reply.delay = delay;
        return reply;
    });
}

}  // namespace

TEST_CASE("a request says who asks and for what and that gzip is understood") {
    const HttpServer server(always(with_body("{}")));
    fetch::Request request = request_to(server.url() + "/points/46.7867,-92.1005?units=si");
    request.accept = "application/geo+json";
    (void)fetch::CurlTransport(quick_options()).get(std::span(&request, 1));
    const Seen seen = server.seen().at(0);
    CHECK(seen.target == "/points/46.7867,-92.1005?units=si");
    CHECK(seen.headers.at("user-agent") == "mildway-test (test@example.org)");
    CHECK(seen.headers.at("accept") == "application/geo+json");
    CHECK(seen.headers.at("accept-encoding") == "gzip");
    CHECK(seen.headers.count("if-none-match") == 0);
    CHECK(seen.headers.count("if-modified-since") == 0);
}

TEST_CASE("a transport without a user agent is refused") {
    CHECK_THROWS_AS(fetch::CurlTransport(fetch::CurlOptions{}), std::invalid_argument);
}

TEST_CASE("what is known of an older answer is sent and 304 is handed on") {
    const HttpServer server(always(with_status(304, {"ETag: \"b\""})));
    fetch::Request request = request_to(server.url());
    request.if_none_match = "W/\"a\"";
    request.if_modified_since = "Fri, 01 Jan 2027 08:00:00 GMT";
    const auto answer = fetch::CurlTransport(quick_options()).get(std::span(&request, 1)).at(0);
    CHECK(answer.status == 304);
    CHECK(answer.etag == "\"b\"");
    CHECK(server.seen().at(0).headers.at("if-none-match") == "W/\"a\"");
    CHECK(server.seen().at(0).headers.at("if-modified-since") == "Fri, 01 Jan 2027 08:00:00 GMT");
}

TEST_CASE("a line break in a header value adds no header") {
    const HttpServer server(always(with_body("{}")));
    fetch::Request request = request_to(server.url());
    request.if_none_match = "\"a\"\r\nX-Added: yes";
    (void)fetch::CurlTransport(quick_options()).get(std::span(&request, 1));
    CHECK(server.seen().at(0).headers.count("x-added") == 0);
    CHECK(server.seen().at(0).headers.count("if-none-match") == 0);
}

TEST_CASE("a gzip body is unpacked") {
    const std::string text = R"({"values": [1, 2, 3]})";
    Reply reply = with_body(gzipped(text));
    reply.headers = {"Content-Encoding: gzip"};
    const HttpServer server(always(reply));
    CHECK(ask(server.url()).body == text);
}

TEST_CASE("the headers of an answer are read") {
    const auto answer = ask_with_headers({"etag: \"abc\"", "last-modified: Fri, 01 Jan 2027 07:00:00 GMT",
                                          "date: Fri, 01 Jan 2027 08:00:00 GMT"});
    CHECK(answer.etag == "\"abc\"");
    CHECK(answer.last_modified == "Fri, 01 Jan 2027 07:00:00 GMT");
    CHECK(answer.server_time == at("2027-01-01T08:00:00Z"));
    CHECK(answer.content_type == "application/json");
    CHECK_FALSE(answer.fresh_for);
    CHECK_FALSE(answer.retry_after);
}

TEST_CASE("the headers of a redirect are not those of the answer") {
    const HttpServer server([](const Seen& seen) {
        return seen.target == "/" ? with_status(302, {"Location: /there", "ETag: \"of the redirect\""})
                                  : with_body("{}");
    });
    CHECK(ask(server.url()).etag.empty());
}

// RFC 9111, 4.2.1 and 5.2.2; RFC 9110, 5.6.7 for the three forms of a date.
TEST_CASE("how long an answer stays fresh is read from its headers") {
    const std::string date = "Date: Sun, 06 Nov 1994 08:49:37 GMT";
    CHECK(ask_with_headers({"Cache-Control: public, max-age=300"}).fresh_for == seconds(300));
    CHECK(ask_with_headers({"Cache-Control: Max-Age=\"60\""}).fresh_for == seconds(60));
    CHECK(ask_with_headers({"Cache-Control: max-age=300, s-maxage=900"}).fresh_for == seconds(300));
    CHECK(ask_with_headers({"Cache-Control: max-age=300", "Age: 100"}).fresh_for == seconds(200));
    CHECK(ask_with_headers({"Cache-Control: max-age=300", "Age: 1000"}).fresh_for == seconds(0));
    CHECK(ask_with_headers({"Cache-Control: no-store, max-age=300"}).fresh_for == seconds(0));
    CHECK(ask_with_headers({"Cache-Control: max-age=300, no-cache"}).fresh_for == seconds(0));
    CHECK(ask_with_headers({date, "Expires: Sun, 06 Nov 1994 08:59:37 GMT"}).fresh_for == seconds(600));
    CHECK(ask_with_headers({date, "Expires: Sunday, 06-Nov-94 08:50:37 GMT"}).fresh_for == seconds(60));
    CHECK(ask_with_headers({date, "Expires: Sun Nov  6 08:50:37 1994"}).fresh_for == seconds(60));
    CHECK(ask_with_headers({date, "Expires: Sun, 06 Nov 1994 08:00:00 GMT"}).fresh_for == seconds(0));
    CHECK(ask_with_headers({date, "Expires: 0"}).fresh_for == seconds(0));
    CHECK(ask_with_headers({date, "Expires: Sun, 06 Nov 1994 09:00:00 GMT", "Cache-Control: max-age=5"})
              .fresh_for == seconds(5));
    CHECK_FALSE(ask_with_headers({"Expires: Sun, 06 Nov 1994 08:59:37 GMT"}).fresh_for);
    CHECK_FALSE(ask_with_headers({"Cache-Control: max-age=soon"}).fresh_for);
}

TEST_CASE("the clock of a server is its date and the age of a copy on the way") {
    const auto answer = ask_with_headers({"Date: Sun, 06 Nov 1994 08:49:37 GMT", "Age: 3600"});
    CHECK(answer.server_time == at("1994-11-06T09:49:37Z"));
}

TEST_CASE("answers stand in the order of the requests") {
    const HttpServer server([](const Seen& seen) {
        Reply reply = with_body(seen.target);
        reply.delay = milliseconds(seen.target == "/0" ? 100 : 1);
        return reply;
    });
    const auto answers = fetch::CurlTransport(quick_options()).get(many(server, 10, 4));
    for (std::size_t i = 0; i < answers.size(); ++i) CHECK(answers[i].body == "/" + std::to_string(i));
}

TEST_CASE("no more requests run at a time than a host is to bear") {
    const HttpServer server = echo_server(milliseconds(100));
    (void)fetch::CurlTransport(quick_options()).get(many(server, 40, 4));
    CHECK(server.seen().size() == 40);
    CHECK(server.most_at_once() == 4);
}

TEST_CASE("no more than 32 requests run at a time in all") {
    const HttpServer server = echo_server(milliseconds(600));
    (void)fetch::CurlTransport(quick_options()).get(many(server, 80, 1000));
    CHECK(server.most_at_once() == 32);
}

TEST_CASE("connections are used again") {
    const HttpServer server = echo_server(milliseconds(1));
    (void)fetch::CurlTransport(quick_options()).get(many(server, 60, 4));
    CHECK(server.connections() <= 8);
}

TEST_CASE("several threads share a transport") {
    const HttpServer server = echo_server(milliseconds(5));
    const fetch::CurlTransport transport(quick_options());
    std::vector<std::vector<fetch::Answer>> answers(4);
    {
        std::vector<std::jthread> threads;
        for (auto& mine : answers) threads.emplace_back([&] { mine = transport.get(many(server, 20, 8)); });
    }
    for (const auto& mine : answers) {
        for (std::size_t i = 0; i < 20; ++i) CHECK(mine.at(i).body == "/" + std::to_string(i));
    }
}

TEST_CASE("no requests are no work") {
    CHECK(fetch::CurlTransport(quick_options()).get({}).empty());
}

TEST_CASE("a signal mask is given back as it was") {
    sigset_t before;
    sigset_t after;
    pthread_sigmask(SIG_SETMASK, nullptr, &before);
    (void)ask(refused_url());
    pthread_sigmask(SIG_SETMASK, nullptr, &after);
    CHECK(sigismember(&after, SIGPIPE) == sigismember(&before, SIGPIPE));
}

TEST_CASE("a loopback address is asked directly whatever proxy is set") {
    const HttpServer server(always(with_body("[1]")));
    setenv("http_proxy", refused_url().c_str(), 1);
    const auto answer = ask(server.url());
    unsetenv("http_proxy");
    CHECK(answer.body == "[1]");
}
