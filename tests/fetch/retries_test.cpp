// Trying again: what for, how often, and after how long.
#include "catch.hpp"
#include "fetch_fixtures.hpp"

#include <string>
#include <vector>

using namespace mildway;
using namespace mildway::testing;
using Clock = std::chrono::steady_clock;

namespace {

struct Timed {
    fetch::Answer answer;
    Clock::duration time;
};

Timed timed_ask(const HttpServer& server, const fetch::CurlOptions& options = quick_options()) {
    const auto start = Clock::now();
    fetch::Answer answer = ask(server.url(), options);
    return {std::move(answer), Clock::now() - start};
}

}  // namespace

TEST_CASE("the passing failures of a server are tried again") {
    for (const int status : {429, 500, 502, 503, 504}) {
        const HttpServer server(in_turn({with_status(status), with_status(status), with_body("[1]")}));
        const auto answer = ask(server.url());
        CAPTURE(status);
        CHECK(answer.body == "[1]");
        CHECK(answer.tries == 3);
    }
}

TEST_CASE("answers that another try would not change are taken at once") {
    for (const int status : {204, 400, 401, 403, 404, 410, 501, 505}) {
        const HttpServer server(always(with_status(status)));
        CHECK(ask(server.url()).status == status);
        CHECK(server.seen().size() == 1);
    }
}

TEST_CASE("tries are bounded and the last answer is handed on") {
    const HttpServer server(always(with_status(503)));
    const auto answer = ask(server.url());
    CHECK(answer.status == 503);
    CHECK(answer.body == "{}");
    CHECK(answer.tries == 3);
    CHECK(server.seen().size() == 3);
}

TEST_CASE("a forecast grid that has expired is not hammered") {
    Reply reply = with_status(503);
    reply.content_type = "application/problem+json; charset=utf-8";
    reply.body = R"({"type": "https://api.example.org/problems/ForecastGridExpired", "status": 503})";
    const HttpServer server(always(reply));
    CHECK(ask(server.url()).status == 503);
    CHECK(server.seen().size() == 1);
}

TEST_CASE("another problem with status 503 is tried again") {
    Reply reply = with_status(503);
    reply.content_type = "application/problem+json";
    for (const char* body :
         {R"({"type": "https://api.example.org/problems/ServiceUnavailable"})", "no json", ""}) {
        reply.body = body;
        const HttpServer server(always(reply));
        CHECK(ask(server.url()).status == 503);
        CHECK(server.seen().size() == 3);
    }
}

TEST_CASE("Retry-After in seconds is waited for") {
    const HttpServer server(in_turn({with_status(429, {"Retry-After: 1"}), with_body("[1]")}));
    const Timed got = timed_ask(server);
    CHECK(got.answer.body == "[1]");
    CHECK(got.time >= milliseconds(1000));
}

TEST_CASE("Retry-After as a date is read against the clock of the server") {
    // Years off this computer's clock: only the difference of the two counts.
    const HttpServer server(in_turn({with_status(503, {"Date: Fri, 01 Jan 2021 08:00:00 GMT",
                                                       "Retry-After: Fri, 01 Jan 2021 08:00:01 GMT"}),
                                     with_body("[1]")}));
    const Timed got = timed_ask(server);
    CHECK(got.answer.body == "[1]");
    CHECK(got.time >= milliseconds(1000));
    CHECK(got.time < milliseconds(20'000));  // not the years
}

TEST_CASE("a Retry-After longer than the longest wait ends the tries") {
    for (const char* wait : {"Retry-After: 3600", "Retry-After: 99999999999999999999"}) {
        const HttpServer server(always(with_status(503, {wait})));
        const Timed got = timed_ask(server);
        CHECK(got.answer.status == 503);
        CHECK(got.answer.tries == 1);
        CHECK(got.answer.retry_after >= seconds(3600));
        CHECK(got.time < milliseconds(20'000));
    }
}

TEST_CASE("an unreadable Retry-After is passed over") {
    for (const char* wait : {"Retry-After: soon", "Retry-After: -5", "Retry-After: 1.5", "Retry-After: "}) {
        const HttpServer server(in_turn({with_status(503, {wait}), with_body("[1]")}));
        CHECK(ask(server.url()).body == "[1]");
    }
}

TEST_CASE("waits grow and are not scattered far") {
    const HttpServer server(always(with_status(500)));
    fetch::CurlOptions options = quick_options();
    options.first_wait = milliseconds(200);
    bool near = false;
    for (int round = 0; round < 5 && !near; ++round) {  // a busy machine may hold up some of them
        const Timed got = timed_ask(server, options);
        CHECK(got.time >= milliseconds(200 + 500));
        near = got.time < milliseconds(700 * 4 / 3 + 300);
    }
    CHECK(near);
}

TEST_CASE("the wait of one request does not hold up the others") {
    const HttpServer server(
        [](const Seen& seen) { return seen.target == "/bad" ? with_status(500) : with_body("[1]"); });
    fetch::CurlOptions options = quick_options();
    options.first_wait = milliseconds(300);
    std::vector<fetch::Request> requests{request_to(server.url() + "/bad"),
                                         request_to(server.url() + "/good")};
    for (auto& request : requests) request.at_once = 1;
    const auto answers = fetch::CurlTransport(options).get(requests);
    CHECK(answers.at(0).status == 500);
    CHECK(answers.at(1).body == "[1]");
    std::vector<std::string> order;
    for (const Seen& seen : server.seen()) order.push_back(seen.target);
    CHECK(order == std::vector<std::string>{"/bad", "/good", "/bad", "/bad"});
}

TEST_CASE("a host that wants to be left alone is left alone by the requests behind") {
    const HttpServer server(always(with_status(429, {"Retry-After: 3600"})));
    std::vector<fetch::Request> requests;
    for (int i = 0; i < 20; ++i) {
        requests.push_back(request_to(server.url() + "/" + std::to_string(i)));
        requests.back().at_once = 1;
    }
    const auto answers = fetch::CurlTransport(quick_options()).get(requests);
    CHECK(server.seen().size() == 1);
    CHECK(answers.front().status == 429);
    CHECK(answers.back().trouble == "asks to be left alone for 3600 s");
}

TEST_CASE("the time for a whole batch bounds tries and waits") {
    const HttpServer server(always(with_status(500)));
    fetch::CurlOptions options = quick_options();
    options.tries = 1000;
    options.first_wait = milliseconds(50);
    options.longest_wait = milliseconds(50);
    options.batch_time = milliseconds(2000);
    const Timed got = timed_ask(server, options);
    CHECK(got.answer.status == 500);
    CHECK(got.answer.tries > 2);
    CHECK(got.time < milliseconds(20'000));
}

TEST_CASE("a request that no time was left for says so") {
    const HttpServer server(always(with_fault(Fault::hang)));
    fetch::CurlOptions options = quick_options();
    options.tries = 1;
    options.batch_time = milliseconds(300);
    std::vector<fetch::Request> requests{request_to(server.url()), request_to(server.url())};
    for (auto& request : requests) request.at_once = 1;
    const auto answers = fetch::CurlTransport(options).get(requests);
    CHECK(answers.at(0).tries == 1);
    CHECK(answers.at(1).trouble == "was not asked: the 0.3 s for all requests were over");
    CHECK(answers.at(1).tries == 0);
}
