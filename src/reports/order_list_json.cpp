#include "mildway/reports/order_list.hpp"

#include "order_json.hpp"

#include <nlohmann/json.hpp>

namespace mildway::reports {

using nlohmann::ordered_json;

std::string order_list_json(const std::vector<ListedOrder>& listed) {
    ordered_json json{{"document", "mildway order list"}, {"version", 1}};
    json["orders"] = ordered_json::array();
    for (const ListedOrder& one : listed) {
        ordered_json order = order_json(one.order);
        order["newest_reassessment"] = one.newest ? reassessment_json(*one.newest) : ordered_json(nullptr);
        order["outcome"] = one.outcome ? outcome_json(*one.outcome) : ordered_json(nullptr);
        json["orders"].push_back(std::move(order));
    }
    return json.dump(2, ' ', false, ordered_json::error_handler_t::replace) + "\n";
}

}  // namespace mildway::reports
