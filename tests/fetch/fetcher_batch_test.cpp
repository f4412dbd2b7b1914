// Many wishes at once, secrets, and what is remarked to a person.
#include "small_service.hpp"

#include <thread>

using namespace mildway;
using namespace mildway::testing;
using Catch::Matchers::Contains;
using Catch::Matchers::EndsWith;
using fetch::Got;
using fetch::Wanted;

TEST_CASE("equal wishes are asked for once") {
    SmallService service;
    const auto got = service.get_all({service.wanted(), service.wanted(), service.wanted()});
    CHECK(service.seen().size() == 1);
    for (const Got& one : got) CHECK(one.body == "[1]");
}

TEST_CASE("equal wishes are held to the strictest of them") {
    SmallService service;
    service.keep_and_wait(minutes(10));
    Wanted strict = service.wanted();
    strict.fresh_for = minutes(5);
    (void)service.get_all({service.wanted(), strict});
    CHECK(service.seen().size() == 2);
}

TEST_CASE("another accepted type is another wish") {
    SmallService service;
    Wanted other = service.wanted();
    other.accept = "application/geo+json";
    const auto got = service.get_all({service.wanted(), other});
    CHECK(service.seen().size() == 2);
    CHECK(got.at(1).good());
}

TEST_CASE("results stand in the order of the wishes") {
    const HttpServer server([](const Seen& seen) { return with_body(seen.target); });
    const TempFolder folder;
    const fetch::DiskCache cache(folder.path());
    const fetch::CurlTransport transport(quick_options());
    const fetch::Fetcher fetcher(&transport, &cache, [] { return at("2027-01-01T08:00:00Z"); });
    std::vector<Wanted> wanted(3);
    const std::vector<std::string> paths{"/b", "/a", "/b"};
    for (std::size_t i = 0; i < 3; ++i) wanted[i].url = server.url() + paths[i];
    const auto got = fetcher.get(wanted);
    for (std::size_t i = 0; i < 3; ++i) CHECK(got.at(i).body == paths[i]);
}

TEST_CASE("one place that fails does not spoil the others") {
    const HttpServer server(
        [](const Seen& seen) { return seen.target == "/bad" ? with_status(500) : with_body("[1]"); });
    const TempFolder folder;
    const fetch::DiskCache cache(folder.path());
    const fetch::CurlTransport transport(quick_options());
    const fetch::Fetcher fetcher(&transport, &cache, [] { return at("2027-01-01T08:00:00Z"); });
    std::vector<Wanted> wanted(2);
    wanted[0].url = server.url() + "/bad";
    wanted[1].url = server.url() + "/good";
    const auto got = fetcher.get(wanted);
    CHECK_FALSE(got.at(0).good());
    CHECK(got.at(1).good());
}

TEST_CASE("the secret part of an address is sent but neither kept nor shown") {
    SmallService service;
    Wanted wanted = service.wanted();
    wanted.secret_query = "?apikey=sesame";
    REQUIRE(service.get(wanted).good());
    CHECK_THAT(service.seen().at(0).target, EndsWith("?apikey=sesame"));
    for (const auto& file : std::filesystem::directory_iterator(service.cache().folder()))
        CHECK_THAT(slurp(file), !Contains("sesame"));
    service.now += hours(1);
    service.next = with_status(403);
    CHECK_THAT(service.get(wanted).trouble, !Contains("sesame"));
}

TEST_CASE("a cache that cannot be written is remarked once and no reason to fail") {
    const HttpServer server(always(with_body("[1]")));
    const TempFolder folder;
    spill(folder.path() / "in the way", "");
    const fetch::DiskCache cache(folder.path() / "in the way");
    const fetch::CurlTransport transport(quick_options());
    std::vector<std::string> remarks;
    const fetch::Fetcher fetcher(
        &transport, &cache, [] { return at("2027-01-01T08:00:00Z"); },
        [&](const std::string& remark) { remarks.push_back(remark); });
    std::vector<Wanted> wanted(2);
    wanted[0].url = server.url() + "/a";
    wanted[1].url = server.url() + "/b";
    for (const Got& got : fetcher.get(wanted)) CHECK(got.body == "[1]");
    REQUIRE(remarks.size() == 1);
    CHECK_THAT(remarks[0], Contains("could not be kept") && Contains("in the way"));
}

TEST_CASE("a clock that differs by a day is remarked once") {
    SmallService service;
    service.next.headers = {"Date: Sat, 02 Jan 2027 09:00:00 GMT"};
    Wanted other = service.wanted();
    other.url += "/other";
    CHECK(service.get_all({service.wanted(), other}).at(1).good());
    REQUIRE(service.remarks.size() == 1);
    CHECK(service.remarks[0] ==
          service.host() + ": its clock and this computer's differ by 25 h; check the clock");
}

TEST_CASE("clocks that differ by a few minutes are no remark") {
    SmallService service;
    service.next.headers = {"Date: Fri, 01 Jan 2027 08:09:00 GMT"};
    CHECK(service.get().good());
    CHECK(service.remarks.empty());
}

TEST_CASE("an answer that was in a cache on the way for hours is no remark") {
    SmallService service;
    service.next.headers = {"Date: Fri, 01 Jan 2027 05:00:00 GMT", "Age: 10800"};
    CHECK(service.get().good());
    CHECK(service.remarks.empty());
}

TEST_CASE("several threads share a fetcher") {
    const HttpServer server([](const Seen& seen) { return with_body(seen.target); });
    const TempFolder folder;
    const fetch::DiskCache cache(folder.path());
    const fetch::CurlTransport transport(quick_options());
    const fetch::Fetcher fetcher(&transport, &cache, [] { return at("2027-01-01T08:00:00Z"); });
    std::vector<Wanted> wanted(10);
    for (std::size_t i = 0; i < wanted.size(); ++i) {
        wanted[i].url = server.url() + "/" + std::to_string(i);
        wanted[i].ask_anyway = true;
    }
    std::vector<std::vector<Got>> got(4);
    {
        std::vector<std::jthread> threads;
        for (auto& mine : got) threads.emplace_back([&] { mine = fetcher.get(wanted); });
    }
    for (const auto& mine : got) {
        for (std::size_t i = 0; i < wanted.size(); ++i) CHECK(mine.at(i).body == "/" + std::to_string(i));
    }
}
