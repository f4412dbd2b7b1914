#include "run.hpp"

#include "mildway/base/errors.hpp"
#include "mildway/base/version.hpp"

#include "command.hpp"

#include <algorithm>
#include <exception>

#include <CLI/CLI.hpp>
#include <fmt/format.h>

namespace mildway::cli {

namespace {

std::string version_line() {
    return "mildway " + std::string(version());
}

std::vector<Command> commands() {
    return {plan_command(),  trace_command(),  week_command(),  check_command(),
            order_command(), notify_command(), sheet_command(), weather_command(),
            fit_command(),   init_command(),   config_command()};
}

void add_common_options(CLI::App& app, CommonOptions& common) {
    app.add_option("--workspace", common.workspace, "Folder of the config files")->capture_default_str();
    app.add_option("--now", common.now, "Take this as the time now, e.g. 2027-03-01T13:00:00Z");
    app.add_option("--seed", common.seed, "Seed of the random numbers")
        ->check(CLI::NonNegativeNumber)
        ->capture_default_str();
    app.add_option("--threads", common.threads, "How many threads (default: as many as cores)")
        ->check(CLI::Range(1, 256));
    app.add_flag("--json", common.json, "Print JSON instead of text");
    app.add_flag("--offline", common.offline, "Ask nobody: use kept copies of earlier answers only");
}

void prepare(CLI::App& app, CommonOptions& common) {
    add_common_options(app, common);
    app.set_version_flag("--version", version_line());
    app.require_subcommand(1);
    app.fallthrough();
}

/// What the parser does not say by itself: which commands there are, when none or an unknown one was given.
std::string command_hint(const std::vector<std::string>& arguments, const CLI::App& app,
                         const std::vector<Command>& all) {
    if (!app.get_subcommands().empty()) return "";
    std::vector<std::string> names;
    for (const Command& command : all) names.push_back(command.name);
    if (arguments.empty() || arguments.front().starts_with('-')) {
        return fmt::format("no command is given; expected {} or {}",
                           fmt::join(names.begin(), names.end() - 1, ", "), names.back());
    }
    if (std::find(names.begin(), names.end(), arguments.front()) == names.end())
        return unknown_name_message("command", arguments.front(), names);
    return "";
}

int report(Console& console, const std::exception& error, ExitCode code) {
    console.err << "mildway: " << error.what() << "\n";
    return code;
}

}  // namespace

int run(const std::vector<std::string>& arguments, Console& console) {
    CommonOptions common;
    CLI::App app{"When to ship a live animal, and how to pack it.", "mildway"};
    prepare(app, common);
    const std::vector<Command> all = commands();
    for (const Command& command : all) command.add(app);
    app.footer(
        "Example:\n  mildway plan --to \"Duluth MN\" --species \"corn snake\"\n\nNo plan can promise that an "
        "animal lives. Local law, "
        "the carrier's terms and your vet come first.");
    try {
        std::vector<std::string> reversed(arguments.rbegin(), arguments.rend());
        app.parse(reversed);
        const auto asked =
            std::find_if(all.begin(), all.end(), [](const Command& one) { return one.asked(); });
        return asked->run(common, console);
    } catch (const CLI::CallForHelp&) {
        console.out << app.help();
        return kDone;
    } catch (const CLI::CallForVersion&) {
        console.out << version_line() << "\n";
        return kDone;
    } catch (const CLI::ParseError& error) {
        const std::string hint = command_hint(arguments, app, all);
        console.err << "mildway: " << (hint.empty() ? error.what() : hint) << "\nTry: mildway --help\n";
        return kWrongUsage;
    } catch (const UsageError& error) {
        return report(console, error, kWrongUsage);
    } catch (const WeatherError& error) {
        return report(console, error, kNoWeather);
    } catch (const InputError& error) {
        return report(console, error, kWrongInput);
    } catch (const std::exception& error) {
        return report(console, error, kSystemFailure);
    }
}

}  // namespace mildway::cli
