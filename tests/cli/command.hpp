// Commands run inside the test, on a workspace of its own and a fixed clock.
#pragma once

#include "mildway/base/time.hpp"

#include "run.hpp"
#include "temp_workspace.hpp"

#include <algorithm>
#include <sstream>
#include <string>
#include <vector>

#include <nlohmann/json.hpp>

namespace mildway::testing {

using Arguments = std::vector<std::string>;

struct Outcome {
    int code;
    std::string out;
    std::string err;
    [[nodiscard]] nlohmann::json json() const { return nlohmann::json::parse(out); }
};

/// Monday morning of the demo week, three hours after its forecasts were issued.
inline constexpr const char* kMonday = "2027-03-01T13:00:00Z";

inline Outcome run_bare(const Arguments& arguments, const char* clock = kMonday) {
    std::ostringstream out;
    std::ostringstream err;
    cli::Console console{out, err, [clock] { return parse_instant(clock).value(); }, 1};
    const int code = cli::run(arguments, console);
    return {code, out.str(), err.str()};
}

/// A command that asks about the weather is given the workspace's recorded forecasts, unless it names others.
inline Outcome run_in(const TempWorkspace& workspace, Arguments arguments, const char* clock = kMonday) {
    const bool asks = arguments.front() != "config" &&
                      std::any_of(arguments.begin(), arguments.end(), [](const std::string& word) {
                          return word == "plan" || word == "trace" || word == "weather" || word == "week" ||
                                 word == "check";
                      });
    const bool names = std::find(arguments.begin(), arguments.end(), "--recorded") != arguments.end();
    if (asks && !names) arguments.insert(arguments.end(), {"--recorded", workspace.recorded()});
    arguments.insert(arguments.begin(), {"--workspace", workspace.name()});
    return run_bare(arguments, clock);
}

/// The options of a plan without what is said in words, which holds names of places and who was asked.
inline nlohmann::json figures_of(const Outcome& outcome) {
    auto options = outcome.json().at("options");
    for (auto& option : options) {
        option.erase("hazards");
        option.erase("hazards_unknown");
    }
    return options;
}

/// `more` after `arguments`, with few scenarios unless it asks for others.
inline Arguments quick(Arguments arguments, const Arguments& more) {
    arguments.insert(arguments.end(), more.begin(), more.end());
    if (std::find(more.begin(), more.end(), "--scenarios") == more.end())
        arguments.insert(arguments.end(), {"--scenarios", "64"});
    return arguments;
}

/// A quick plan of one corn snake to Duluth; `more` comes after it.
inline Outcome plan_in(const TempWorkspace& workspace, const Arguments& more = {},
                       const char* clock = kMonday) {
    return run_in(workspace, quick({"plan", "--to", "Duluth MN", "--species", "corn snake"}, more), clock);
}

inline Outcome trace_in(const TempWorkspace& workspace, const Arguments& more = {},
                        const char* clock = kMonday) {
    return run_in(workspace,
                  quick({"trace", "--to", "Duluth MN", "--species", "corn snake", "--service", "night-air",
                         "--packing", "small-38-1w"},
                        more),
                  clock);
}

}  // namespace mildway::testing
