// Two hundred forecasts from a service on this computer that takes 100 ms for each, and from the cache.
#include "mildway/fetch/curl_transport.hpp"
#include "mildway/fetch/fetcher.hpp"

#include "http_server.hpp"
#include "temp_workspace.hpp"

#include <chrono>
#include <cstdint>
#include <string>
#include <vector>

#include <benchmark/benchmark.h>

using namespace mildway;

namespace {

constexpr std::size_t kPlaces = 200;
constexpr std::size_t kBodySize = 160'000;  // of a gridpoint document

/// Digits as in a forecast: compressible, but no single run.
std::string make_body() {
    std::string body = R"({"values": [)";
    for (std::uint32_t i = 0; body.size() < kBodySize; ++i)
        body += std::to_string(i * 2'654'435'761u % 100'000u) + ", ";
    return body + "0]}";
}

/// Sends packed, as the real services do.
class Service {
public:
    [[nodiscard]] std::vector<fetch::Wanted> wanted(int at_once) const {
        std::vector<fetch::Wanted> all(kPlaces);
        for (std::size_t i = 0; i < kPlaces; ++i) {
            all[i].url = server_.url() + "/" + std::to_string(i);
            all[i].at_once = at_once;
        }
        return all;
    }

private:
    [[nodiscard]] static testing::Reply reply() {
        testing::Reply reply;
        reply.body = testing::gzipped(make_body());
        reply.headers = {"Content-Encoding: gzip", "ETag: \"made up\""};
        reply.delay = std::chrono::milliseconds(100);
        return reply;
    }

    testing::HttpServer server_{[reply = reply()](const testing::Seen&) { return reply; }};
};

fetch::CurlTransport transport() {
    fetch::CurlOptions options;
    options.user_agent = "mildway-bench (test@example.org)";
    return fetch::CurlTransport(options);
}

Instant standing_clock() {
    return Instant(hours(500'000));
}

bool all_good(const std::vector<fetch::Got>& got) {
    std::size_t good = 0;
    for (const fetch::Got& one : got)
        good += std::size_t{one.body.size() >= kBodySize && one.trouble.empty()};
    return good == kPlaces;
}

void fetch_cold(benchmark::State& state) {
    const Service service;
    const auto curl = transport();
    const auto wanted = service.wanted(static_cast<int>(state.range(0)));
    for (auto _ : state) {
        const testing::TempFolder folder;
        const fetch::DiskCache cache(folder.path());
        if (!all_good(fetch::Fetcher(&curl, &cache, standing_clock).get(wanted)))
            return state.SkipWithError("a request failed");
    }
}
BENCHMARK(fetch_cold)->ArgName("at_once")->Arg(8)->Arg(16)->UseRealTime()->Unit(benchmark::kMillisecond);

void fetch_warm(benchmark::State& state) {
    const Service service;
    const auto curl = transport();
    const auto wanted = service.wanted(8);
    const testing::TempFolder folder;
    const fetch::DiskCache cache(folder.path());
    const fetch::Fetcher fetcher(&curl, &cache, standing_clock);
    if (!all_good(fetcher.get(wanted))) return state.SkipWithError("a request failed");
    for (auto _ : state) {
        if (!all_good(fetcher.get(wanted))) return state.SkipWithError("a copy was not found");
    }
    state.SetBytesProcessed(state.iterations() * static_cast<std::int64_t>(kPlaces * kBodySize));
}
BENCHMARK(fetch_warm)->UseRealTime()->Unit(benchmark::kMillisecond);

}  // namespace
