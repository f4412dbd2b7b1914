#include "run.hpp"

#include "mildway/base/errors.hpp"
#include "mildway/base/version.hpp"

#include "options.hpp"

#include <algorithm>
#include <exception>

#include <CLI/CLI.hpp>

namespace mildway::cli {

namespace {

std::string version_line() {
    return "mildway " + std::string(version());
}

/// The commands, and which of them was asked for.
struct CommandLine {
    CommonOptions common;
    PlanOptions plan;
    TraceOptions trace;
    WeatherOptions weather;
    FitOptions fit;
    std::string init_folder = ".";
    CLI::App app{"When to ship a live animal, and how to pack it.", "mildway"};
    CLI::App* plan_command = nullptr;
    CLI::App* trace_command = nullptr;
    CLI::App* weather_command = nullptr;
    CLI::App* fit_command = nullptr;
    CLI::App* init_command = nullptr;
    CLI::App* config_check_command = nullptr;
};

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

void add_commands(CommandLine& line) {
    add_common_options(line.app, line.common);
    line.app.set_version_flag("--version", version_line());
    line.app.require_subcommand(1);
    line.app.fallthrough();
    line.app.footer(
        "Example:\n  mildway plan --to \"Duluth MN\" --species \"corn snake\"\n\nNo plan can promise that an "
        "animal lives. Local law, "
        "the carrier's terms and your vet come first.");

    line.plan_command =
        line.app.add_subcommand("plan", "Rank ship days, services and packings for one parcel");
    add_plan_options(*line.plan_command, line.plan);

    line.trace_command = line.app.add_subcommand("trace", "Follow one box hour by hour");
    add_trace_options(*line.trace_command, line.trace);

    line.weather_command =
        line.app.add_subcommand("weather", "What is known of the weather at a place, how old, from whom");
    line.weather_command
        ->add_option(
            "place", line.weather.place,
            "A place of the workspace, \"latitude,longitude\", a street address, or what a gazetteer "
            "knows")
        ->required();
    line.weather_command->add_option("--zone", line.weather.zone,
                                     "Time zone of coordinates, e.g. America/Chicago");
    line.weather_command->add_option("--days", line.weather.days, "How many days to look at")
        ->check(CLI::Range(1, 60))
        ->capture_default_str();
    line.weather_command
        ->add_option("--scenarios", line.weather.scenarios,
                     "How many possible truths to draw, rounded up to a multiple of 4")
        ->check(CLI::Range(64u, 65536u))
        ->capture_default_str();
    line.weather_command->add_option("--recorded", line.weather.recorded,
                                     "Use the forecasts recorded in this folder and ask nobody");
    line.weather_command->add_option("--svg", line.weather.svg, "Also draw the temperatures into this file");

    line.fit_command = line.app.add_subcommand(
        "fit", "Learn a packing's wall, vents and warmers from a temperature logger's file");
    add_fit_options(*line.fit_command, line.fit);

    line.init_command = line.app.add_subcommand("init", "Write a starter workspace");
    line.init_command->add_option("folder", line.init_folder, "Where")->capture_default_str();

    CLI::App* config = line.app.add_subcommand("config", "Look after the workspace");
    config->require_subcommand(1);
    line.config_check_command =
        config->add_subcommand("check", "Read every config file and say what is wrong");
}

int dispatch(CommandLine& line, Console& console) {
    if (line.plan_command->parsed()) return run_plan(line.plan, line.common, console);
    if (line.trace_command->parsed()) return run_trace(line.trace, line.common, console);
    if (line.weather_command->parsed()) return run_weather(line.weather, line.common, console);
    if (line.fit_command->parsed()) return run_fit(line.fit, line.common, console);
    if (line.init_command->parsed()) return run_init(line.init_folder, line.common, console);
    return run_config_check(line.common, console);
}

/// What the parser does not say by itself: which commands there are, when none or an unknown one was given.
std::string command_hint(const std::vector<std::string>& arguments, const CLI::App& app) {
    if (app.get_subcommands().empty()) {
        const std::vector<std::string> commands{"plan", "trace", "weather", "fit", "init", "config"};
        if (arguments.empty() || arguments.front().starts_with('-')) {
            return "no command is given; expected plan, trace, weather, fit, init or config check";
        }
        if (std::find(commands.begin(), commands.end(), arguments.front()) == commands.end()) {
            return unknown_name_message("command", arguments.front(), commands);
        }
    }
    return "";
}

int report(Console& console, const std::exception& error, ExitCode code) {
    console.err << "mildway: " << error.what() << "\n";
    return code;
}

}  // namespace

int run(const std::vector<std::string>& arguments, Console& console) {
    CommandLine line;
    add_commands(line);
    try {
        std::vector<std::string> reversed(arguments.rbegin(), arguments.rend());
        line.app.parse(reversed);
        return dispatch(line, console);
    } catch (const CLI::CallForHelp&) {
        console.out << line.app.help();
        return kDone;
    } catch (const CLI::CallForVersion&) {
        console.out << version_line() << "\n";
        return kDone;
    } catch (const CLI::ParseError& error) {
        const std::string hint = command_hint(arguments, line.app);
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
