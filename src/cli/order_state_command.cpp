// order cancel, take-back, hand-over, arrive
#include "mildway/base/errors.hpp"
#include "mildway/base/files.hpp"
#include "mildway/base/text.hpp"
#include "mildway/learning/logger.hpp"
#include "mildway/planning/workspace.hpp"
#include "mildway/reports/order_edit_report.hpp"
#include "mildway/reports/order_show.hpp"

#include "order_parts.hpp"

#include <cmath>

#include <fmt/format.h>

namespace mildway::cli {

namespace {

constexpr std::size_t kLargestLog = std::size_t{4} << 20;  // as the order book takes

struct StateOptions {
    std::string number;
    std::string why;
    std::string at;
};

struct ArriveOptions {
    std::string number;
    std::string at;
    int alive = 0;
    int well = 0;
    std::optional<double> inside_c;
    std::string logger;
    std::string note;
};

/// "2027-03-02T16:30:00Z", or on the clock of `zone`: "2027-03-02 16:30", or "16:30" of today.
std::optional<Instant> parse_moment(const std::string& text, const date::time_zone& zone, Instant now) {
    if (const auto instant = parse_instant(text)) return instant;
    if (const auto clock = parse_clock(text)) return to_instant(zone, local_date(zone, now), *clock);
    if (text.size() < 12 || (text[10] != ' ' && text[10] != 'T')) return std::nullopt;
    const auto day = parse_date(text.substr(0, 10));
    const auto clock = parse_clock(text.substr(11));
    return day && clock ? std::optional(to_instant(zone, *day, *clock)) : std::nullopt;
}

/// Now when nothing was said.
Instant moment_of(const std::string& text, const date::time_zone& zone, Instant now) {
    if (text.empty()) return now;
    const auto when = parse_moment(text, zone, now);
    if (!when)
        throw UsageError(fmt::format(
            "--at '{}' is not a time like 2027-03-02T23:30:00Z, or '2027-03-02 16:30' on the clock of {}",
            text, zone.name()));
    if (*when > now)
        throw UsageError(
            fmt::format("--at {} is in the future: it is {} now", text, format_local(zone, now)));
    return *when;
}

void say(const orders::OrderBook& book, const std::string& number, const char* command,
         const std::string& sentence, const CommonOptions& common, Console& console) {
    console.out << (common.json ? reports::order_changed_json(command, book.order(number)) : sentence + "\n");
}

int run_cancel(const StateOptions& options, const CommonOptions& common, Console& console) {
    auto book = open_book(common, orders::OrderBook::Access::write);
    const orders::Order order = book.order(options.number);
    orders::Change change(book, now_of(common, console));
    change.cancel(order, options.why);
    change.commit();
    say(book, order.number, "mildway order cancel", fmt::format("{} is cancelled.", order.number), common,
        console);
    return kDone;
}

int run_take_back(const StateOptions& options, const CommonOptions& common, Console& console) {
    auto book = open_book(common, orders::OrderBook::Access::write);
    const orders::Order order = book.order(options.number);
    orders::Change change(book, now_of(common, console));
    const bool handed_over = order.state == orders::State::handed_over;
    if (handed_over) {
        if (options.why.empty())
            throw UsageError(
                fmt::format("{} is handed over: say with --why why that is taken back", order.number));
        change.take_back_hand_over(order, options.why);
    } else {
        change.take_back(order, options.why);
    }
    change.commit();
    say(book, order.number, "mildway order take-back",
        order.number + (handed_over ? " is planned again: its hand-over is taken back."
                                    : " is open again: its plan is taken back."),
        common, console);
    return kDone;
}

/// A hand-over at another time than planned means another trip than the one that was judged.
void note_other_time(const orders::Choice& choice, const date::time_zone& zone, Instant at,
                     Console& console) {
    if (local_date(zone, at) != choice.ship_date) {
        console.err << fmt::format("note: it was planned for {}; what was predicted is not for this day\n",
                                   format_day(choice.ship_date));
    } else if (at > choice.cut_off) {
        console.err << fmt::format("note: that is after the cut-off at {}: does it leave today?\n",
                                   format_local_clock(zone, choice.cut_off));
    } else if (at < choice.packed) {
        console.err << fmt::format(
            "note: that is before the planned packing at {}: is the time right? If so, "
            "the animals are longer in the box than was predicted\n",
            format_local_clock(zone, choice.packed));
    }
}

int run_hand_over(const StateOptions& options, const CommonOptions& common, Console& console) {
    // no more of the workspace than that: what its other files lack must not keep a hand-over from the book
    const date::time_zone& zone =
        find_zone(planning::Workspace::load_own_file(common.workspace).counter.zone);
    const Instant now = now_of(common, console);
    auto book = open_book(common, orders::OrderBook::Access::write);
    const orders::Order order = book.order(options.number);
    const Instant at = moment_of(options.at, zone, now);
    if (order.choice && at < order.choice->chosen)
        throw UsageError(fmt::format("--at {} is before its plan was made, {}", options.at,
                                     format_local(zone, order.choice->chosen)));
    orders::Change change(book, now);
    change.hand_over(order, at);
    change.commit();
    if (order.choice) note_other_time(*order.choice, zone, at, console);
    say(book, order.number, "mildway order hand-over",
        fmt::format("{} was handed over {}.", order.number, format_local(zone, at)), common, console);
    return kDone;
}

/// The logger's file, if it can be read as one: what is kept has to be of use later.
void take_logger(const std::string& file, const planning::Workspace& workspace, orders::Outcome& outcome,
                 Console& console) {
    outcome.logger_bytes = read_file(file, kLargestLog);
    outcome.logger_name = std::filesystem::path(file).filename().string();
    learning::LoggerOptions options;
    options.zone = &find_zone(workspace.origin.zone);
    const auto log = learning::read_logger(file, outcome.logger_bytes, options);
    console.err << fmt::format("note: {} holds {} readings from {} to {}\n", file,
                               log.inside->readings.size(),
                               format_local(*options.zone, log.inside->readings.front().when),
                               format_local(*options.zone, log.inside->readings.back().when));
}

void check_counts(const orders::Order& order, const ArriveOptions& options) {
    const auto count = static_cast<int>(order.animals.size());
    if (options.alive > count)
        throw UsageError(
            fmt::format("--alive {} is more than were sent: {} has {}", options.alive, order.number, count));
    if (options.well > options.alive)
        throw UsageError(fmt::format("--well {} is more than are alive, {}", options.well, options.alive));
    if (options.inside_c && std::isnan(*options.inside_c)) throw UsageError("--inside-c is not a number");
}

int run_arrive(const ArriveOptions& options, const CommonOptions& common, Console& console) {
    const auto workspace = open_workspace(common, console);
    const Instant now = now_of(common, console);
    auto book = open_book(common, orders::OrderBook::Access::write);
    const orders::Order order = book.order(options.number);
    const date::time_zone& there = find_zone(order.place.zone);
    check_counts(order, options);
    orders::Outcome outcome;
    outcome.arrived = moment_of(options.at, there, now);
    if (order.handed_over && outcome.arrived < *order.handed_over)
        throw UsageError(fmt::format("--at {} is before it was handed over, {} there",
                                     options.at.empty() ? "now" : options.at,
                                     format_local(there, *order.handed_over)));
    outcome.alive = options.alive;
    outcome.well = options.well;
    outcome.inside_c = options.inside_c;
    orders::Order noted;
    throw_faults(orders::take_fields(noted, {{orders::Field::note, options.note}}, {}));
    outcome.note = noted.note;
    if (!options.logger.empty()) take_logger(options.logger, workspace, outcome, console);
    orders::Change change(book, now);
    change.arrive(order, outcome);
    change.commit();
    say(book, order.number, "mildway order arrive",
        fmt::format("{} arrived {} there: {} of {} alive, {} of them well.", order.number,
                    format_local(there, outcome.arrived), outcome.alive, order.animals.size(), outcome.well),
        common, console);
    return kDone;
}

void add_number(CLI::App& command, std::string& number) {
    command.add_option("number", number, "Which order")->required();
}

void add_cancel_options(CLI::App& command, StateOptions& options) {
    add_number(command, options.number);
    command.add_option("--why", options.why, "For yourself");
}

void add_take_back_options(CLI::App& command, StateOptions& options) {
    add_number(command, options.number);
    command.add_option("--why", options.why, "For yourself; must be told of an order that is handed over");
}

void add_hand_over_options(CLI::App& command, StateOptions& options) {
    add_number(command, options.number);
    command.add_option("--at", options.at,
                       "When (default: now), e.g. 2027-03-02T23:30:00Z; or on the counter's clock: 16:30, "
                       "\"2027-03-02 16:30\"");
}

void add_arrive_options(CLI::App& command, ArriveOptions& options) {
    add_number(command, options.number);
    command.add_option("--alive", options.alive, "How many animals were alive")
        ->check(CLI::Range(0, orders::kMostAnimals))
        ->required();
    command.add_option("--well", options.well, "How many of them were well")
        ->check(CLI::Range(0, orders::kMostAnimals))
        ->required();
    command.add_option("--at", options.at,
                       "When (default: now), e.g. 2027-03-03T16:10:00Z; or on the buyer's clock: 10:10, "
                       "\"2027-03-03 10:10\"");
    command.add_option("--inside-c", options.inside_c, "Temperature in the box when it was opened, degC")
        ->check(CLI::Range(-60.0, 80.0));
    command.add_option("--logger", options.logger,
                       "File of a temperature logger that lay in the box; it is kept in the order book");
    command.add_option("--note", options.note, "For yourself");
}

}  // namespace

OrderCommand add_order_cancel(CLI::App& order) {
    return order_subcommand<StateOptions>(order, "cancel", "An order that will not be shipped",
                                          add_cancel_options, run_cancel);
}

OrderCommand add_order_take_back(CLI::App& order) {
    return order_subcommand<StateOptions>(
        order, "take-back", "Take back the plan of an order (open again), or its hand-over (planned)",
        add_take_back_options, run_take_back);
}

OrderCommand add_order_hand_over(CLI::App& order) {
    return order_subcommand<StateOptions>(order, "hand-over", "The carrier has the parcel",
                                          add_hand_over_options, run_hand_over);
}

OrderCommand add_order_arrive(CLI::App& order) {
    return order_subcommand<ArriveOptions>(order, "arrive", "How the animals arrived", add_arrive_options,
                                           run_arrive);
}

}  // namespace mildway::cli
