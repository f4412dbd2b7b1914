// Sharing independent pieces of work among threads.
#pragma once

#include <cstddef>
#include <functional>

namespace mildway {

/// Calls `work(i)` once for each i in [0, count), on up to `threads` threads (at least one). Pieces are
/// handed out in order, but may finish in any; each must write only what no other piece touches, so that the
/// result is the same on any number of threads. The first exception is rethrown after all threads have
/// stopped.
void parallel_for(std::size_t count, unsigned threads, const std::function<void(std::size_t)>& work);

}  // namespace mildway
