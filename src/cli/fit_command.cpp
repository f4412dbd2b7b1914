#include "mildway/base/files.hpp"
#include "mildway/base/text.hpp"
#include "mildway/box/films.hpp"
#include "mildway/learning/fit.hpp"
#include "mildway/learning/learnt.hpp"
#include "mildway/learning/logger.hpp"
#include "mildway/reports/fit_report.hpp"

#include "command.hpp"
#include "options.hpp"

#include <cmath>

#include <CLI/CLI.hpp>
#include <fmt/format.h>

namespace mildway::cli {

namespace {

constexpr std::size_t kLargestLog = std::size_t{64} << 20;
constexpr seconds kLongestBefore = hours(24 * 60);

std::optional<Instant> time_option(const std::string& text, const char* option) {
    if (text.empty()) return std::nullopt;
    const auto when = parse_instant(text);
    if (!when)
        throw UsageError(fmt::format(
            "{} '{}' is not a time like 2027-03-01T13:00:00Z or 2027-03-01T06:00:00-07:00", option, text));
    return when;
}

learning::LoggerOptions logger_options(const FitOptions& options, const planning::Workspace& workspace) {
    learning::LoggerOptions logger;
    logger.zone = &find_zone(options.zone.empty() ? workspace.origin.zone : options.zone);
    logger.zone_is_given = !options.zone.empty();
    if (!options.unit.empty()) {
        logger.unit =
            options.unit == "celsius" ? learning::TempUnit::celsius : learning::TempUnit::fahrenheit;
    }
    if (!options.dates.empty()) {
        logger.dates =
            options.dates == "day-first" ? learning::DateOrder::day_first : learning::DateOrder::month_first;
    }
    logger.started = time_option(options.started, "--started");
    logger.inside_column = options.inside_column;
    logger.outside_column = options.outside_column;
    if (!options.inside_column.empty() &&
        lower_case(options.inside_column) == lower_case(options.outside_column))
        throw UsageError(
            fmt::format("--inside-column and --outside-column both name '{}'; expected two columns",
                        options.inside_column));
    return logger;
}

/// Warmers burn from packing on, and none does so for weeks.
void check_packed(const learning::FitRequest& request) {
    const Instant first = request.inside.readings.front().when;
    if (request.packed && first - *request.packed > kLongestBefore) {
        throw UsageError(fmt::format(
            "--packed is {:.0f} days before the first reading, {}; expected at most {}",
            in_hours(first - *request.packed) / 24, format_instant(first), kLongestBefore / hours(24)));
    }
}

/// Reads what is said of the air around: a file of its own, one temperature, or a column of the log.
void read_surroundings(const FitOptions& options, learning::LoggerOptions logger, learning::LoggerLog& log,
                       learning::FitRequest& request) {
    if (options.around_c) {
        if (std::isnan(*options.around_c)) throw UsageError("--around-c is not a number");
        request.around_c = options.around_c;
    } else if (!options.outside.empty()) {
        logger.part = learning::LoggerPart::surroundings;
        learning::LoggerLog outside =
            learning::read_logger(options.outside, read_file(options.outside, kLargestLog), logger);
        request.outside = std::move(*outside.outside);
        for (const auto& finding : outside.findings)
            log.findings.push_back(fmt::format("{}: {}", options.outside, finding));
    } else if (log.outside) {
        request.outside = std::move(*log.outside);
    } else {
        throw UsageError(
            fmt::format("nothing says how warm the air around the box was: {} has no column of it; give "
                        "--outside FILE, or --around-c T for a room of one temperature",
                        options.log));
    }
    if (log.outside && (options.around_c || !options.outside.empty()))
        log.findings.push_back(fmt::format("the column '{}' of the log is not used", log.outside->name));
}

learning::FitRequest fit_request(const FitOptions& options, const planning::Workspace& workspace,
                                 std::vector<std::string>& findings) {
    const learning::LoggerOptions logger = logger_options(options, workspace);
    learning::FitRequest request;
    request.file = options.log;
    request.packing = &workspace.packings.find(options.packing);
    request.warmers = &workspace.supplies.warmers;
    if (std::isnan(options.mass_g)) throw UsageError("--mass-g is not a number");
    request.contents = {options.count, options.mass_g / 1000};
    if (const std::string why = box::why_no_room(*request.packing, request.contents); !why.empty())
        throw UsageError(why);
    request.film = box::outside_film(
        workspace.settings.all().at(workspace.settings.find(options.setting)).air_speed_m_per_s);
    request.at = options.logger_at == "cup" ? learning::LoggerAt::cup : learning::LoggerAt::cavity;
    request.packed = time_option(options.packed, "--packed");
    request.opened = time_option(options.opened, "--opened");
    learning::LoggerLog log = learning::read_logger(options.log, read_file(options.log, kLargestLog), logger);
    request.inside = std::move(*log.inside);
    check_packed(request);
    read_surroundings(options, logger, log, request);
    findings = std::move(log.findings);
    return request;
}

}  // namespace

void add_fit_options(CLI::App& command, FitOptions& options) {
    command.add_option("log", options.log, "The logger's file, as CSV")->required();
    command.add_option("--packing", options.packing, "Which packing the box was")->required();
    CLI::Option* outside =
        command.add_option("--outside", options.outside, "A second logger's file, from beside the box");
    command.add_option("--around-c", options.around_c, "The air around stayed at this temperature, degC")
        ->check(CLI::Range(-60.0, 60.0))
        ->excludes(outside);
    command
        .add_option("--logger-at", options.logger_at,
                    "Where the logger was: in the air of the box or in a cup")
        ->check(CLI::IsMember({"cavity", "cup"}))
        ->capture_default_str();
    command.add_option("--count", options.count, "How many cups were in the box")
        ->check(CLI::Range(1, 12))
        ->capture_default_str();
    command.add_option("--mass-g", options.mass_g, "What was in each of them, g")
        ->check(CLI::Range(0.1, 5000.0))
        ->capture_default_str();
    command.add_option("--setting", options.setting, "Which setting the box stood in, for the air's speed")
        ->capture_default_str();
    command.add_option("--packed", options.packed, "When the box was closed (default: at the first reading)");
    command.add_option("--opened", options.opened,
                       "When it was opened again (default: after the last reading)");
    command.add_option(
        "--zone", options.zone,
        "Time zone of the logger's clock (default: the origin's), e.g. Etc/GMT+7 without summer time");
    command.add_option("--unit", options.unit, "Unit of columns that do not say it")
        ->check(CLI::IsMember({"celsius", "fahrenheit"}));
    command.add_option("--dates", options.dates, "Order of dates that could be either")
        ->check(CLI::IsMember({"day-first", "month-first"}));
    command.add_option("--started", options.started, "When a log began that counts its times from there");
    command.add_option("--inside-column", options.inside_column, "Name of the column from inside the box");
    command.add_option("--outside-column", options.outside_column, "Name of the column from beside it");
    command.add_flag("--save", options.save, "Keep the figures that the log tells in learnt.json");
}

int run_fit(const FitOptions& options, const CommonOptions& common, Console& console) {
    const auto workspace = planning::Workspace::load(common.workspace);
    std::vector<std::string> findings;
    const learning::FitRequest request = fit_request(options, workspace, findings);
    learning::Fit fit = learning::fit_box(request);
    fit.findings.insert(fit.findings.begin(), findings.begin(), findings.end());
    reports::FitSubject subject{&workspace,      request.packing, options.log, request.at,
                                options.setting, options.save,    std::nullopt};
    if (options.save) {
        subject.saved = learning::record_of(*request.packing, *request.warmers, options.log, fit);
        if (subject.saved)
            subject.kept = learning::save_learnt(workspace.folder / "learnt.json", *subject.saved);
    }
    console.out << (common.json ? reports::fit_json(subject, fit) : reports::fit_text(subject, fit));
    return fit.all_told() && fit.fits ? kDone : kNeedsPerson;
}

Command fit_command() {
    return simple_command<FitOptions>(
        "fit", "Learn a packing's wall, vents and warmers from a temperature logger's file", add_fit_options,
        run_fit);
}

}  // namespace mildway::cli
