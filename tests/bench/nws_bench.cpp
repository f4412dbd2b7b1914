// Forecasts of 200 places by the National Weather Service's source, from a service on this computer that
// takes 100 ms for each answer: /points, then gridpoint data and warnings, 600 answers; and once more from
// the cache.
#include "mildway/base/files.hpp"
#include "mildway/fetch/curl_transport.hpp"
#include "mildway/fetch/fetcher.hpp"
#include "mildway/weather/nws.hpp"

#include "http_server.hpp"
#include "temp_workspace.hpp"

#include <chrono>
#include <stdexcept>
#include <string>
#include <vector>

#include <benchmark/benchmark.h>

using namespace mildway;

namespace {

constexpr int kPlaces = 200;
constexpr std::size_t kBodySize = 160'000;  // of a real gridpoint answer

/// The demo's forecast for Duluth with a layer that is not read, as long as three quarters of a real answer
/// is.
std::string gridpoint_body() {
    std::string body =
        read_file(std::filesystem::path(MILDWAY_SOURCE_DIR) / "fixtures/demo/weather/duluth.json", 1 << 20);
    std::string layer = R"("dewpoint": {"uom": "wmoUnit:degC", "values": [)";
    while (body.size() + layer.size() < kBodySize)
        layer += R"({"validTime": "2027-03-01T05:00:00+00:00/PT1H", "value": -21.11111111111111},)"
                 "\n";
    layer.replace(layer.size() - 2, 2, "]},\n");
    return body.insert(body.find("\"temperature\""), layer);
}

/// Sends packed, as the real service does. Each place lies in a cell of its own.
class Service {
public:
    [[nodiscard]] std::string url() const { return server_.url(); }

private:
    [[nodiscard]] static testing::Reply packed(const std::string& body) {
        testing::Reply reply;
        reply.body = testing::gzipped(body);
        reply.headers = {"Content-Encoding: gzip"};
        reply.delay = std::chrono::milliseconds(100);
        return reply;
    }

    [[nodiscard]] static testing::Reply reply_to(const std::string& target, const testing::Reply& gridpoint) {
        if (target.starts_with("/gridpoints/")) return gridpoint;
        if (target.starts_with("/alerts/")) return packed(R"({"features": []})");
        const std::string cell = target.substr(target.find("-92.") + 4);
        return packed(R"({"properties": {"timeZone": "America/Chicago",
            "forecastGridData": "https://api.weather.gov/gridpoints/DLH/)" +
                      cell + R"(,1"}})");
    }

    testing::HttpServer server_{[gridpoint = packed(gridpoint_body())](const testing::Seen& seen) {
        return reply_to(seen.target, gridpoint);
    }};
};

std::vector<Place> places() {
    std::vector<Place> all;
    for (int i = 0; i < kPlaces; ++i)
        all.push_back({"place", 46.78, -92.1001 - 0.0001 * i, "America/Chicago"});
    return all;
}

fetch::CurlTransport transport() {
    fetch::CurlOptions options;
    options.user_agent = "mildway-bench (test@example.org)";
    return fetch::CurlTransport(options);
}

void read_all(const fetch::Transport& carrier, const fetch::DiskCache& cache, const std::string& url) {
    const fetch::Fetcher fetcher(&carrier, &cache,
                                 [] { return parse_instant("2027-03-01T11:00:00Z").value(); });
    for (const weather::Reading& reading : weather::NwsSource(&fetcher, url).read(places())) {
        if (!reading.outlook || !reading.outlook->alerts_known) throw std::runtime_error(reading.reason);
    }
}

void nws_200_places_cold(benchmark::State& state) {
    const Service service;
    const fetch::CurlTransport carrier = transport();
    for (auto _ : state) {
        const testing::TempFolder folder;
        read_all(carrier, fetch::DiskCache(folder.path()), service.url());
    }
}

void nws_200_places_warm(benchmark::State& state) {
    const Service service;
    const fetch::CurlTransport carrier = transport();
    const testing::TempFolder folder;
    const fetch::DiskCache cache(folder.path());
    read_all(carrier, cache, service.url());
    for (auto _ : state) read_all(carrier, cache, service.url());
}

BENCHMARK(nws_200_places_cold)->Unit(benchmark::kMillisecond)->UseRealTime()->Iterations(2);
BENCHMARK(nws_200_places_warm)->Unit(benchmark::kMillisecond)->UseRealTime();

}  // namespace
