#include "run.hpp"

#include <algorithm>
#include <chrono>
#include <cstdlib>
#include <filesystem>
#include <iostream>
#include <string>
#include <thread>
#include <vector>

namespace {

/// As the XDG Base Directory Specification says: $XDG_CACHE_HOME when it is an absolute path, else ~/.cache.
/// Empty without either.
std::filesystem::path cache_folder() {
    const char* cache = std::getenv("XDG_CACHE_HOME");
    if (cache != nullptr && std::filesystem::path(cache).is_absolute())
        return std::filesystem::path(cache) / "mildway";
    const char* home = std::getenv("HOME");
    if (home != nullptr && std::filesystem::path(home).is_absolute())
        return std::filesystem::path(home) / ".cache" / "mildway";
    return {};
}

}  // namespace

int main(int argc, char** argv) {
    mildway::cli::Console console{
        std::cout, std::cerr,
        [] { return std::chrono::floor<std::chrono::seconds>(std::chrono::system_clock::now()); },
        std::max(1u, std::thread::hardware_concurrency()), cache_folder()};
    const int code = mildway::cli::run(std::vector<std::string>(argv + 1, argv + argc), console);
    std::cout.flush();
    if (!std::cout) {
        std::cerr << "mildway: the result could not be written\n";
        return mildway::cli::kSystemFailure;
    }
    return code;
}
