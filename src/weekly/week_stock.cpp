#include "week_stock.hpp"

#include <algorithm>

namespace mildway::weekly {

namespace {

void add(std::vector<StockItem>& stock, StockItem::Kind kind, const std::map<std::string, int>& counts) {
    for (const auto& [name, count] : counts) stock.push_back({kind, name, count, 0, 0, 0});
}

void use(std::vector<planning::StockUse>& uses, const std::vector<StockItem>& stock, StockItem::Kind kind,
         const std::string& name, int count) {
    for (std::size_t i = 0; i < stock.size(); ++i) {
        if (stock[i].kind == kind && stock[i].name == name) uses.push_back({i, count});
    }
}

/// What a planned or sent order takes; nothing when its packing is in packings.json no more.
std::vector<planning::StockUse> uses_of(const orders::Order& order, const planning::Workspace& workspace,
                                        const std::vector<StockItem>& stock) {
    const box::Packing* packing = order.choice ? workspace.packings.by_id(order.choice->packing) : nullptr;
    return packing == nullptr ? std::vector<planning::StockUse>{} : uses_of(*packing, workspace, stock);
}

}  // namespace

std::optional<Date> day_sent(const orders::Order& order, const planning::Workspace& workspace) {
    if (!order.handed_over) return std::nullopt;
    return local_date(find_zone(workspace.counter.zone), *order.handed_over);
}

bool takes_part(const orders::Order& order, bool replan) {
    return order.state == orders::State::open || (replan && order.state == orders::State::planned);
}

bool is_kept(const orders::Order& order, bool replan) {
    return !replan && order.state == orders::State::planned && order.choice.has_value();
}

std::vector<StockItem> stock_at_hand(const planning::Workspace& workspace, const Limits& limits,
                                     std::span<const orders::Order> orders, bool replan) {
    std::vector<StockItem> stock;
    if (!limits.stock) return stock;
    add(stock, StockItem::Kind::box, limits.stock->boxes);
    add(stock, StockItem::Kind::warmer, limits.stock->warmers);
    add(stock, StockItem::Kind::coolant, limits.stock->coolants);
    for (const orders::Order& order : orders) {
        const std::optional<Date> day = day_sent(order, workspace);
        const bool sent = day && *day >= limits.stock->counted_on;
        if (!sent && !is_kept(order, replan)) continue;
        for (const planning::StockUse& one : uses_of(order, workspace, stock))
            (sent ? stock[one.resource].used : stock[one.resource].kept) += one.count;
    }
    return stock;
}

std::vector<planning::StockUse> uses_of(const box::Packing& packing, const planning::Workspace& workspace,
                                        const std::vector<StockItem>& stock) {
    std::vector<planning::StockUse> uses;
    use(uses, stock, StockItem::Kind::box, packing.box, 1);
    for (const box::WarmerUse& warmer : packing.warmers)
        use(uses, stock, StockItem::Kind::warmer, workspace.supplies.warmers.at(warmer.type).name,
            warmer.count);
    if (packing.coolant)
        use(uses, stock, StockItem::Kind::coolant, packing.coolant->type.name, packing.coolant->count);
    return uses;
}

}  // namespace mildway::weekly
