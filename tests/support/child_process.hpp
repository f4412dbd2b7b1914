// Work in a process of its own: to be killed, or to live under other limits.
#pragma once

#include <cstdio>
#include <exception>
#include <functional>
#include <stdexcept>

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

/// The result of `work`, run in a process of its own.
inline int result_in_child(const std::function<int()>& work) {
    const int status = status_of(in_child(work));
    return WIFEXITED(status) ? WEXITSTATUS(status) : -1;
}

}  // namespace mildway::testing
