#include "batch.hpp"

#include "mildway/base/errors.hpp"

#include "url.hpp"

#include <algorithm>
#include <cmath>
#include <new>
#include <utility>

#include <fmt/format.h>

namespace mildway::fetch {

namespace {

constexpr int kMostAtOnce = 32;          // of all hosts
constexpr milliseconds kLeastTime(100);  // for a try; in less it would only fail
constexpr double kWaitGrowth = 2.5;
constexpr double kWaitSpread = 1.0 / 3.0;

void check(CURLMcode code) {
    // Never the network's doing: memory, or a bug.
    if (code != CURLM_OK) throw SystemError(fmt::format("fetching failed: {}", curl_multi_strerror(code)));
}

}  // namespace

Batch::Batch(const CurlOptions& options, std::span<const Request> requests)
    : options_(options),
      deadline_(Clock::now() + options.batch_time),
      multi_(curl_multi_init()),
      tasks_(requests.size()),
      left_(requests.size()),
      chance_(std::random_device{}()) {
    if (!multi_) throw std::bad_alloc();
    for (std::size_t i = 0; i < requests.size(); ++i) {
        const std::string host = host_of(requests[i].url);
        tasks_[i].request = &requests[i];
        tasks_[i].host = &hosts_[host];
        if (host.empty()) give_up(tasks_[i], "the address is not one that can be asked");
    }
}

Batch::~Batch() {
    for (const Task& task : tasks_) {
        if (task.state == State::running) curl_multi_remove_handle(multi_.get(), task.exchange->handle());
    }
}

std::vector<Answer> Batch::run() {
    while (left_ > 0) {
        start_due();
        int ignored = 0;
        check(curl_multi_perform(multi_.get(), &ignored));
        if (settle_ended() || left_ == 0) continue;
        check(curl_multi_poll(multi_.get(), nullptr, 0, poll_ms(), nullptr));
    }
    std::vector<Answer> answers;
    answers.reserve(tasks_.size());
    for (Task& task : tasks_) {
        task.answer.tries = task.tries;
        answers.push_back(std::move(task.answer));
    }
    return answers;
}

void Batch::start_due() {
    const auto now = Clock::now();
    next_start_ = deadline_;
    for (Task& task : tasks_) {
        if (task.state != State::waiting) continue;
        const auto time_left = std::chrono::floor<milliseconds>(deadline_ - now);
        if (time_left < kLeastTime) {
            give_up(task, fmt::format("was not asked: the {:g} s for all requests were over",
                                      static_cast<double>(options_.batch_time.count()) / 1000.0));
        } else if (task.host->left_alone) {
            give_up(task, fmt::format("asks to be left alone for {} s", task.host->left_alone->count()));
        } else if (const auto due = std::max(task.not_before, task.host->not_before); due > now) {
            next_start_ = std::min(next_start_, due);
        } else if (task.host->running < std::max(task.request->at_once, 1) && running_ < kMostAtOnce) {
            start(task, std::clamp(options_.answer_time, milliseconds(1), time_left));
        }
    }
}

void Batch::start(Task& task, milliseconds time) {
    task.exchange = std::make_unique<Exchange>(*task.request, options_, time);
    curl_easy_setopt(task.exchange->handle(), CURLOPT_PRIVATE, static_cast<void*>(&task));
    check(curl_multi_add_handle(multi_.get(), task.exchange->handle()));
    task.state = State::running;
    ++task.tries;
    ++task.host->running;
    ++running_;
}

/// A task that has been tried keeps what came of its last try.
void Batch::give_up(Task& task, const std::string& trouble) {
    if (task.tries == 0) task.answer.trouble = trouble;
    task.state = State::done;
    --left_;
}

bool Batch::settle_ended() {
    bool any = false;
    int ignored = 0;
    while (const CURLMsg* message = curl_multi_info_read(multi_.get(), &ignored)) {
        if (message->msg != CURLMSG_DONE) continue;
        const CURLcode result = message->data.result;  // NOLINT(*-union-access): libcurl's own interface
        void* task = nullptr;
        curl_easy_getinfo(message->easy_handle, CURLINFO_PRIVATE, &task);
        settle(*static_cast<Task*>(task), result);
        any = true;
    }
    return any;
}

void Batch::settle(Task& task, CURLcode result) {
    task.answer = task.exchange->take(result);
    curl_multi_remove_handle(multi_.get(), task.exchange->handle());
    task.exchange.reset();
    --task.host->running;
    --running_;
    const bool again = worth_another_try(result, task.answer);
    const std::optional<milliseconds> wait = wait_after(task);
    if (task.answer.status == 429) {
        // This is said to us, not of one address (RFC 6585, section 4): the others hold back, too.
        if (wait) task.host->not_before = Clock::now() + *wait;
        if (!wait) task.host->left_alone = task.answer.retry_after;
    }
    if (again && wait && task.tries < options_.tries && Clock::now() + *wait < deadline_) {
        task.not_before = Clock::now() + *wait;
        task.state = State::waiting;
        return;
    }
    task.state = State::done;
    --left_;
}

/// Empty when the server asks for a longer wait than is allowed.
std::optional<milliseconds> Batch::wait_after(const Task& task) {
    const auto asked = task.answer.retry_after;
    if (asked && *asked > options_.longest_wait) return std::nullopt;
    const double spread = std::uniform_real_distribution<double>(1.0, 1.0 + kWaitSpread)(chance_);
    const double own_ms =
        static_cast<double>(options_.first_wait.count()) * std::pow(kWaitGrowth, task.tries - 1) * spread;
    const double longest_ms = static_cast<double>(options_.longest_wait.count());
    const milliseconds own(static_cast<long>(std::min(own_ms, longest_ms)));
    return std::max(own, milliseconds(asked.value_or(seconds(0))));
}

int Batch::poll_ms() const {
    constexpr milliseconds kLongest(1000);
    const auto wait = std::chrono::ceil<milliseconds>(next_start_ - Clock::now());
    return static_cast<int>(std::clamp(wait, milliseconds(0), kLongest).count());
}

}  // namespace mildway::fetch
