#include "import_buyers.hpp"

#include "mildway/base/text.hpp"

#include <algorithm>

#include <fmt/format.h>

namespace mildway::orders {

ImportBuyers::ImportBuyers(const std::vector<Order>& known) {
    for (const Order& order : known) {
        if (!order.buyer.email.empty()) known_.emplace(lower_case(order.buyer.email), &order.buyer);
    }
}

const Buyer* ImportBuyers::known(const std::string& email) const {
    const auto found = known_.find(lower_case(email));
    return found == known_.end() ? nullptr : found->second;
}

void ImportBuyers::start(Order& order, const FieldTexts& texts) const {
    const auto email =
        std::find_if(texts.begin(), texts.end(), [](const auto& one) { return one.first == Field::email; });
    if (email == texts.end() || lower_case(email->second) == lower_case(order.buyer.email)) return;
    if (const Buyer* found = known(email->second)) order.buyer = *found;
}

void ImportBuyers::note(const TableOrder& row, const Order& order, std::vector<TableFault>& faults) {
    if (order.buyer.email.empty()) return;
    auto& told = told_[lower_case(order.buyer.email)];
    for (const auto& [field, text] : row.texts) {
        if (field > Field::scale) continue;
        const Told here{field_text(order, field), row.line_of(field_name(field))};
        const auto [at, is_new] = told.try_emplace(field, here);
        if (is_new || at->second.value == here.value || field == Field::email) continue;  // but for its case
        faults.push_back({here.line, std::string(field_name(field)),
                          fmt::format("'{}' is not what line {} says of the buyer {}, '{}'; one e-mail "
                                      "address is one buyer",
                                      here.value, at->second.line, order.buyer.email, at->second.value)});
    }
}

void ImportBuyers::share(Order& order) const {
    const auto told = told_.find(lower_case(order.buyer.email));
    if (told == told_.end()) return;
    for (const auto& [field, here] : told->second) (void)take_fields(order, {{field, here.value}}, {});
}

void start_from_known_buyer(Order& order, const FieldTexts& texts, const std::vector<Order>& known) {
    ImportBuyers(known).start(order, texts);
}

std::vector<SharingOrder> orders_sharing(const Order& changed, const std::vector<Order>& known) {
    std::vector<SharingOrder> sharing;
    if (changed.buyer.email.empty()) return sharing;
    const std::string email = lower_case(changed.buyer.email);
    for (const Order& other : known) {
        if (other.id == changed.id || lower_case(other.buyer.email) != email) continue;
        auto changes = buyer_differences(other.buyer, changed.buyer);
        if (!changes.empty()) sharing.push_back({other.number, other.state, std::move(changes)});
    }
    return sharing;
}

}  // namespace mildway::orders
