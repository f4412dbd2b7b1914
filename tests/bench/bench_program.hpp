// Whole processes of the program, timed.
#pragma once

#include "../../src/cli/run.hpp"

#include <chrono>
#include <filesystem>
#include <stdexcept>
#include <string>
#include <vector>

#include <fcntl.h>
#include <spawn.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

namespace mildway::bench {

/// `mildway` of the same build.
inline std::filesystem::path program() {
    return std::filesystem::read_symlink("/proc/self/exe").parent_path().parent_path() / "mildway";
}

struct Usage {
    double seconds;
    double peak_mb;
};

/// Runs the program to its end; its output goes nowhere.
inline Usage run_program(std::vector<std::string> arguments) {
    arguments.insert(arguments.begin(), program().string());
    std::vector<char*> argv;
    for (auto& argument : arguments) argv.push_back(argument.data());
    argv.push_back(nullptr);
    posix_spawn_file_actions_t to_nowhere;
    posix_spawn_file_actions_init(&to_nowhere);
    posix_spawn_file_actions_addopen(&to_nowhere, STDOUT_FILENO, "/dev/null", O_WRONLY, 0);
    const auto start = std::chrono::steady_clock::now();
    pid_t child = 0;
    const int failed = posix_spawn(&child, argv[0], &to_nowhere, nullptr, argv.data(), environ);
    posix_spawn_file_actions_destroy(&to_nowhere);
    if (failed != 0) throw std::runtime_error("cannot run " + arguments.front() + ": build it first");
    int status = 0;
    rusage usage{};
    wait4(child, &status, 0, &usage);
    if (!WIFEXITED(status) || WEXITSTATUS(status) > cli::kNeedsPerson)
        throw std::runtime_error("plan failed");
    const std::chrono::duration<double> took = std::chrono::steady_clock::now() - start;
    return {took.count(), static_cast<double>(usage.ru_maxrss) / 1024};
}

}  // namespace mildway::bench
