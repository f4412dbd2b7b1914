// One service as a fetcher meets it.
#pragma once

#include "mildway/fetch/fetcher.hpp"

#include "catch.hpp"
#include "fetch_fixtures.hpp"
#include "temp_workspace.hpp"

#include <functional>
#include <string>
#include <vector>

namespace mildway::testing {

inline Instant at(const char* text) {
    return parse_instant(text).value();
}

/// A service, a cache and a clock that stands until it is set.
class SmallService {
public:
    /// The service gives `next` until it is told otherwise.
    SmallService() : server_([this](const Seen&) { return next; }) {}

    Reply next = with_body("[1]");
    Instant now = at("2027-01-01T08:00:00Z");
    std::vector<std::string> remarks;

    [[nodiscard]] std::string url() const { return server_.url(); }
    [[nodiscard]] std::string host() const { return server_.url().substr(7); }
    [[nodiscard]] std::vector<Seen> seen() const { return server_.seen(); }
    [[nodiscard]] const fetch::DiskCache& cache() const { return cache_; }

    [[nodiscard]] fetch::Wanted wanted(std::function<void(const std::string&)> check = {}) const {
        fetch::Wanted wanted;
        wanted.url = url() + "/forecast";
        wanted.check = std::move(check);
        return wanted;
    }
    fetch::Got get(const fetch::Wanted& wanted) { return fetcher(&transport_).get(wanted); }
    fetch::Got get() { return get(wanted()); }
    fetch::Got get_offline(const fetch::Wanted& wanted) { return fetcher(nullptr).get(wanted); }
    std::vector<fetch::Got> get_all(const std::vector<fetch::Wanted>& wanted) {
        return fetcher(&transport_).get(wanted);
    }

    /// Keeps a copy now and lets it grow old.
    void keep_and_wait(seconds age) {
        REQUIRE(get().good());
        now += age;
    }

private:
    [[nodiscard]] fetch::Fetcher fetcher(const fetch::Transport* transport) {
        return fetch::Fetcher(
            transport, &cache_, [this] { return now; },
            [this](const std::string& remark) { remarks.push_back(remark); });
    }

    TempFolder folder_;
    fetch::DiskCache cache_{folder_.path() / "cache"};
    fetch::CurlTransport transport_{quick_options()};
    HttpServer server_;
};

}  // namespace mildway::testing
