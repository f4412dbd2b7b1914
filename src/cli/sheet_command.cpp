#include "mildway/base/files.hpp"
#include "mildway/orders/order_book.hpp"
#include "mildway/reports/sheet.hpp"

#include "command.hpp"

namespace mildway::cli {

namespace {

struct SheetOptions {
    std::string order;
    std::string html;
};

void add_sheet_options(CLI::App& command, SheetOptions& options) {
    command.add_option("order", options.order, "Number of the order")->required();
    command.add_option("--html", options.html,
                       "Write it into this file, as a page for a browser's print, instead of text");
}

int run_sheet(const SheetOptions& options, const CommonOptions& common, Console& console) {
    const auto workspace = open_workspace(common, console);
    const orders::OrderBook book(workspace.folder / orders::kBookFile);
    const orders::Order order = book.order(options.order);
    const auto checked = book.newest_reassessments({order});
    const weekly::Limits limits = weekly::Limits::load(workspace);
    const reports::Sheet sheet =
        reports::make_sheet({&workspace, &order, checked.front(), now_of(common, console), &limits});
    if (!options.html.empty()) {
        write_file(options.html, reports::sheet_html(sheet),
                   {.for_owner_alone = true});  // the buyer's name and address
        console.err << "note: sheet written to " << options.html << "\n";
    }
    if (common.json)
        console.out << reports::sheet_json(sheet);
    else if (options.html.empty())
        console.out << reports::sheet_text(sheet);
    return sheet.needs_person() ? kNeedsPerson : kDone;
}

}  // namespace

Command sheet_command() {
    return simple_command<SheetOptions>("sheet", "Print what to pack, look at, mark and ask for one order",
                                        add_sheet_options, run_sheet);
}

}  // namespace mildway::cli
