// The command line without a process around it, so that tests can call it.
#pragma once

#include "mildway/base/time.hpp"
#include "mildway/fetch/curl_transport.hpp"

#include <filesystem>
#include <functional>
#include <ostream>
#include <string>
#include <vector>

namespace mildway::cli {

/// What a command may touch of the outside: nothing else is read or written by itself.
struct Console {
    std::ostream& out;                     ///< results only
    std::ostream& err;                     ///< everything said about them
    std::function<Instant()> clock;        ///< asked once, unless --now is given
    unsigned threads;                      ///< unless --threads is given
    std::filesystem::path cache_folder{};  ///< for answers of weather services; empty: beside the workspace
    fetch::CurlOptions network{};          ///< how patient to be with them; the user agent is the workspace's
};

/// docs/cli.md lists them.
enum ExitCode {
    kDone = 0,
    kNeedsPerson = 1,
    kWrongUsage = 2,
    kNoWeather = 3,
    kWrongInput = 4,
    kSystemFailure = 5,
};

/// Runs one command; `arguments` without the program's name. Errors become a sentence on `err` and an exit
/// code.
[[nodiscard]] int run(const std::vector<std::string>& arguments, Console& console);

}  // namespace mildway::cli
