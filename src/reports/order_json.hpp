// Orders and what happened to them as JSON.
#pragma once

#include "mildway/orders/order_fields.hpp"
#include "mildway/reports/order_show.hpp"

#include <nlohmann/json_fwd.hpp>

namespace mildway::reports {

/// What was told of an order, its state, its choice in force and newest proposal; no documents.
[[nodiscard]] nlohmann::ordered_json order_json(const orders::Order& order);
[[nodiscard]] nlohmann::ordered_json choice_json(const orders::Choice& choice);
[[nodiscard]] nlohmann::ordered_json reassessment_json(const orders::Reassessment& found);
[[nodiscard]] nlohmann::ordered_json outcome_json(const orders::Outcome& outcome);
[[nodiscard]] nlohmann::ordered_json changes_json(const std::vector<orders::FieldChange>& changes);
/// order_json() with all that happened.
[[nodiscard]] nlohmann::ordered_json order_file_json(const OrderFile& file);

}  // namespace mildway::reports
