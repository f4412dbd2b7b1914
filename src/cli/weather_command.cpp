#include "mildway/base/files.hpp"
#include "mildway/reports/glance_report.hpp"
#include "mildway/weather/glance.hpp"

#include "command.hpp"
#include "weather_access.hpp"

namespace mildway::cli {

namespace {

void add_weather_options(CLI::App& command, WeatherOptions& options) {
    command
        .add_option("place", options.place,
                    "A place of the workspace, \"latitude,longitude\", a street address, or what a gazetteer "
                    "knows")
        ->required();
    command.add_option("--zone", options.zone, "Time zone of coordinates, e.g. America/Chicago");
    command.add_option("--days", options.days, "How many days to look at")
        ->check(CLI::Range(1, 60))
        ->capture_default_str();
    command
        .add_option("--scenarios", options.scenarios,
                    "How many possible truths to draw, rounded up to a multiple of 4")
        ->check(CLI::Range(64u, 65536u))
        ->capture_default_str();
    command.add_option("--recorded", options.recorded,
                       "Use the forecasts recorded in this folder and ask nobody");
    command.add_option("--svg", options.svg, "Also draw the temperatures into this file");
}

}  // namespace

int run_weather(const WeatherOptions& options, const CommonOptions& common, Console& console) {
    const auto workspace = planning::Workspace::load(common.workspace);
    const Instant now = now_of(common, console);
    const WeatherAccess access(options.recorded, common, workspace, now, console);
    const planning::Destination at =
        planning::find_destination(workspace, options.place, options.zone, access.place_help());
    if (!at.remark.empty()) console.err << "note: " << at.remark << "\n";

    const weather::Glance glance = weather::make_glance(
        at.place, planning::outlook_with_climate(access.source(), at.place, now, options.days), now,
        workspace.weather.stale_after,
        {options.days, (options.scenarios + 3) / 4 * 4, common.seed,
         common.threads > 0 ? common.threads : console.threads});
    if (!options.svg.empty()) {
        write_file(options.svg, reports::glance_svg(workspace, glance));
        console.err << "note: drawing written to " << options.svg << "\n";
    }
    console.out << (common.json ? reports::glance_json(glance) : reports::glance_text(workspace, glance));
    return glance.doubt.empty() ? kDone : kNoWeather;
}

Command weather_command() {
    return simple_command<WeatherOptions>("weather",
                                          "What is known of the weather at a place, how old, from whom",
                                          add_weather_options, run_weather);
}

}  // namespace mildway::cli
