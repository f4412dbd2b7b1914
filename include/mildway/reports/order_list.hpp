// Orders in a list, a line each.
#pragma once

#include "mildway/care/species.hpp"
#include "mildway/orders/order_book.hpp"

#include <optional>
#include <string>
#include <vector>

namespace mildway::reports {

struct ListedOrder {
    orders::Order order;
    std::optional<orders::Reassessment> newest;  ///< of its choice in force
    std::optional<orders::Outcome> outcome;
};

/// By state, in the order given within each; a closing line counts them. No line is wider than 80 columns.
/// `counter`: the clock of the counter, by which a parcel was handed over on its day or not; nullptr: not
/// known.
[[nodiscard]] std::string order_list_text(const std::vector<orders::OrderLine>& listed,
                                          const care::SpeciesTable& species, const date::time_zone* counter);
[[nodiscard]] std::string order_list_json(const std::vector<ListedOrder>& listed);

}  // namespace mildway::reports
