#include "mildway/reports/plan_json.hpp"
#include "mildway/reports/plan_text.hpp"

#include "weather_access.hpp"

#include <algorithm>

namespace mildway::cli {

namespace {

/// The entries of a table that were asked for, each once however often it was named; all of them when none
/// was.
template <class Table>
auto chosen(const Table& table, const std::vector<std::string>& names) {
    std::vector<decltype(&table.all().front())> entries;
    for (const auto& name : names) {
        const auto* entry = &table.find(name);
        if (std::find(entries.begin(), entries.end(), entry) == entries.end()) entries.push_back(entry);
    }
    if (names.empty()) {
        for (const auto& entry : table.all()) entries.push_back(&entry);
    }
    return entries;
}

int exit_code(const planning::Plan& plan) {
    switch (plan.options.front().verdict) {
        case planning::Verdict::comfortable:
            return kDone;
        case planning::Verdict::unknown:
            return kNoWeather;
        case planning::Verdict::tight:
        case planning::Verdict::unsafe:
            break;
    }
    return kNeedsPerson;
}

}  // namespace

int run_plan(const PlanOptions& options, const CommonOptions& common, Console& console) {
    const auto workspace = open_workspace(common, console);
    const Instant now = now_of(common, console);
    const WeatherAccess access(options.parcel.recorded, common, workspace, now, console);
    planning::PlanRequest request =
        parcel_request(options.parcel, common, workspace, access.place_help(), now, console);
    request.from = ship_date(options.from, "--from", workspace, now);
    request.days = options.days;
    request.services = chosen(workspace.services, options.services);
    request.packings = chosen(workspace.packings, options.packings);
    const planning::Plan plan = planning::make_plan(workspace, access.source(), request);
    console.out << (common.json
                        ? reports::plan_json(workspace, plan)
                        : reports::plan_text(workspace, plan, {static_cast<std::size_t>(options.top)}));
    return exit_code(plan);
}

}  // namespace mildway::cli
