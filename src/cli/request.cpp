#include "mildway/planning/destination.hpp"

#include "options.hpp"

#include <cmath>

#include <CLI/CLI.hpp>
#include <fmt/format.h>

namespace mildway::cli {

void add_parcel_options(CLI::App& command, ParcelOptions& options) {
    command.add_option(
        "--to", options.to,
        "Destination: a place of the workspace, \"latitude,longitude\", a street address, or what a "
        "gazetteer knows");
    command.add_option("--zone", options.zone,
                       "Time zone of coordinates far from any known place, e.g. America/Chicago");
    command.add_option("--species", options.species, "Which animal, by any of its names");
    command.add_option("--count", options.count, "How many animals in the parcel")
        ->check(CLI::Range(1, 12))
        ->capture_default_str();
    command
        .add_option("--mass-g", options.mass_g,
                    "Mass of one animal, g (default: the species' typical juvenile)")
        ->check(CLI::Range(0.1, 5000.0));
    command
        .add_option("--scenarios", options.scenarios,
                    "How many worlds to try, rounded up to a multiple of 128")
        ->check(CLI::Range(16u, 65536u))
        ->capture_default_str();
    command.add_option("--recorded", options.recorded,
                       "Use the forecasts recorded in this folder and ask nobody");
}

planning::Workspace open_workspace(const CommonOptions& common, Console& console) {
    auto workspace = planning::Workspace::load(common.workspace);
    for (const auto& remark : workspace.learnt_remarks) console.err << "note: " << remark << "\n";
    return workspace;
}

Instant now_of(const CommonOptions& common, const Console& console) {
    if (common.now.empty()) return console.clock();
    const auto when = parse_instant(common.now);
    if (!when)
        throw UsageError(fmt::format("--now '{}' is not a time like 2027-03-01T13:00:00Z", common.now));
    return *when;
}

planning::PlanRequest parcel_request(const ParcelOptions& options, const CommonOptions& common,
                                     const planning::Workspace& workspace, const planning::PlaceHelp& help,
                                     Instant now, Console& console) {
    if (options.to.empty()) throw UsageError("--to is required: where does the parcel go?");
    if (options.species.empty()) throw UsageError("--species is required: which animal is it?");
    planning::PlanRequest request;
    const planning::Destination destination =
        planning::find_destination(workspace, options.to, options.zone, help);
    if (!destination.remark.empty()) console.err << "note: " << destination.remark << "\n";
    request.destination = destination.place;
    request.species = &workspace.species.find(options.species);
    if (std::isnan(options.mass_g)) throw UsageError("--mass-g is not a number");  // passes every range
    const double mass_g = options.mass_g > 0 ? options.mass_g : request.species->mass_g;
    request.contents = {options.count, mass_g / 1000};
    request.scenarios = options.scenarios;
    request.seed = common.seed;
    request.threads = common.threads > 0 ? common.threads : console.threads;
    request.now = now;
    return request;
}

Date ship_date(const std::string& text, const char* option, const planning::Workspace& workspace,
               Instant now) {
    const Date today = local_date(find_zone(workspace.counter.zone), now);
    if (text.empty()) return today;
    const auto day = parse_date(text);
    if (!day) throw UsageError(fmt::format("{} '{}' is not a date like 2027-03-01", option, text));
    if (*day < today)
        throw UsageError(fmt::format("{} {} is in the past: today is {} at the counter", option, text,
                                     format_date(today)));
    return *day;
}

}  // namespace mildway::cli
