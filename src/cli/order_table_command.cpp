// order import, order export
#include "mildway/base/errors.hpp"
#include "mildway/base/files.hpp"
#include "mildway/orders/order_import.hpp"
#include "mildway/reports/order_import_report.hpp"
#include "mildway/reports/order_show.hpp"

#include "order_parts.hpp"

#include <fmt/format.h>

namespace mildway::cli {

using orders::State;

namespace {

constexpr std::size_t kLargestTable = std::size_t{32} << 20;

struct ImportOptions {
    std::string file;
    bool apply = false;
};

struct ExportOptions {
    bool csv = false;
    bool all = false;
    std::string out;
};

int run_import(const ImportOptions& options, const CommonOptions& common, Console& console) {
    const auto workspace = open_workspace(common, console);
    const Instant now = now_of(common, console);
    auto book =
        open_book(common, options.apply ? orders::OrderBook::Access::write : orders::OrderBook::Access::read);
    OrderHelp help(common, workspace, now, console);
    const auto table = orders::read_order_table(options.file, read_file(options.file, kLargestTable));
    const auto plan = orders::plan_import(table, book.orders(), help.fields(), workspace.scale);
    orders::refuse_faults(plan.file, plan.faults);
    if (options.apply) orders::apply_import(book, plan, now);
    console.out << (common.json ? reports::order_import_json(plan, options.apply)
                                : reports::order_import_text(plan, options.apply, workspace.species));
    return plan.count(orders::ImportKind::refused) > 0 ? kNeedsPerson : kDone;
}

std::string json_of(const orders::OrderBook& book, std::vector<orders::Order> all) {
    std::vector<reports::OrderFile> files;
    for (orders::Order& order : all) {
        reports::OrderFile& file = files.emplace_back();
        file.events = book.events(order.id);
        file.choices = book.choices(order.id);
        file.reassessments = book.reassessments(order.id);
        file.outcome = book.outcome(order.id);
        file.order = std::move(order);
    }
    return reports::order_export_json(files);
}

int run_export(const ExportOptions& options, const CommonOptions& common, Console& console) {
    if (options.csv && common.json) throw UsageError("--csv and --json: expected one of them");
    const auto book = open_book(common);
    orders::Which which;
    if (!options.all) which.states = {State::open, State::planned, State::handed_over};
    auto all = book.orders(which);
    const std::size_t count = all.size();
    const std::string bytes = common.json ? json_of(book, std::move(all)) : orders::write_order_table(all);
    if (options.out.empty()) {
        console.out << bytes;
        return kDone;
    }
    write_file(options.out, bytes, {.for_owner_alone = true});  // buyers' names and addresses
    console.err << fmt::format("note: {} order{} written to {}\n", count, count == 1 ? "" : "s", options.out);
    return kDone;
}

void add_import_options(CLI::App& command, ImportOptions& options) {
    command.add_option("file", options.file, "A table as CSV; docs/cli.md names the columns")->required();
    command.add_flag("--apply", options.apply, "Write it, all or nothing (default: say what would change)");
}

void add_export_options(CLI::App& command, ExportOptions& options) {
    command.add_flag("--csv", options.csv, "As a table, as import reads it (the default; else --json)");
    command.add_flag("--all", options.all, "Orders of every state (default: open, planned, handed-over)");
    command.add_option("--out", options.out, "Write into this file");
}

}  // namespace

OrderCommand add_order_import(CLI::App& order) {
    return order_subcommand<ImportOptions>(order, "import", "Take orders from a table", add_import_options,
                                           run_import);
}

OrderCommand add_order_export(CLI::App& order) {
    return order_subcommand<ExportOptions>(order, "export", "Give orders as a table or as JSON",
                                           add_export_options, run_export);
}

}  // namespace mildway::cli
