#include "mildway/base/errors.hpp"
#include "mildway/base/files.hpp"
#include "mildway/base/text.hpp"
#include "mildway/odds/timeline.hpp"
#include "mildway/reports/timeline_report.hpp"

#include "command.hpp"
#include "weather_access.hpp"

#include <algorithm>

#include <CLI/CLI.hpp>
#include <fmt/format.h>

namespace mildway::cli {

namespace {

constexpr minutes kTableInterval{60};
constexpr minutes kDrawingInterval{10};

/// The one trip of the stage: one service on one day.
const planning::Stage::Trip& only_trip(const planning::Stage& stage) {
    if (!stage.trips().empty()) return stage.trips().front();
    throw UsageError(stage.closed().empty() ? stage.not_sold().front() : stage.closed().front().reason);
}

/// The wait after that leg, whatever the case; the one where most late parcels wait when none is named.
std::size_t chosen_wait(const planning::Stage::Trip& trip, const std::string& leg) {
    if (leg.empty()) return trip.cases.likeliest_wait();
    std::vector<std::string> legs;
    for (const transit::Wait& wait : trip.service->waits) {
        legs.push_back(trip.service->legs[wait.leg].name);
        if (lower_case(legs.back()) == lower_case(leg)) return legs.size() - 1;
    }
    throw UsageError(
        fmt::format("--late-after: {}",
                    unknown_name_message("leg after which a late parcel of " + trip.service->label + " waits",
                                         leg, legs)));
}

const transit::Trip& chosen_trip(const planning::Stage::Trip& trip, const TraceOptions& options) {
    if (options.late_days == 0) return trip.cases.on_time;
    const auto& late = options.late_days == 1 ? trip.cases.one_late : trip.cases.two_late;
    return late.at(chosen_wait(trip, options.late_after));
}

}  // namespace

void add_trace_options(CLI::App& command, TraceOptions& options) {
    add_parcel_options(command, options.parcel);
    command.add_option("--ship-date", options.ship_date, "Ship date, e.g. 2027-03-01 (default: today)");
    command.add_option("--service", options.service, "Which service")->required();
    command.add_option("--packing", options.packing, "Which packing")->required();
    command.add_option("--late-days", options.late_days, "As if this many service days late")
        ->check(CLI::Range(0, 2));
    command.add_option("--late-after", options.late_after,
                       "The leg after which the late parcel waits (default: where most do)");
    CLI::Option* csv = command.add_flag("--csv", options.csv, "Print CSV");
    command.add_flag("--explain-box", options.explain_box, "Also say where the box's heat goes and is held")
        ->excludes(csv);
    command.add_option("--svg", options.svg, "Also draw the temperatures into this file");
}

int run_trace(const TraceOptions& options, const CommonOptions& common, Console& console) {
    if (!options.late_after.empty() && options.late_days == 0)
        throw UsageError("--late-after is for a parcel that is late: give --late-days 1 or 2");
    const auto workspace = open_workspace(common, console);
    const Instant now = now_of(common, console);
    const WeatherAccess access(options.parcel.recorded, common, workspace, now, console);
    planning::PlanRequest request =
        parcel_request(options.parcel, common, workspace, access.place_help(), now, console);
    request.from = ship_date(options.ship_date, "--ship-date", workspace, now);
    request.days = 1;
    request.services = {&workspace.services.find(options.service)};
    request.packings = {&workspace.packings.find(options.packing)};
    if (const std::string why = box::why_no_room(*request.packings.front(), request.contents); !why.empty()) {
        throw UsageError(why);
    }
    const planning::Stage stage(workspace, access.source(), request);
    const planning::Stage::Trip& chosen = only_trip(stage);
    const transit::Trip& trip = chosen_trip(chosen, options);
    if (const std::string doubt = stage.doubt(chosen); !doubt.empty()) throw WeatherError(doubt);

    const odds::BoxModel box(*request.packings.front(), workspace.supplies.warmers, request.contents,
                             workspace.settings, stage.typical_outside_c());
    const reports::TimelineSubject subject{&workspace,
                                           request.species,
                                           request.services.front(),
                                           request.packings.front(),
                                           &trip,
                                           &stage.route(chosen).lane(),
                                           request.contents,
                                           options.explain_box};
    const odds::Timeline timeline = odds::trace_trip(trip, stage.world(chosen), box, kTableInterval);
    if (timeline.moments.empty()) throw WeatherError(timeline.cut_short);
    if (!options.svg.empty()) {
        const odds::Timeline fine = odds::trace_trip(trip, stage.world(chosen), box, kDrawingInterval);
        write_file(options.svg, reports::timeline_svg(subject, fine));
        console.err << "note: drawing written to " << options.svg << "\n";
    }
    if (common.json)
        console.out << reports::timeline_json(subject, timeline);
    else if (options.csv)
        console.out << reports::timeline_csv(subject, timeline);
    else
        console.out << reports::timeline_text(subject, timeline);
    return timeline.cut_short.empty() ? kDone : kNeedsPerson;
}

Command trace_command() {
    return simple_command<TraceOptions>("trace", "Follow one box hour by hour", add_trace_options, run_trace);
}

}  // namespace mildway::cli
