#include "mildway/base/pipe_signal.hpp"

#include <pthread.h>

namespace mildway {

PipeSignalHeld::PipeSignalHeld() {
    sigemptyset(&pipe_);
    sigaddset(&pipe_, SIGPIPE);
    sigset_t pending;
    sigpending(&pending);
    was_pending_ = sigismember(&pending, SIGPIPE) == 1;
    pthread_sigmask(SIG_BLOCK, &pipe_, &before_);
}

PipeSignalHeld::~PipeSignalHeld() {
    const timespec at_once{0, 0};
    if (!was_pending_) sigtimedwait(&pipe_, nullptr, &at_once);
    pthread_sigmask(SIG_SETMASK, &before_, nullptr);
}

}  // namespace mildway
