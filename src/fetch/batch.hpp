// All requests of one call: which are on the wire, which wait, which are done.
#pragma once

#include "exchange.hpp"

#include <chrono>
#include <map>
#include <memory>
#include <random>
#include <span>
#include <string>
#include <vector>

namespace mildway::fetch {

class Batch {
public:
    Batch(const CurlOptions& options, std::span<const Request> requests);
    ~Batch();
    Batch(const Batch&) = delete;
    Batch& operator=(const Batch&) = delete;
    Batch(Batch&&) = delete;
    Batch& operator=(Batch&&) = delete;

    /// Call once.
    [[nodiscard]] std::vector<Answer> run();

private:
    using Clock = std::chrono::steady_clock;

    struct Host {
        int running = 0;
        Clock::time_point not_before{};     ///< it told us that we ask too much
        std::optional<seconds> left_alone;  ///< ... and for longer than we would wait
    };
    enum class State { waiting, running, done };
    struct Task {
        const Request* request = nullptr;
        Host* host = nullptr;
        State state = State::waiting;
        Clock::time_point not_before{};
        std::unique_ptr<Exchange> exchange;
        Answer answer;  ///< of the last try
        int tries = 0;
    };

    void start_due();
    void start(Task& task, milliseconds time);
    void give_up(Task& task, const std::string& trouble);
    bool settle_ended();
    void settle(Task& task, CURLcode result);
    [[nodiscard]] std::optional<milliseconds> wait_after(const Task& task);
    [[nodiscard]] int poll_ms() const;

    const CurlOptions& options_;
    Clock::time_point deadline_;
    Clock::time_point next_start_{};  ///< when a task that waits for its time can go
    std::map<std::string, Host> hosts_;
    MultiHandle multi_;
    std::vector<Task> tasks_;  ///< never grows after the start: libcurl holds pointers
    int running_ = 0;
    std::size_t left_ = 0;
    std::minstd_rand chance_;
};

}  // namespace mildway::fetch
