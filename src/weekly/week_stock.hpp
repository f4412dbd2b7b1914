// What is on the shelf, and what parcels take of it.
#pragma once

#include "mildway/weekly/week.hpp"

#include <optional>
#include <span>
#include <vector>

namespace mildway::weekly {

/// Which of the orders given are planned and stay so.
using Keeping = std::vector<bool>;

/// Every thing of which there is a stock, with what sent and kept orders take.
[[nodiscard]] std::vector<StockItem> stock_at_hand(const planning::Workspace& workspace, const Limits& limits,
                                                   std::span<const orders::Order> orders,
                                                   const Keeping& keeping);

/// Numbers of the sent and kept orders that take nobody knows what: packings.json has their packing no more.
/// None where there is no stock.
[[nodiscard]] std::vector<std::string> not_counted(const planning::Workspace& workspace, const Limits& limits,
                                                   std::span<const orders::Order> orders,
                                                   const Keeping& keeping);

/// By index into `stock`; what is not limited is left out.
[[nodiscard]] std::vector<planning::StockUse> uses_of(const box::Packing& packing,
                                                      const planning::Workspace& workspace,
                                                      const std::vector<StockItem>& stock);

/// Whether an order is planned here and now.
[[nodiscard]] bool takes_part(const orders::Order& order, bool replan);
/// The day on which an order was handed over, by the counter's clock; empty when it was not.
[[nodiscard]] std::optional<Date> day_sent(const orders::Order& order, const planning::Workspace& workspace);
[[nodiscard]] bool is_planned(const orders::Order& order);

}  // namespace mildway::weekly
