// What a table of orders would change, or has changed.
#pragma once

#include "mildway/care/species.hpp"
#include "mildway/orders/order_import.hpp"

#include <string>

namespace mildway::reports {

[[nodiscard]] std::string order_import_text(const orders::ImportPlan& plan, bool applied,
                                            const care::SpeciesTable& species);
[[nodiscard]] std::string order_import_json(const orders::ImportPlan& plan, bool applied);

}  // namespace mildway::reports
