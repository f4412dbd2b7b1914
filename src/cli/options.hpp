// Options as typed, and what they mean in a workspace.
#pragma once

#include "mildway/planning/destination.hpp"
#include "mildway/planning/plan.hpp"

#include "run.hpp"

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

namespace CLI {
class App;
}

namespace mildway::cli {

/// Understood by every command, before or after its name.
struct CommonOptions {
    std::string workspace = ".";
    std::string now;
    std::uint64_t seed = 1;
    unsigned threads = 0;
    bool json = false;
    bool offline = false;
};

/// One parcel to one place.
struct ParcelOptions {
    std::string to;
    std::string zone;
    std::string species;
    int count = 1;
    double mass_g = 0;
    std::uint32_t scenarios = 2048;
    std::string recorded;
};

struct PlanOptions {
    ParcelOptions parcel;
    std::string order;          ///< number of an order of the book, in place of `parcel`
    std::optional<int> choose;  ///< rank of the option that the order is planned with
    std::string from;
    std::optional<int> days;
    std::vector<std::string> services;
    std::vector<std::string> packings;
    int top = 8;
    bool calendar = false;
    std::optional<double> value_usd;
    std::string rank_by = "hours";
};

struct TraceOptions {
    ParcelOptions parcel;
    std::string ship_date;
    std::string service;
    std::string packing;
    int late_days = 0;
    std::string late_after;
    bool csv = false;
    bool explain_box = false;
    std::string svg;
};

struct WeatherOptions {
    std::string place;
    std::string zone;
    std::string recorded;
    int days = 7;
    std::uint32_t scenarios = 2048;
    std::string svg;
};

/// A log of one box, and what the file does not say by itself.
struct FitOptions {
    std::string log;
    std::string packing;
    std::string outside;
    std::optional<double> around_c;
    std::string logger_at = "cavity";
    int count = 1;
    double mass_g = 1;
    std::string setting = "indoors";
    std::string packed;
    std::string opened;
    std::string zone;
    std::string unit;
    std::string dates;
    std::string started;
    std::string inside_column;
    std::string outside_column;
    bool save = false;
};

struct InitOptions {
    std::string folder = ".";
};

void add_parcel_options(CLI::App& command, ParcelOptions& options);
void add_plan_options(CLI::App& command, PlanOptions& options);
void add_trace_options(CLI::App& command, TraceOptions& options);
void add_fit_options(CLI::App& command, FitOptions& options);

/// The workspace that was asked for; remarks worth a person's notice go to `console.err`. Throws InputError.
[[nodiscard]] planning::Workspace open_workspace(const CommonOptions& common, Console& console);

/// --now if given, else the clock. Throws UsageError.
[[nodiscard]] Instant now_of(const CommonOptions& common, const Console& console);

/// The request that both commands share: destination, species, contents, scenarios, seed, threads, now.
/// Remarks worth a person's notice go to `console.err`. Throws UsageError.
[[nodiscard]] planning::PlanRequest parcel_request(const ParcelOptions& options, const CommonOptions& common,
                                                   const planning::Workspace& workspace,
                                                   const planning::PlaceHelp& help, Instant now,
                                                   Console& console);

/// A ship date that is not in the past at the counter. Throws UsageError.
[[nodiscard]] Date ship_date(const std::string& text, const char* option,
                             const planning::Workspace& workspace, Instant now);

[[nodiscard]] int run_plan(const PlanOptions& options, const CommonOptions& common, Console& console);
[[nodiscard]] int run_trace(const TraceOptions& options, const CommonOptions& common, Console& console);
[[nodiscard]] int run_weather(const WeatherOptions& options, const CommonOptions& common, Console& console);
[[nodiscard]] int run_fit(const FitOptions& options, const CommonOptions& common, Console& console);
[[nodiscard]] int run_init(const InitOptions& options, const CommonOptions& common, Console& console);
[[nodiscard]] int run_config_check(const CommonOptions& common, Console& console);

}  // namespace mildway::cli
