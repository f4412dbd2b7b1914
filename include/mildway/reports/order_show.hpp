// All that is known of an order.
#pragma once

#include "mildway/base/time.hpp"
#include "mildway/orders/order.hpp"

#include <optional>
#include <string>
#include <vector>

namespace mildway::reports {

struct OrderFile {
    orders::Order order;
    std::vector<orders::Event> events;
    std::vector<orders::Choice> choices;
    std::vector<orders::Reassessment> reassessments;
    std::optional<orders::Outcome> outcome;
};

/// How a person at home reads it.
struct OrderReader {
    const date::time_zone* zone = nullptr;  ///< of all times but those at the destination
    TemperatureScale scale = TemperatureScale::celsius;
    std::string species;  ///< "corn snake"
};

[[nodiscard]] std::string order_show_text(const OrderFile& file, const OrderReader& reader);
/// With the document of the choice in force, as JSON; without the bytes of the logger's file.
[[nodiscard]] std::string order_show_json(const OrderFile& file);
/// Orders with all that is known of them but documents and the bytes of loggers' files.
[[nodiscard]] std::string order_export_json(const std::vector<OrderFile>& files);
/// What a command that changes one order says: the document's name, the order, and fields that changed.
[[nodiscard]] std::string order_changed_json(const std::string& document, const orders::Order& order);

}  // namespace mildway::reports
