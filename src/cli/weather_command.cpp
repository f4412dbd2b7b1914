#include "mildway/base/files.hpp"
#include "mildway/reports/glance_report.hpp"
#include "mildway/weather/glance.hpp"

#include "weather_access.hpp"

namespace mildway::cli {

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

}  // namespace mildway::cli
