// What the subcommands of `order` share.
#pragma once

#include "mildway/orders/order_book.hpp"
#include "mildway/orders/order_fields.hpp"
#include "mildway/planning/workspace.hpp"

#include "options.hpp"
#include "weather_access.hpp"

#include <functional>
#include <memory>
#include <string>

#include <CLI/CLI.hpp>

namespace mildway::cli {

/// One subcommand: where it stands in the parser, and what it does.
struct OrderCommand {
    CLI::App* app = nullptr;
    std::function<int(const CommonOptions& common, Console& console)> run;
};

[[nodiscard]] OrderCommand add_order_add(CLI::App& order);
[[nodiscard]] OrderCommand add_order_edit(CLI::App& order);
[[nodiscard]] OrderCommand add_order_list(CLI::App& order);
[[nodiscard]] OrderCommand add_order_show(CLI::App& order);
[[nodiscard]] OrderCommand add_order_cancel(CLI::App& order);
[[nodiscard]] OrderCommand add_order_take_back(CLI::App& order);
[[nodiscard]] OrderCommand add_order_hand_over(CLI::App& order);
[[nodiscard]] OrderCommand add_order_arrive(CLI::App& order);
[[nodiscard]] OrderCommand add_order_import(CLI::App& order);
[[nodiscard]] OrderCommand add_order_export(CLI::App& order);

/// A subcommand of one set of options.
template <class Options>
[[nodiscard]] OrderCommand order_subcommand(CLI::App& order, const char* name, const char* about,
                                            void (*add_options)(CLI::App&, Options&),
                                            int (*run)(const Options&, const CommonOptions&, Console&)) {
    auto options = std::make_shared<Options>();
    CLI::App* app = order.add_subcommand(name, about);
    add_options(*app, *options);
    return {app,
            [=](const CommonOptions& common, Console& console) { return run(*options, common, console); }};
}

/// The book of the workspace. Reads no config: throws InputError when the folder is no workspace.
[[nodiscard]] orders::OrderBook open_book(const CommonOptions& common,
                                          orders::OrderBook::Access access = orders::OrderBook::Access::read);

/// What the workspace knows of places, species and services. Asks the network only for a place that neither
/// the workspace nor its gazetteers know; what was assumed is noted on `console.err`. Borrows all three.
class OrderHelp {
public:
    OrderHelp(const CommonOptions& common, const planning::Workspace& workspace, Instant now,
              Console& console)
        : common_(common), workspace_(workspace), now_(now), console_(console) {}

    [[nodiscard]] orders::FieldHelp fields();

private:
    [[nodiscard]] Place place(const std::string& text, const std::string& zone);
    [[nodiscard]] planning::Destination look_up(const std::string& text, const std::string& zone);

    const CommonOptions& common_;
    const planning::Workspace& workspace_;
    Instant now_;
    Console& console_;
    std::unique_ptr<WeatherAccess> access_;
};

/// "earliest: '3/1/2027' is not a date", several a line each, as one UsageError; nothing when there are none.
void throw_faults(const std::vector<orders::FieldFault>& faults);

}  // namespace mildway::cli
