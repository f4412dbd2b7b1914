// Writing to a socket whose other end has gone.
#pragma once

#include <csignal>

namespace mildway {

/// Keeps SIGPIPE from this thread while it lives: the TLS library writes to sockets in a way that raises it
/// when the server has hung up, and what happens to signals is for the program to say. One that is raised
/// meanwhile is taken away.
class PipeSignalHeld {
public:
    PipeSignalHeld();
    ~PipeSignalHeld();
    PipeSignalHeld(const PipeSignalHeld&) = delete;
    PipeSignalHeld& operator=(const PipeSignalHeld&) = delete;
    PipeSignalHeld(PipeSignalHeld&&) = delete;
    PipeSignalHeld& operator=(PipeSignalHeld&&) = delete;

private:
    sigset_t pipe_{};
    sigset_t before_{};
    bool was_pending_ = false;
};

}  // namespace mildway
