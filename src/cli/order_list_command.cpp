// order list, order show
#include "mildway/base/errors.hpp"
#include "mildway/reports/order_list.hpp"
#include "mildway/reports/order_show.hpp"

#include "order_parts.hpp"

#include <algorithm>

namespace mildway::cli {

using orders::State;

namespace {

struct ListOptions {
    std::vector<std::string> states;
    bool all = false;
};

struct ShowOptions {
    std::string number;
};

orders::Which which(const ListOptions& options) {
    if (options.all) return {};
    if (options.states.empty()) return {{State::open, State::planned, State::handed_over}};
    orders::Which chosen;
    for (const auto& name : options.states) chosen.states.push_back(orders::state_of(name).value());
    return chosen;
}

std::vector<reports::ListedOrder> whole_orders(const orders::OrderBook& book, const orders::Which& which) {
    auto found = book.orders(which);
    auto newest = book.newest_reassessments(found);
    std::vector<reports::ListedOrder> listed(found.size());
    for (std::size_t i = 0; i < found.size(); ++i) {
        if (found[i].state == State::arrived) listed[i].outcome = book.outcome(found[i].id);
        listed[i].order = std::move(found[i]);
        listed[i].newest = std::move(newest[i]);
    }
    return listed;
}

/// A list is there at once, and also beside a config at fault.
care::SpeciesTable species_names(const CommonOptions& common, Console& console) {
    try {
        return care::SpeciesTable::read(
            ConfigNode::load(std::filesystem::path(common.workspace) / "species.json"));
    } catch (const InputError& error) {
        console.err << "note: species without their common names: " << error.what() << "\n";
        return {};
    }
}

/// By which a parcel went on its day or not; nullptr when workspace.json is at fault.
const date::time_zone* counter_clock(const CommonOptions& common, Console& console) {
    try {
        return &find_zone(planning::Workspace::load_own_file(common.workspace).counter.zone);
    } catch (const InputError& error) {
        console.err << "note: without the counter's clock: " << error.what() << "\n";
        return nullptr;
    }
}

int run_list(const ListOptions& options, const CommonOptions& common, Console& console) {
    const auto book = open_book(common);
    const auto wanted = which(options);
    if (common.json) {
        console.out << reports::order_list_json(whole_orders(book, wanted));
        return kDone;
    }
    const auto lines = book.lines(wanted);
    const bool any_on_its_way = std::any_of(lines.begin(), lines.end(), [](const orders::OrderLine& line) {
        return line.state == State::handed_over;
    });
    console.out << reports::order_list_text(lines, species_names(common, console),
                                            any_on_its_way ? counter_clock(common, console) : nullptr);
    return kDone;
}

int run_show(const ShowOptions& options, const CommonOptions& common, Console& console) {
    const auto book = open_book(common);
    const auto workspace = planning::Workspace::load_own_file(common.workspace);
    reports::OrderFile file;
    file.order = book.order(options.number);
    file.events = book.events(file.order.id);
    file.choices = book.choices(file.order.id);
    file.reassessments = book.reassessments(file.order.id);
    file.outcome = book.outcome(file.order.id);
    if (common.json) {
        console.out << reports::order_show_json(file);
        return kDone;
    }
    console.out << reports::order_show_text(file,
                                            {&find_zone(workspace.counter.zone), workspace.scale,
                                             species_names(common, console).common_name(file.order.species)});
    return kDone;
}

void add_list_options(CLI::App& command, ListOptions& options) {
    auto* all = command.add_flag("--all", options.all, "Orders of every state");
    command
        .add_option("--state", options.states,
                    "Orders of this state (default: open, planned, handed-over); repeat for more")
        ->expected(1)
        ->multi_option_policy(CLI::MultiOptionPolicy::TakeAll)
        ->check(CLI::IsMember({"open", "planned", "handed-over", "arrived", "cancelled"}))
        ->excludes(all);
}

void add_show_options(CLI::App& command, ShowOptions& options) {
    command.add_option("number", options.number, "Which order")->required();
}

}  // namespace

OrderCommand add_order_list(CLI::App& order) {
    return order_subcommand<ListOptions>(order, "list", "Orders that are not done with, a line each",
                                         add_list_options, run_list);
}

OrderCommand add_order_show(CLI::App& order) {
    return order_subcommand<ShowOptions>(order, "show", "All that is known of an order", add_show_options,
                                         run_show);
}

}  // namespace mildway::cli
