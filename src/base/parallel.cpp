#include "mildway/base/parallel.hpp"

#include <algorithm>
#include <atomic>
#include <exception>
#include <mutex>
#include <thread>
#include <vector>

namespace mildway {

void parallel_for(std::size_t count, unsigned threads, const std::function<void(std::size_t)>& work) {
    std::atomic<std::size_t> next{0};
    std::exception_ptr first_failure;
    std::mutex failure_lock;
    const auto take_pieces = [&] {
        for (std::size_t i = next++; i < count; i = next++) {
            try {
                work(i);
            } catch (...) {
                const std::lock_guard hold(failure_lock);
                if (!first_failure) first_failure = std::current_exception();
                next = count;
            }
        }
    };
    const std::size_t helpers =
        std::min<std::size_t>(std::max(threads, 1u), std::max<std::size_t>(count, 1)) - 1;
    {
        std::vector<std::jthread> team;
        team.reserve(helpers);
        for (std::size_t i = 0; i < helpers; ++i) team.emplace_back(take_pieces);
        take_pieces();
    }
    if (first_failure) std::rethrow_exception(first_failure);
}

}  // namespace mildway
