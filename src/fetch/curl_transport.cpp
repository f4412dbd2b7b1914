#include "mildway/fetch/curl_transport.hpp"

#include "mildway/base/errors.hpp"
#include "mildway/base/pipe_signal.hpp"

#include "batch.hpp"

#include <stdexcept>
#include <utility>

namespace mildway::fetch {

namespace {

void start_curl() {
    // Once for the process; the language makes a second thread wait.
    static const CURLcode started = curl_global_init(CURL_GLOBAL_DEFAULT);
    if (started != CURLE_OK) throw SystemError("libcurl does not start, so nothing can be fetched");
}

}  // namespace

CurlTransport::CurlTransport(CurlOptions options) : options_(std::move(options)) {
    if (options_.user_agent.empty()) throw std::invalid_argument("services want to know who asks");
    start_curl();
}

std::vector<Answer> CurlTransport::get(std::span<const Request> requests) const {
    const PipeSignalHeld quiet;
    return Batch(options_, requests).run();
}

}  // namespace mildway::fetch
