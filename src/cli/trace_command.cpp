#include "mildway/base/files.hpp"
#include "mildway/odds/timeline.hpp"
#include "mildway/reports/timeline_report.hpp"

#include "weather_access.hpp"

namespace mildway::cli {

namespace {

constexpr minutes kTableInterval{60};
constexpr minutes kDrawingInterval{10};

const transit::Trip& chosen_trip(const planning::Stage& stage, int late_days) {
    if (stage.trips().empty()) throw UsageError(stage.closed().front().reason);
    const odds::TripCases& cases = stage.trips().front().cases;
    return late_days == 0 ? cases.on_time : late_days == 1 ? cases.one_late : cases.two_late;
}

}  // namespace

int run_trace(const TraceOptions& options, const CommonOptions& common, Console& console) {
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
    const transit::Trip& trip = chosen_trip(stage, options.late_days);
    if (const std::string doubt = stage.doubt(); !doubt.empty()) throw WeatherError(doubt);

    const odds::BoxModel box(*request.packings.front(), workspace.supplies.warmers, request.contents,
                             workspace.settings, stage.typical_outside_c());
    const reports::TimelineSubject subject{
        &workspace, request.species, request.services.front(), request.packings.front(),
        &trip,      &stage.lane(),   request.contents,         options.explain_box};
    const odds::Timeline timeline = odds::trace_trip(trip, stage.world(), box, kTableInterval);
    if (timeline.moments.empty()) throw WeatherError(timeline.cut_short);
    if (!options.svg.empty()) {
        const odds::Timeline fine = odds::trace_trip(trip, stage.world(), box, kDrawingInterval);
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

}  // namespace mildway::cli
