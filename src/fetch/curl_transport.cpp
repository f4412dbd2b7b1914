#include "mildway/fetch/curl_transport.hpp"

#include "mildway/base/errors.hpp"

#include "batch.hpp"

#include <csignal>
#include <stdexcept>
#include <utility>

#include <pthread.h>

namespace mildway::fetch {

namespace {

void start_curl() {
    // Once for the process; the language makes a second thread wait.
    static const CURLcode started = curl_global_init(CURL_GLOBAL_DEFAULT);
    if (started != CURLE_OK) throw SystemError("libcurl does not start, so nothing can be fetched");
}

/// Keeps SIGPIPE from this thread: the TLS library writes to sockets in a way that raises it when the server
/// has hung up, and what happens to signals is for the program to say. One that is raised meanwhile is taken
/// away.
class PipeSignalHeld {
public:
    PipeSignalHeld() {
        sigemptyset(&pipe_);
        sigaddset(&pipe_, SIGPIPE);
        sigset_t pending;
        sigpending(&pending);
        was_pending_ = sigismember(&pending, SIGPIPE) == 1;
        pthread_sigmask(SIG_BLOCK, &pipe_, &before_);
    }
    ~PipeSignalHeld() {
        const timespec at_once{0, 0};
        if (!was_pending_) sigtimedwait(&pipe_, nullptr, &at_once);
        pthread_sigmask(SIG_SETMASK, &before_, nullptr);
    }
    PipeSignalHeld(const PipeSignalHeld&) = delete;
    PipeSignalHeld& operator=(const PipeSignalHeld&) = delete;
    PipeSignalHeld(PipeSignalHeld&&) = delete;
    PipeSignalHeld& operator=(PipeSignalHeld&&) = delete;

private:
    sigset_t pipe_{};
    sigset_t before_{};
    bool was_pending_ = false;
};

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
