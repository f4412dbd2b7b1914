// What a table of orders would change, or has changed.
#pragma once

#include "mildway/orders/order_import.hpp"

#include <functional>
#include <string>

namespace mildway::reports {

/// `species_words`: the common name of a species' id.
[[nodiscard]] std::string order_import_text(
    const orders::ImportPlan& plan, bool applied,
    const std::function<std::string(const std::string& id)>& species_words);
[[nodiscard]] std::string order_import_json(const orders::ImportPlan& plan, bool applied);

}  // namespace mildway::reports
