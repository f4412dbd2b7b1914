#include "command.hpp"
#include "order_parts.hpp"

#include <algorithm>

namespace mildway::cli {

Command order_command() {
    auto all = std::make_shared<std::vector<OrderCommand>>();
    const auto asked = [all] {
        return std::find_if(all->begin(), all->end(),
                            [](const OrderCommand& one) { return one.app->parsed(); });
    };
    return {"order",
            [all](CLI::App& app) {
                CLI::App* order = app.add_subcommand("order", "Keep the book of orders");
                order->require_subcommand(1);
                for (auto* add : {add_order_add, add_order_list, add_order_show, add_order_edit,
                                  add_order_cancel, add_order_take_back, add_order_hand_over,
                                  add_order_arrive, add_order_import, add_order_export})
                    all->push_back(add(*order));
            },
            [=] { return asked() != all->end(); },
            [=](const CommonOptions& common, Console& console) { return asked()->run(common, console); }};
}

}  // namespace mildway::cli
