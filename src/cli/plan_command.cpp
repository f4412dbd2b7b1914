#include "mildway/reports/calendar_text.hpp"
#include "mildway/reports/plan_json.hpp"
#include "mildway/reports/plan_text.hpp"

#include "weather_access.hpp"

#include <algorithm>
#include <cmath>

#include <CLI/CLI.hpp>

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

constexpr int kUsualDays = 7;
constexpr int kCalendarDays = 28;
constexpr double kMostValueUsd = 1e6;

/// What the animals are worth, and whether that has a say in the ranking.
void read_value(const PlanOptions& options, planning::PlanRequest& request) {
    if (options.value_usd && std::isnan(*options.value_usd)) throw UsageError("--value-usd is not a number");
    request.value_usd = options.value_usd;
    if (options.rank_by != "cost-and-loss") return;
    if (!options.value_usd) {
        throw UsageError(
            "--rank-by cost-and-loss needs the value of all animals in the parcel: give --value-usd");
    }
    request.rank_by = planning::RankBy::cost_and_loss;
}

std::string report(const planning::Workspace& workspace, const planning::Plan& plan,
                   const PlanOptions& options, bool json) {
    if (json) return reports::plan_json(workspace, plan);
    if (options.calendar) return reports::calendar_text(workspace, plan);
    return reports::plan_text(workspace, plan, {static_cast<std::size_t>(options.top)});
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

void add_plan_options(CLI::App& command, PlanOptions& options) {
    add_parcel_options(command, options.parcel);
    command.add_option("--from", options.from, "First ship date, e.g. 2027-03-01 (default: today)");
    command.add_option("--days", options.days, "How many days to look at (default: 7; with --calendar 28)")
        ->check(CLI::Range(1, 60));
    command.add_option("--service", options.services, "Only this service (may be repeated)");
    command.add_option("--packing", options.packings, "Only this packing (may be repeated)");
    command.add_option("--top", options.top, "How many lines of the ranking to show")
        ->check(CLI::Range(1, 10000))
        ->capture_default_str();
    command.add_flag("--calendar", options.calendar,
                     "Show the coming weeks as a calendar instead of the ranking");
    command
        .add_option("--value-usd", options.value_usd,
                    "Value of all animals in the parcel, USD, for the expected loss")
        ->check(CLI::Range(0.0, kMostValueUsd));
    command
        .add_option("--rank-by", options.rank_by,
                    "What decides: hours outside the safe band; or, within each verdict, cost and expected "
                    "loss together")
        ->check(CLI::IsMember({"hours", "cost-and-loss"}))
        ->capture_default_str();
}

int run_plan(const PlanOptions& options, const CommonOptions& common, Console& console) {
    const auto workspace = open_workspace(common, console);
    const Instant now = now_of(common, console);
    const WeatherAccess access(options.parcel.recorded, common, workspace, now, console);
    planning::PlanRequest request =
        parcel_request(options.parcel, common, workspace, access.place_help(), now, console);
    request.from = ship_date(options.from, "--from", workspace, now);
    request.days = options.days.value_or(options.calendar ? kCalendarDays : kUsualDays);
    read_value(options, request);
    request.services = chosen(workspace.services, options.services);
    request.packings = chosen(workspace.packings, options.packings);
    const planning::Plan plan = planning::make_plan(workspace, access.source(), request);
    console.out << report(workspace, plan, options, common.json);
    return exit_code(plan);
}

}  // namespace mildway::cli
