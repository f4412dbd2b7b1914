// What is on the shelf, and what parcels take of it.
#pragma once

#include "mildway/weekly/week.hpp"

#include <optional>
#include <span>
#include <vector>

namespace mildway::weekly {

/// Every thing of which there is a stock, with what other orders took and keep. `taking_part` orders keep
/// nothing.
[[nodiscard]] std::vector<StockItem> stock_at_hand(const planning::Workspace& workspace, const Limits& limits,
                                                   std::span<const orders::Order> orders, bool replan);

/// By index into `stock`; what is not limited is left out.
[[nodiscard]] std::vector<planning::StockUse> uses_of(const box::Packing& packing,
                                                      const planning::Workspace& workspace,
                                                      const std::vector<StockItem>& stock);

/// Whether an order is planned here and now.
[[nodiscard]] bool takes_part(const orders::Order& order, bool replan);
/// The day on which an order was handed over, by the counter's clock; empty when it was not.
[[nodiscard]] std::optional<Date> day_sent(const orders::Order& order, const planning::Workspace& workspace);
/// Whether an order is planned already and stays as it is.
[[nodiscard]] bool is_kept(const orders::Order& order, bool replan);

}  // namespace mildway::weekly
