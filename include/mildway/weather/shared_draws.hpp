// Draws that many lists of places have in common: the same origin, counter and hubs, other destinations.
#pragma once

#include <functional>
#include <memory>
#include <mutex>
#include <vector>

namespace mildway::weather {

struct CommonDraws;

/// Keeps what was drawn for the first places of a list, for other lists that begin with the same. May be used
/// by several threads.
class SharedDraws {
public:
    SharedDraws();
    ~SharedDraws();
    SharedDraws(const SharedDraws&) = delete;
    SharedDraws& operator=(const SharedDraws&) = delete;
    SharedDraws(SharedDraws&&) = delete;
    SharedDraws& operator=(SharedDraws&&) = delete;

    using Draws = std::shared_ptr<const CommonDraws>;

    /// Those that `fits`, or else what `draw` makes, which is kept while there is room; others wait for it.
    [[nodiscard]] Draws get(const std::function<bool(const CommonDraws&)>& fits,
                            const std::function<Draws()>& draw);

private:
    std::mutex drawing_;
    std::vector<Draws> kept_;
};

}  // namespace mildway::weather
