// Work in a process of its own: to be killed, or to live under other limits.
#pragma once

#include <csignal>
#include <cstdio>
#include <exception>
#include <functional>
#include <stdexcept>
#include <utility>

#include <sys/wait.h>
#include <unistd.h>

namespace mildway::testing {

/// Runs `work` in a process of its own, which ends with its result, 0 to 99; an exception is told and ends it
/// with 101.
inline pid_t in_child(const std::function<int()>& work) {
    const pid_t pid = fork();
    if (pid < 0) throw std::runtime_error("no process for the test");
    if (pid == 0) {
        try {
            _exit(work());
        } catch (const std::exception& error) {
            std::fputs(error.what(), stderr);
            _exit(101);
        }
    }
    return pid;
}

/// As waitpid gives it.
inline int status_of(pid_t pid) {
    int status = -1;
    if (waitpid(pid, &status, 0) != pid) throw std::runtime_error("the test's process is lost");
    return status;
}

/// A process that works until it is killed; which happens at the latest when this goes.
class Worker {
public:
    explicit Worker(const std::function<int()>& work) : pid_(in_child(work)) {}
    ~Worker() {
        if (pid_ > 0) kill_it();
    }
    Worker(const Worker&) = delete;
    Worker& operator=(const Worker&) = delete;

    /// False once it has ended by itself: nothing more is to be expected of it.
    [[nodiscard]] bool at_work() {
        if (pid_ > 0 && waitpid(pid_, nullptr, WNOHANG) != 0) pid_ = -1;
        return pid_ > 0;
    }

    /// Whether it was at work until now.
    bool kill_it() {
        const pid_t pid = std::exchange(pid_, -1);
        return pid > 0 && kill(pid, SIGKILL) == 0 && WIFSIGNALED(status_of(pid));
    }

private:
    pid_t pid_;
};

/// The result of `work`, run in a process of its own.
inline int result_in_child(const std::function<int()>& work) {
    const int status = status_of(in_child(work));
    return WIFEXITED(status) ? WEXITSTATUS(status) : -1;
}

}  // namespace mildway::testing
