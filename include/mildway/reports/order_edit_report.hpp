// What adding, changing and moving on one order says.
#pragma once

#include "mildway/care/species.hpp"
#include "mildway/orders/order_import.hpp"

#include <string>
#include <vector>

namespace mildway::reports {

/// Orders that share the buyer: what changed of them.
using Sharing = std::vector<orders::SharingOrder>;

[[nodiscard]] std::string order_added_text(const orders::Order& order, const Sharing& sharing,
                                           const care::SpeciesTable& species);
[[nodiscard]] std::string order_added_json(const orders::Order& order, const Sharing& sharing);
/// Why what was made for the order as it was does not stand any more, a clause each; empty: it stands.
struct EndedByEdit {
    std::vector<std::string> plan;
    std::vector<std::string> proposal;
};

/// "field: before -> after", and what becomes of plan and proposed days.
[[nodiscard]] std::string order_edited_text(const orders::Order& order,
                                            const std::vector<orders::FieldChange>& changes,
                                            const EndedByEdit& ended, const Sharing& sharing);
[[nodiscard]] std::string order_edited_json(const orders::Order& order,
                                            const std::vector<orders::FieldChange>& changes,
                                            const EndedByEdit& ended, const Sharing& sharing);

}  // namespace mildway::reports
