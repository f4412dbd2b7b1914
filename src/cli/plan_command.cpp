#include "mildway/orders/order_book.hpp"
#include "mildway/reports/calendar_text.hpp"
#include "mildway/reports/choice_record.hpp"
#include "mildway/reports/plan_json.hpp"
#include "mildway/reports/plan_text.hpp"
#include "mildway/weekly/choice_limits.hpp"
#include "mildway/weekly/order_parcel.hpp"

#include "command.hpp"
#include "weather_access.hpp"

#include <algorithm>
#include <cmath>

#include <CLI/CLI.hpp>
#include <fmt/format.h>

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
    if (options.value_usd) request.value_usd = options.value_usd;
    if (options.rank_by != "cost-and-loss") return;
    if (!request.value_usd) {
        throw UsageError(
            "--rank-by cost-and-loss needs the value of all animals in the parcel: give --value-usd");
    }
    request.rank_by = planning::RankBy::cost_and_loss;
}

/// The order asked about; empty for a parcel that is described in full.
std::optional<orders::Order> order_of(const PlanOptions& options, const planning::Workspace& workspace) {
    const ParcelOptions& parcel = options.parcel;
    if (options.order.empty()) {
        if (options.choose) throw UsageError("--choose needs an order of the book: give --order");
        return std::nullopt;
    }
    if (!parcel.to.empty() || !parcel.zone.empty() || !parcel.species.empty() || parcel.mass_g > 0 ||
        parcel.count != 1)
        throw UsageError(
            "--order says what is sent and where: leave out --to, --zone, --species, --count and --mass-g");
    return orders::OrderBook(workspace.folder / orders::kBookFile).order(options.order);
}

/// What the order says of the parcel, in place of options.
planning::PlanRequest order_request(const orders::Order& order, const PlanOptions& options,
                                    const CommonOptions& common, const planning::Workspace& workspace,
                                    Instant now, const Console& console) {
    const planning::Parcel parcel = weekly::parcel_of(order, workspace);
    planning::PlanRequest request;
    request.destination = order.place;
    request.species = parcel.species;
    request.contents = parcel.contents;
    request.value_usd = order.value_usd;
    request.shell_mm = weekly::shells_of(order);
    request.why_not_arriving = [order](Date arrival) { return weekly::why_not_arriving(order, arrival); };
    request.scenarios = options.parcel.scenarios;
    request.seed = common.seed;
    request.threads = common.threads > 0 ? common.threads : console.threads;
    request.now = now;
    return request;
}

/// Says what was planned, how it stands, and what of the breeder's limits it breaks. Tells whether a person
/// should look again.
bool tell_chosen(const planning::Option& option, const orders::Order& order,
                 const std::vector<std::string>& broken, Console& console) {
    console.err << fmt::format("note: {} is planned for {}, {}, {}: {}\n", order.number,
                               format_day(option.ship_date), option.service->label, option.packing->label,
                               verdict_name(option.verdict));
    for (const std::string& limit : broken) console.err << fmt::format("note: {}: {}\n", order.number, limit);
    return option.verdict != planning::Verdict::comfortable || !broken.empty();
}

/// Plans the order with the option of the rank asked for. Throws UsageError when there is none, when nothing
/// is known of it, or when the buyer cannot take it in on its day. Returns the exit code.
int choose(const planning::Workspace& workspace, const planning::Plan& plan, const orders::Order& order,
           int rank, Console& console) {
    const auto found = std::find_if(plan.options.begin(), plan.options.end(),
                                    [&](const planning::Option& option) { return option.rank == rank; });
    if (found == plan.options.end())
        throw UsageError(fmt::format("--choose {}: the plan has {} options", rank, plan.options.size()));
    if (found->verdict == planning::Verdict::unknown)
        throw UsageError(fmt::format("--choose {}: the weather of that option is not known", rank));
    const std::string why_not = weekly::why_not_arriving(order, found->trip.delivery_date);
    if (!why_not.empty())
        throw UsageError(fmt::format("--choose {}: it would arrive on {}: {}", rank,
                                     format_day(found->trip.delivery_date), why_not));
    const weekly::Limits limits = weekly::Limits::load(workspace);
    orders::OrderBook book(workspace.folder / orders::kBookFile, orders::OrderBook::Access::write);
    const auto broken = weekly::limits_broken_by(workspace, limits, book.orders(), order, *found);
    orders::Change change(book, plan.request.now);
    (void)change.choose(
        order, reports::choice_of(workspace, *found, order.place, plan.weather, plan.request.now, "plan"));
    change.commit();
    return tell_chosen(*found, order, broken, console) ? kNeedsPerson : kDone;
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
    command.add_option(
        "--order", options.order,
        "Plan for this order of the book, in place of --to, --zone, --species, --count and --mass-g");
    command
        .add_option("--choose", options.choose,
                    "Plan the order with the option of this rank, and write that into the order book")
        ->check(CLI::Range(1, 10000));
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
    const std::optional<orders::Order> order = order_of(options, workspace);
    planning::PlanRequest request =
        order ? order_request(*order, options, common, workspace, now, console)
              : parcel_request(options.parcel, common, workspace, access.place_help(), now, console);
    request.from = ship_date(options.from, "--from", workspace, now);
    request.days = options.days.value_or(options.calendar ? kCalendarDays : kUsualDays);
    read_value(options, request);
    request.services = order && options.services.empty() ? weekly::services_of(*order, workspace)
                                                         : chosen(workspace.services, options.services);
    request.packings = chosen(workspace.packings, options.packings);
    const planning::Plan plan = planning::make_plan(workspace, access.source(), request);
    console.out << report(workspace, plan, options, common.json);
    if (order && options.choose) return choose(workspace, plan, *order, *options.choose, console);
    return exit_code(plan);
}

Command plan_command() {
    return simple_command<PlanOptions>("plan", "Rank ship days, services and packings for one parcel",
                                       add_plan_options, run_plan);
}

}  // namespace mildway::cli
