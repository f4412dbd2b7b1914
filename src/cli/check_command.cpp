#include "mildway/base/file_lock.hpp"
#include "mildway/orders/order_book.hpp"
#include "mildway/reports/check_report.hpp"
#include "mildway/weekly/limits.hpp"

#include "command.hpp"
#include "weather_access.hpp"

#include <fmt/format.h>

namespace mildway::cli {

namespace {

struct CheckOptions {
    bool quiet = false;
    bool all = false;
    bool dry_run = false;
    int days = 10;
    std::uint32_t scenarios = 2048;
    std::string recorded;
};

void add_check_options(CLI::App& command, CheckOptions& options) {
    command.add_flag("--quiet", options.quiet, "Say nothing unless an order needs a person (for cron)");
    command.add_flag("--all", options.all, "List the orders that are as before, too");
    command.add_flag("--dry-run", options.dry_run, "Look only: record nothing in the order book");
    command.add_option("--days", options.days, "How many days ahead to look for a better one")
        ->check(CLI::Range(1, 30))
        ->capture_default_str();
    command
        .add_option("--scenarios", options.scenarios,
                    "How many worlds to try, rounded up to a multiple of 128")
        ->check(CLI::Range(128u, 65536u))
        ->capture_default_str();
    command.add_option("--recorded", options.recorded,
                       "Use the forecasts recorded in this folder and ask nobody");
}

std::vector<weekly::Planned> planned_orders(const orders::OrderBook& book) {
    std::vector<orders::Order> orders = book.orders({{orders::State::planned}});
    std::vector<std::optional<orders::Reassessment>> before = book.newest_reassessments(orders);
    std::vector<weekly::Planned> planned;
    planned.reserve(orders.size());
    for (std::size_t i = 0; i < orders.size(); ++i)
        planned.push_back({std::move(orders[i]), std::move(before[i])});
    return planned;
}

/// Numbers of the orders that were changed meanwhile.
std::vector<std::string> record(orders::OrderBook& book, const std::vector<weekly::Planned>& planned,
                                const weekly::CheckResult& result, Instant now) {
    std::vector<std::string> not_kept;
    orders::Change change(book, now);
    for (std::size_t i = 0; i < planned.size(); ++i) {
        if (!change.reassess(planned[i].order, result.orders[i].found))
            not_kept.push_back(planned[i].order.number);
    }
    change.commit();
    return not_kept;
}

/// There are orders, and of none the weather is known.
bool without_weather(const weekly::CheckResult& result) {
    return !result.orders.empty() &&
           std::all_of(result.orders.begin(), result.orders.end(), [](const weekly::Checked& checked) {
               return !checked.no_weather.empty() || (checked.option && !checked.option->assessment.all);
           });
}

int run_check(const CheckOptions& options, const CommonOptions& common, Console& console) {
    const auto workspace = open_workspace(common, console);
    const weekly::Limits limits = weekly::Limits::load(workspace);
    const Instant now = now_of(common, console);
    const auto lock_file = workspace.folder / "check.lock";
    const auto lock = FileLock::try_lock(lock_file);
    if (!lock) {
        throw SystemError(fmt::format(
            "another check is running{}; nothing was done",
            lock_holder(lock_file) ? fmt::format(" (process {})", *lock_holder(lock_file)) : std::string()));
    }
    orders::OrderBook book(workspace.folder / orders::kBookFile, options.dry_run
                                                                     ? orders::OrderBook::Access::read
                                                                     : orders::OrderBook::Access::write);
    const std::vector<weekly::Planned> planned = planned_orders(book);
    const WeatherAccess access(options.recorded, common, workspace, now, console);
    weekly::CheckRequest request;
    request.scenarios = options.scenarios;
    request.seed = common.seed;
    request.threads = common.threads > 0 ? common.threads : console.threads;
    request.now = now;
    request.days_ahead = options.days;
    const weekly::CheckResult result =
        weekly::check_orders(workspace, limits, access.source(), planned, request);
    reports::CheckTold told{planned, &result, now, {}};
    if (!options.dry_run) told.not_kept = record(book, planned, result, now);
    if (!options.quiet || result.flagged > 0 || !told.not_kept.empty())
        console.out << (common.json ? reports::check_json(workspace, told)
                                    : reports::check_text(workspace, told, options.all));
    if (without_weather(result)) return kNoWeather;
    return result.flagged > 0 ? kNeedsPerson : kDone;
}

}  // namespace

Command check_command() {
    return simple_command<CheckOptions>("check", "Look at every planned order again under today's weather",
                                        add_check_options, run_check);
}

}  // namespace mildway::cli
