// What is asked for, what is kept, and what stands in when a service fails.
#include "mildway/base/errors.hpp"

#include "small_service.hpp"

#include <functional>

using namespace mildway;
using namespace mildway::testing;
using Catch::Matchers::Contains;
using fetch::Got;
using fetch::Wanted;

namespace {

void must_be_closed(const std::string& body) {
    if (!body.ends_with("]")) throw WeatherError("it stops in the middle");
}

}  // namespace

TEST_CASE("an answer is handed on and kept") {
    SmallService service;
    const Got got = service.get();
    CHECK(got.body == "[1]");
    CHECK(got.fetched == service.now);
    CHECK(got.status == 200);
    CHECK_FALSE(got.kept);
    CHECK(got.trouble.empty());
    CHECK(service.cache().find("application/json " + service.wanted().url)->body == "[1]");
}

TEST_CASE("a status of 203 counts as an answer") {
    SmallService service;
    service.next.status = 203;
    CHECK(service.get().body == "[1]");
}

TEST_CASE("a fresh copy is used without asking") {
    SmallService service;
    service.keep_and_wait(minutes(29));
    const Got got = service.get();
    CHECK(got.body == "[1]");
    CHECK(got.kept);
    CHECK(got.status == 0);
    CHECK(got.fetched == service.now - minutes(29));
    CHECK(got.trouble.empty());
    CHECK(service.seen().size() == 1);
}

TEST_CASE("a copy that is no longer fresh is asked for again") {
    SmallService service;
    service.keep_and_wait(minutes(30));
    service.next = with_body("[2]");
    CHECK(service.get().body == "[2]");
    CHECK(service.seen().size() == 2);
}

TEST_CASE("a fresh copy is asked for again when that is wanted") {
    SmallService service;
    service.keep_and_wait(minutes(1));
    service.next = with_body("[2]");
    Wanted wanted = service.wanted();
    wanted.ask_anyway = true;
    CHECK(service.get(wanted).body == "[2]");
}

TEST_CASE("the word of a service makes a copy stay fresh longer") {
    SmallService service;
    service.next.headers = {"Cache-Control: max-age=7200"};
    service.keep_and_wait(minutes(119));
    CHECK(service.get().kept);
    service.now += minutes(1);
    CHECK_FALSE(service.get().kept);
}

TEST_CASE("no word of a service makes a copy stay fresh for more than a day") {
    SmallService service;
    service.next.headers = {"Cache-Control: max-age=31536000"};
    service.keep_and_wait(hours(24));
    (void)service.get();
    CHECK(service.seen().size() == 2);
}

TEST_CASE("the service is told which copy is there and may confirm it") {
    SmallService service;
    service.next.headers = {"ETag: \"a\"", "Last-Modified: Fri, 01 Jan 2027 07:00:00 GMT"};
    service.keep_and_wait(hours(5));
    service.next = with_status(304);
    const Got got = service.get();
    CHECK(got.body == "[1]");
    CHECK(got.status == 304);
    CHECK(got.fetched == service.now);
    CHECK_FALSE(got.kept);
    CHECK(got.trouble.empty());
    CHECK(service.seen().at(1).headers.at("if-none-match") == "\"a\"");
    CHECK(service.seen().at(1).headers.at("if-modified-since") == "Fri, 01 Jan 2027 07:00:00 GMT");
}

TEST_CASE("a confirmed copy is fresh again") {
    SmallService service;
    service.next.headers = {"ETag: \"a\""};
    service.keep_and_wait(hours(5));
    service.next = with_status(304, {"Cache-Control: max-age=3600"});
    (void)service.get();
    service.now += minutes(59);
    CHECK(service.get().kept);
    CHECK(service.seen().size() == 2);
}

TEST_CASE("a confirmation of a copy that is not there is trouble") {
    SmallService service;
    service.next = with_status(304);
    const Got got = service.get();
    CHECK_FALSE(got.good());
    CHECK(got.trouble == service.host() + ": answered 304");
}

TEST_CASE("a confirmation that nobody asked for leaves a copy old") {
    SmallService service;
    service.keep_and_wait(hours(5));  // without an ETag or a date: nothing could be asked about it
    service.next = with_status(304);
    const Got got = service.get();
    CHECK(got.kept);
    CHECK(got.fetched == service.now - hours(5));
    CHECK(got.trouble == service.host() + ": answered 304");
}

TEST_CASE("a copy stands in when the service fails and says so") {
    SmallService service;
    service.keep_and_wait(hours(5));
    service.next = with_status(503);
    const Got got = service.get();
    CHECK(got.body == "[1]");
    CHECK(got.kept);
    CHECK(got.fetched == service.now - hours(5));
    CHECK(got.status == 503);
    CHECK(got.trouble == service.host() + ": answered 503");
}

TEST_CASE("a copy stands in when the connection fails and says so") {
    SmallService service;
    service.keep_and_wait(hours(5));
    service.next = with_fault(Fault::close_before_answer);
    const Got got = service.get();
    CHECK(got.body == "[1]");
    CHECK(got.status == 0);
    CHECK(got.trouble == service.host() + ": hung up without an answer");
}

TEST_CASE("a copy that is too old does not stand in") {
    SmallService service;
    service.keep_and_wait(hours(14 * 24) + seconds(1));
    service.next = with_status(503);
    const Got got = service.get();
    CHECK_FALSE(got.good());
    CHECK(got.trouble == service.host() + ": answered 503");
}

TEST_CASE("a failed request leaves the copy as it was") {
    SmallService service;
    service.keep_and_wait(hours(5));
    service.next = with_status(500);
    (void)service.get();
    CHECK(service.cache().find("application/json " + service.wanted().url)->fetched ==
          service.now - hours(5));
}

TEST_CASE("what a service says about an error is kept apart from what was wanted") {
    SmallService service;
    service.next = with_status(404);
    service.next.body = R"({"title": "Invalid Point"})";
    const Got got = service.get();
    CHECK_FALSE(got.good());
    CHECK(got.status == 404);
    CHECK(got.error_body == R"({"title": "Invalid Point"})");
    CHECK(got.trouble == service.host() + ": answered 404");
}

TEST_CASE("an answer that is not what was asked for is asked for once more") {
    SmallService service;
    service.next = with_fault(Fault::cut_body, "[1, 2, 3]");
    int checks = 0;
    const Got got = service.get(service.wanted([&](const std::string& body) {
        if (++checks == 1) service.next = with_body("[1, 2, 3]");
        must_be_closed(body);
    }));
    CHECK(got.body == "[1, 2, 3]");
    CHECK(got.trouble.empty());
    CHECK(service.seen().size() == 2);
}

TEST_CASE("an answer that stays wrong is trouble and never kept") {
    SmallService service;
    service.next = with_body("<html>Back soon</html>");
    const Got got = service.get(service.wanted(must_be_closed));
    CHECK_FALSE(got.good());
    CHECK(got.trouble ==
          service.host() + ": sent something that is not what was asked for: it stops in the middle");
    CHECK(service.seen().size() == 2);
    CHECK_FALSE(service.cache().find("application/json " + service.wanted().url));
}

TEST_CASE("a wrong answer does not replace a good copy") {
    SmallService service;
    service.keep_and_wait(hours(5));
    service.next = with_body("<html>Back soon</html>");
    const Got got = service.get(service.wanted(must_be_closed));
    CHECK(got.body == "[1]");
    CHECK(got.kept);
    CHECK_THAT(got.trouble, Contains("not what was asked for"));
}

TEST_CASE("an empty answer is trouble") {
    SmallService service;
    service.next = with_body("");
    CHECK(service.get().trouble == service.host() + ": sent an empty answer");
}

TEST_CASE("after a wrong answer the whole is asked for and not whether it changed") {
    SmallService service;
    service.next.headers = {"ETag: \"a\""};
    service.keep_and_wait(hours(5));
    service.next = with_body("nonsense");
    (void)service.get(service.wanted(must_be_closed));
    CHECK(service.seen().at(1).headers.count("if-none-match") == 1);
    CHECK(service.seen().at(2).headers.count("if-none-match") == 0);
}

TEST_CASE("a copy that no longer passes the check is neither confirmed nor used") {
    SmallService service;
    service.next = with_body("kept when nobody checked");
    service.next.headers = {"ETag: \"a\""};
    service.keep_and_wait(hours(5));
    service.next = with_status(503);
    const Got got = service.get(service.wanted(must_be_closed));
    CHECK_FALSE(got.good());
    CHECK(service.seen().at(1).headers.count("if-none-match") == 0);
}

TEST_CASE("a copy from the future is not used") {
    SmallService service;
    service.keep_and_wait(-hours(1));  // the clock was wrong then, or is now
    service.next = with_status(503);
    CHECK_FALSE(service.get().good());
}

TEST_CASE("offline gives a fresh copy without a word") {
    SmallService service;
    service.keep_and_wait(minutes(10));
    const Got got = service.get_offline(service.wanted());
    CHECK(got.body == "[1]");
    CHECK(got.kept);
    CHECK(got.trouble.empty());
}

TEST_CASE("offline gives an old copy and says that it did not ask") {
    SmallService service;
    service.keep_and_wait(hours(100));
    const Got got = service.get_offline(service.wanted());
    CHECK(got.body == "[1]");
    CHECK(got.kept);
    CHECK(got.trouble == service.host() + ": not asked, being offline");
    CHECK(service.seen().size() == 1);
}

TEST_CASE("offline without a copy gives nothing") {
    SmallService service;
    const Got got = service.get_offline(service.wanted());
    CHECK_FALSE(got.good());
    CHECK(got.trouble == service.host() + ": not asked, being offline");
    CHECK(service.seen().empty());
}
