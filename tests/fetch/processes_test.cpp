// Processes that share a cache, and processes that die.
#include "mildway/fetch/fetcher.hpp"

#include "catch.hpp"
#include "child_process.hpp"
#include "fetch_fixtures.hpp"
#include "temp_workspace.hpp"

#include <algorithm>
#include <csignal>
#include <random>
#include <thread>

using namespace mildway;
using namespace mildway::testing;
namespace fs = std::filesystem;

namespace {

constexpr std::size_t kPlaces = 4;
constexpr std::size_t kBodySize = 100'000;

/// Bodies of one digit each, another one at every request: a mixture of two would show.
HttpServer changing_server() {
    return HttpServer([count = 0](const Seen&) mutable {
        return with_body(std::string(kBodySize, static_cast<char>('0' + count++ % 10)));
    });
}

bool is_whole(const std::string& body) {
    return body.size() == kBodySize && body.find_first_not_of(body[0]) == std::string::npos;
}

class Station {
public:
    std::string url(std::size_t place) const { return server.url() + "/" + std::to_string(place); }

    /// Asks for all places; whether all came whole.
    bool fetch_all() const {
        const fetch::CurlTransport transport(quick_options());
        const fetch::Fetcher fetcher(&transport, &cache, [] { return Instant(hours(500'000)); });
        std::vector<fetch::Wanted> wanted(kPlaces);
        for (std::size_t i = 0; i < kPlaces; ++i) {
            wanted[i].url = url(i);
            wanted[i].ask_anyway = true;
        }
        const auto got = fetcher.get(wanted);
        return std::all_of(got.begin(), got.end(),
                           [](const fetch::Got& one) { return one.trouble.empty() && is_whole(one.body); });
    }

    /// Keeps a new body for each place, as after fetching it: nearly all of the time goes into writing.
    void keep_all(char digit) const {
        for (std::size_t i = 0; i < kPlaces; ++i)
            cache.keep("application/json " + url(i), {std::string(kBodySize, digit), {}, {}, "", ""});
    }

    /// Whether every place, fetched before, is there and whole.
    bool all_kept() const {
        for (std::size_t i = 0; i < kPlaces; ++i) {
            const auto entry = cache.find("application/json " + url(i));
            if (!entry || !is_whole(entry->body)) return false;
        }
        return true;
    }

    /// Files of which the writing was begun and not ended.
    std::size_t unfinished() const {
        std::size_t count = 0;
        for (const auto& file : fs::directory_iterator(cache.folder()))
            count += std::size_t{file.path().extension() == ".part"};
        return count;
    }

    HttpServer server = changing_server();
    TempFolder folder;
    fetch::DiskCache cache{folder.path() / "cache"};
};

}  // namespace

TEST_CASE("a process killed at any moment leaves the cache whole") {
    const Station station;
    REQUIRE(station.fetch_all());
    std::mt19937 chance(20270101);  // always the same moments, as far as the machine lets us
    constexpr int kLeast = 200;
    constexpr int kMost = 1000;
    for (int round = 0; round < kLeast || (station.unfinished() == 0 && round < kMost); ++round) {
        const pid_t child = in_child([&]() -> int {
            if (round % 2 == 0) {
                while (station.fetch_all()) continue;
                return 1;
            }
            for (char digit = '0';; digit = digit == '9' ? '0' : static_cast<char>(digit + 1))
                station.keep_all(digit);
        });
        std::this_thread::sleep_for(std::chrono::microseconds(1000 + chance() % 12'000));
        REQUIRE(kill(child, SIGKILL) == 0);
        const int status = status_of(child);
        REQUIRE(WIFSIGNALED(status));  // it was at work, and nothing had failed
        if (!station.all_kept()) FAIL("an entry was lost or torn in round " << round);
    }
    CHECK(station.unfinished() > 0);  // some were killed in the middle of a write
    CHECK(station.fetch_all());
}

TEST_CASE("two processes may work on one cache at the same time") {
    const Station station;
    REQUIRE(station.fetch_all());
    for (int round = 0; round < 100; ++round) {
        const auto work = [&] {
            const bool fetched = station.fetch_all();
            station.cache.prune(Instant(hours(500'000)), {});
            return fetched && station.all_kept() ? 0 : 1;
        };
        const pid_t one = in_child(work);
        const pid_t other = in_child(work);
        const int of_one = status_of(one);
        const int of_other = status_of(other);
        if (of_one != 0 || of_other != 0) FAIL("a process failed in round " << round);
    }
    const auto files =
        std::distance(fs::directory_iterator(station.cache.folder()), fs::directory_iterator());
    CHECK(files == static_cast<std::ptrdiff_t>(kPlaces));
}
