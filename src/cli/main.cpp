#include "run.hpp"

#include <algorithm>
#include <chrono>
#include <iostream>
#include <string>
#include <thread>
#include <vector>

int main(int argc, char** argv) {
    mildway::cli::Console console{
        std::cout, std::cerr,
        [] { return std::chrono::floor<std::chrono::seconds>(std::chrono::system_clock::now()); },
        std::max(1u, std::thread::hardware_concurrency())};
    const int code = mildway::cli::run(std::vector<std::string>(argv + 1, argv + argc), console);
    std::cout.flush();
    if (!std::cout) {
        std::cerr << "mildway: the result could not be written\n";
        return mildway::cli::kSystemFailure;
    }
    return code;
}
