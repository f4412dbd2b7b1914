// What a server or the network can do wrong, and what is said about it.
#include "catch.hpp"
#include "fetch_fixtures.hpp"

using namespace mildway;
using namespace mildway::testing;
using Catch::Matchers::Contains;
using Clock = std::chrono::steady_clock;

namespace {

/// Options for a fault that another try would not mend.
fetch::CurlOptions one_try() {
    fetch::CurlOptions options = quick_options();
    options.tries = 1;
    return options;
}

Reply redirect(const std::string& to) {
    return with_status(302, {"Location: " + to});
}

}  // namespace

TEST_CASE("a server that never answers is given up after the time for a try") {
    const HttpServer server(always(with_fault(Fault::hang)));
    fetch::CurlOptions options = one_try();
    options.answer_time = milliseconds(300);
    const auto start = Clock::now();
    const auto answer = ask(server.url(), options);
    CHECK(answer.trouble == "did not answer within 0.3 s");
    CHECK(answer.status == 0);
    CHECK(Clock::now() - start < milliseconds(20'000));
}

TEST_CASE("a server that falls silent in its answer is given up before the time for a try is over") {
    const HttpServer server(always(with_fault(Fault::fall_silent)));
    fetch::CurlOptions options = one_try();
    options.silence = milliseconds(3000);
    options.answer_time = milliseconds(60'000);
    const auto start = Clock::now();
    CHECK(ask(server.url(), options).trouble == "fell silent for 3 s in the middle of its answer");
    CHECK(Clock::now() - start < milliseconds(20'000));
}

TEST_CASE("a body that drips is given up after the time for a try") {
    const HttpServer server(always(with_fault(Fault::drip, std::string(1000, 'x'))));
    fetch::CurlOptions options = one_try();
    options.answer_time = milliseconds(2000);
    const auto answer = ask(server.url(), options);
    CHECK(answer.trouble == "was still sending after 2 s");
    CHECK(answer.body.empty());
}

TEST_CASE("a refused connection is tried as often as allowed and then said") {
    const auto answer = ask(refused_url());
    CHECK(answer.trouble == "the connection was refused");
    CHECK(answer.tries == 3);
}

TEST_CASE("a name that does not exist is said") {
    // RFC 6761, 6.4: names under "invalid" never resolve.
    CHECK(ask("http://weather.invalid/", one_try()).trouble == "the name could not be looked up");
}

TEST_CASE("an address of another kind is not asked") {
    CHECK(ask("file:///etc/hostname").trouble == "the address is not one that can be asked");
    CHECK(ask("http://127.0.0.1:99999/").trouble == "the address is not one that can be asked");
}

TEST_CASE("a server that hangs up without an answer is asked again") {
    const HttpServer server(in_turn({with_fault(Fault::close_before_answer), with_body("[1]")}));
    const auto answer = ask(server.url());
    CHECK(answer.body == "[1]");
    CHECK(answer.trouble.empty());
}

TEST_CASE("a server that always hangs up without an answer is given up") {
    const HttpServer server(always(with_fault(Fault::close_before_answer)));
    CHECK(ask(server.url()).trouble == "hung up without an answer");
}

TEST_CASE("a connection reset in the middle of a body gives no body") {
    const HttpServer server(always(with_fault(Fault::reset_in_body)));
    const auto answer = ask(server.url());
    CHECK(answer.trouble == "the connection broke");
    CHECK(answer.body.empty());
    CHECK(server.seen().size() == 3);
}

TEST_CASE("a connection reset in the middle of a body is mended by the next try") {
    const HttpServer server(in_turn({with_fault(Fault::reset_in_body), with_body("[1]")}));
    CHECK(ask(server.url()).body == "[1]");
}

TEST_CASE("a body shorter than its length is trouble") {
    const HttpServer server(always(with_fault(Fault::cut_length)));
    const auto answer = ask(server.url());
    CHECK(answer.trouble == "hung up in the middle of its answer");
    CHECK(answer.body.empty());
}

TEST_CASE("a cut body without a length looks whole and is left to the check") {
    const HttpServer server(always(with_fault(Fault::cut_body, "[1, 2, 3, 4]")));
    const auto answer = ask(server.url());
    CHECK(answer.trouble.empty());
    CHECK(answer.body == "[1, 2,");
}

TEST_CASE("redirects are followed three times") {
    const HttpServer server([](const Seen& seen) {
        const int left = std::stoi(seen.target.substr(1));
        return left > 0 ? redirect("/" + std::to_string(left - 1)) : with_body("arrived");
    });
    CHECK(ask(server.url() + "/3").body == "arrived");
    CHECK(ask(server.url() + "/4").trouble == "redirects without end");
}

TEST_CASE("a redirect loop ends") {
    for (const int status : {301, 302}) {
        const HttpServer server(always(with_status(status, {"Location: /"})));
        CHECK(ask(server.url()).trouble == "redirects without end");
        CHECK(server.seen().size() == 4);  // and is not tried again
    }
}

TEST_CASE("a redirect to a file or to another scheme is not followed") {
    for (const char* to : {"file:///etc/hostname", "ftp://127.0.0.1/", "https://127.0.0.1/"}) {
        const HttpServer server(always(redirect(to)));
        const auto answer = ask(server.url());
        CAPTURE(to);
        CHECK(answer.trouble == "redirects to a kind of address that is not followed");
        CHECK(answer.body.empty());
    }
}

TEST_CASE("a redirect without a target is handed on as it is") {
    const HttpServer server(always(with_status(301)));
    CHECK(ask(server.url()).status == 301);
}

TEST_CASE("a body of fifty megabytes is cut off at the cap") {
    const HttpServer server(always(with_body(std::string(50u << 20, ' '))));
    const auto answer = ask(server.url());
    CHECK(answer.trouble == "sent more than 8 MB");
    CHECK(answer.body.empty());
    CHECK(server.seen().size() == 1);
}

TEST_CASE("a gzip bomb is cut off at the cap") {
    const HttpServer server(always(with_fault(Fault::gzip_bomb)));
    const auto answer = ask(server.url());
    CHECK(answer.trouble == "sent more than 8 MB");
    CHECK(answer.body.empty());
}

TEST_CASE("a body of exactly the cap is taken and one byte more is not") {
    fetch::CurlOptions options = quick_options();
    options.largest_body = 1000;
    const HttpServer fits(always(with_body(std::string(1000, 'x'))));
    CHECK(ask(fits.url(), options).body.size() == 1000);
    const HttpServer larger(always(with_body(std::string(1001, 'x'))));
    CHECK(ask(larger.url(), options).trouble == "sent more than 1000 bytes");
}

TEST_CASE("a damaged gzip body is trouble") {
    Reply reply = with_body(gzipped(std::string(1000, 'x')));
    reply.body[12] = static_cast<char>(~reply.body[12]);
    reply.headers = {"Content-Encoding: gzip"};
    const HttpServer server(always(reply));
    const auto answer = ask(server.url());
    CHECK(answer.trouble == "sent an answer that could not be unpacked");
    CHECK(answer.body.empty());
}

TEST_CASE("an empty body is an answer") {
    const HttpServer server(always(with_body("")));
    const auto answer = ask(server.url());
    CHECK(answer.status == 200);
    CHECK(answer.trouble.empty());
    CHECK(answer.body.empty());
}

TEST_CASE("a wrong content type is handed on") {
    Reply reply = with_body("<html>Back soon</html>");
    reply.content_type = "text/html";
    const HttpServer server(always(reply));
    const auto answer = ask(server.url());
    CHECK(answer.content_type == "text/html");
    CHECK(answer.body == "<html>Back soon</html>");
}

TEST_CASE("what a service says about an error is handed on") {
    Reply reply = with_status(404);
    reply.body = R"({"type": "https://example.org/problems/InvalidPoint", "title": "Invalid Point"})";
    reply.content_type = "application/problem+json";
    const HttpServer server(always(reply));
    const auto answer = ask(server.url());
    CHECK(answer.status == 404);
    CHECK_THAT(answer.body, Contains("InvalidPoint"));
    CHECK(answer.trouble.empty());
    CHECK(answer.tries == 1);
}

TEST_CASE("no fault shows the secret part of an address") {
    for (const Fault fault : {Fault::hang, Fault::close_before_answer, Fault::reset_in_body,
                              Fault::cut_length, Fault::drip, Fault::gzip_bomb}) {
        const HttpServer server(always(with_fault(fault, std::string(1000, 'x'))));
        fetch::CurlOptions options = one_try();
        options.answer_time = milliseconds(2000);
        fetch::Request request = request_to(server.url() + "/?place=1");
        request.secret_query = "&apikey=sesame";
        const auto answer = fetch::CurlTransport(options).get(std::span(&request, 1)).at(0);
        CHECK_FALSE(answer.trouble.empty());
        CHECK_THAT(answer.trouble, !Contains("sesame") && !Contains("apikey"));
        CHECK(server.seen().at(0).target == "/?place=1&apikey=sesame");
    }
}
