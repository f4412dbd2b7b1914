#include "mildway/orders/order_book.hpp"
#include "mildway/reports/choice_record.hpp"
#include "mildway/reports/week_report.hpp"
#include "mildway/weekly/limits.hpp"

#include "command.hpp"
#include "weather_access.hpp"

#include <algorithm>

#include <fmt/format.h>

namespace mildway::cli {

namespace {

struct WeekOptions {
    int days = 14;
    std::string from;
    bool replan = false;
    bool apply = false;
    bool propose = false;
    std::string recorded;
    std::uint32_t scenarios = 2048;
};

void add_week_options(CLI::App& command, WeekOptions& options) {
    command.add_option("--days", options.days, "How many days to plan")
        ->check(CLI::Range(1, 60))
        ->capture_default_str();
    command.add_option("--from", options.from, "First ship date, e.g. 2027-03-01 (default: today)");
    command.add_flag("--replan", options.replan, "Choose anew for orders that are planned, too");
    auto* apply = command.add_flag("--apply", options.apply, "Write all choices to the order book");
    command
        .add_flag("--propose", options.propose,
                  "Write the days that suit each open order to the order book, to be proposed to its buyer")
        ->excludes(apply);
    command.add_option("--recorded", options.recorded,
                       "Use the forecasts recorded in this folder and ask nobody");
    command
        .add_option("--scenarios", options.scenarios,
                    "How many worlds to try, rounded up to a multiple of 128")
        ->check(CLI::Range(16u, 65536u))
        ->capture_default_str();
}

weekly::WeekRequest week_request(const WeekOptions& options, const CommonOptions& common,
                                 const planning::Workspace& workspace, Instant now, const Console& console) {
    weekly::WeekRequest request;
    request.from = ship_date(options.from, "--from", workspace, now);
    request.days = options.days;
    request.scenarios = options.scenarios;
    request.seed = common.seed;
    request.threads = common.threads > 0 ? common.threads : console.threads;
    request.now = now;
    request.replan = options.replan;
    return request;
}

/// All choices or none. A planned order without a new one keeps its plan.
void apply(const std::filesystem::path& file, const planning::Workspace& workspace,
           const weekly::Week& week) {
    orders::OrderBook book(file, orders::OrderBook::Access::write);
    orders::Change change(book, week.request.now);
    for (const weekly::WeekOrder& order : week.orders) {
        if (!order.chosen) continue;
        change.choose(order.order, reports::choice_of(workspace, *order.chosen, order.order.place,
                                                      week.weather, week.request.now, "week"));
    }
    change.commit();
}

void propose(const std::filesystem::path& file, const weekly::Week& week) {
    orders::OrderBook book(file, orders::OrderBook::Access::write);
    orders::Change change(book, week.request.now);
    for (const weekly::WeekOrder& order : week.orders) {
        if (order.order.state != orders::State::open) continue;
        const orders::Proposal proposal = reports::proposal_of(order, week.request.now);
        // none, too: days that suit no more must not be proposed any longer
        const bool withdraws = order.order.proposal && !order.order.proposal->days.empty();
        if (!proposal.days.empty() || withdraws) change.propose(order.order, proposal);
    }
    change.commit();
}

int exit_code(const planning::Workspace& workspace, const weekly::Week& week) {
    const bool weather =
        week.weather.empty() || std::any_of(week.weather.begin(), week.weather.end(),
                                            [](const auto& there) { return there.doubt.empty(); });
    const bool asked = std::any_of(week.orders.begin(), week.orders.end(),
                                   [](const auto& order) { return order.gone.empty(); });
    if (asked && (!weather || week.weather.empty())) return kNoWeather;
    const bool open = std::any_of(week.orders.begin(), week.orders.end(),
                                  [&](const auto& order) { return reports::needs_person(workspace, order); });
    const bool kept = std::any_of(week.kept.begin(), week.kept.end(),
                                  [](const auto& plan) { return reports::needs_person(plan); });
    return open || kept || !week.broken.empty() ? kNeedsPerson : kDone;
}

int run_week(const WeekOptions& options, const CommonOptions& common, Console& console) {
    const auto workspace = open_workspace(common, console);
    const weekly::Limits limits = weekly::Limits::load(workspace);
    const Instant now = now_of(common, console);
    const auto file = workspace.folder / orders::kBookFile;
    std::vector<orders::Order> all;
    std::vector<std::optional<orders::Reassessment>> checks;
    {
        const orders::OrderBook book(file);
        all = book.orders();
        checks = book.newest_reassessments(all);
    }
    const WeatherAccess access(options.recorded, common, workspace, now, console);
    const weekly::Week week =
        weekly::plan_week(workspace, limits, access.source(), all,
                          week_request(options, common, workspace, now, console), checks);
    reports::WeekDone done = reports::WeekDone::shown;
    if (options.apply) {
        apply(file, workspace, week);
        done = reports::WeekDone::applied;
    } else if (options.propose) {
        propose(file, week);
        done = reports::WeekDone::proposed;
    }
    console.out << (common.json ? reports::week_json(workspace, week, done)
                                : reports::week_text(workspace, week, done));
    return exit_code(workspace, week);
}

}  // namespace

Command week_command() {
    return simple_command<WeekOptions>("week", "Plan all open orders over the coming days together",
                                       add_week_options, run_week);
}

}  // namespace mildway::cli
