// One command of the program: its lines in the parser, and what it does.
#pragma once

#include "options.hpp"

#include <functional>
#include <memory>
#include <string>

#include <CLI/CLI.hpp>

namespace mildway::cli {

struct Command {
    std::string name;
    /// Adds the command to the parser; called once.
    std::function<void(CLI::App& app)> add;
    /// After parsing: whether it was asked for.
    std::function<bool()> asked;
    std::function<int(const CommonOptions& common, Console& console)> run;
};

/// A command without subcommands. `add_options` gives it its options, `run` does it.
template <class Options>
[[nodiscard]] Command simple_command(const std::string& name, const std::string& about,
                                     void (*add_options)(CLI::App&, Options&),
                                     int (*run)(const Options&, const CommonOptions&, Console&)) {
    struct Parts {
        Options options{};
        CLI::App* app = nullptr;
    };
    auto parts = std::make_shared<Parts>();
    return {
        name,
        [=](CLI::App& app) {
            parts->app = app.add_subcommand(name, about);
            add_options(*parts->app, parts->options);
        },
        [parts] { return parts->app->parsed(); },
        [=](const CommonOptions& common, Console& console) { return run(parts->options, common, console); }};
}

[[nodiscard]] Command plan_command();
[[nodiscard]] Command trace_command();
[[nodiscard]] Command week_command();
[[nodiscard]] Command check_command();
[[nodiscard]] Command order_command();
[[nodiscard]] Command notify_command();
[[nodiscard]] Command sheet_command();
[[nodiscard]] Command weather_command();
[[nodiscard]] Command fit_command();
[[nodiscard]] Command init_command();
[[nodiscard]] Command config_command();

}  // namespace mildway::cli
