// Small answers of services, and a service on this computer that gives them.
#pragma once

#include "mildway/base/files.hpp"
#include "mildway/fetch/curl_transport.hpp"
#include "mildway/fetch/disk_cache.hpp"
#include "mildway/fetch/fetcher.hpp"

#include "http_server.hpp"
#include "temp_workspace.hpp"

#include <filesystem>
#include <functional>
#include <stdexcept>
#include <string>
#include <utility>

namespace mildway::testing {

/// A file of fixtures/weather.
inline std::string weather_fixture(const std::string& name) {
    return read_file(std::filesystem::path(MILDWAY_SOURCE_DIR) / "fixtures/weather" / name, 1 << 20);
}

/// The first `from` replaced; a text without it is a mistake of the test.
inline std::string replaced(std::string text, const std::string& from, const std::string& to) {
    const std::size_t at = text.find(from);
    if (at == std::string::npos) throw std::runtime_error("the text holds no " + from);
    return text.replace(at, from.size(), to);
}

inline Reply reply(int status, std::string body) {
    Reply made;
    made.status = status;
    made.body = std::move(body);
    return made;
}

/// A server, and a fetcher with a cache of its own and a clock that stands still until it is set.
struct LocalService {
    explicit LocalService(std::function<Reply(const Seen&)> answer) : server(std::move(answer)) {}

    HttpServer server;
    TempFolder folder;
    Instant now = date::sys_days(date::year(2027) / 3 / 1) + hours(10);
    fetch::CurlTransport transport{{.user_agent = "mildway-test (test@example.org)",
                                    .answer_time = fetch::milliseconds(20'000),
                                    .first_wait = fetch::milliseconds(1)}};
    fetch::DiskCache cache{folder.path()};
    fetch::Fetcher fetcher{&transport, &cache, [this] { return now; }};
    fetch::Fetcher offline{nullptr, &cache, [this] { return now; }};
};

}  // namespace mildway::testing
