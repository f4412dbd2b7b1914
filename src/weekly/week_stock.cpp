#include "week_stock.hpp"

#include <algorithm>

#include <fmt/format.h>

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

/// Empty when packings.json has it no more.
const box::Packing* packing_of(const orders::Order& order, const planning::Workspace& workspace) {
    return order.choice ? workspace.packings.by_id(order.choice->packing) : nullptr;
}

/// Whether it was handed over since the shelf was counted.
bool sent_since(const orders::Order& order, const planning::Workspace& workspace, const StockCount& count) {
    const std::optional<Date> day = day_sent(order, workspace);
    return day && *day >= count.counted_on;
}

std::string kind_name(StockItem::Kind kind) {
    switch (kind) {
        case StockItem::Kind::box:
            return "box";
        case StockItem::Kind::warmer:
            return "warmer";
        case StockItem::Kind::coolant:
            break;
    }
    return "cold pack";
}

}  // namespace

std::string thing_text(const StockItem& item) {
    return fmt::format("{} '{}'", kind_name(item.kind), item.name);
}

std::optional<Date> day_sent(const orders::Order& order, const planning::Workspace& workspace) {
    if (!order.handed_over) return std::nullopt;
    return local_date(find_zone(workspace.counter.zone), *order.handed_over);
}

bool takes_part(const orders::Order& order, bool replan) {
    return order.state == orders::State::open || (replan && order.state == orders::State::planned);
}

bool is_planned(const orders::Order& order) {
    return order.state == orders::State::planned && order.choice.has_value();
}

std::vector<StockItem> stock_at_hand(const planning::Workspace& workspace, const Limits& limits,
                                     std::span<const orders::Order> orders, const Keeping& keeping) {
    std::vector<StockItem> stock;
    if (!limits.stock) return stock;
    add(stock, StockItem::Kind::box, limits.stock->boxes);
    add(stock, StockItem::Kind::warmer, limits.stock->warmers);
    add(stock, StockItem::Kind::coolant, limits.stock->coolants);
    for (std::size_t i = 0; i < orders.size(); ++i) {
        const bool sent = sent_since(orders[i], workspace, *limits.stock);
        const box::Packing* packing = packing_of(orders[i], workspace);
        if ((!sent && !keeping[i]) || packing == nullptr) continue;
        for (const planning::StockUse& one : uses_of(*packing, workspace, stock))
            (sent ? stock[one.resource].used : stock[one.resource].kept) += one.count;
    }
    return stock;
}

std::vector<std::string> not_counted(const planning::Workspace& workspace, const Limits& limits,
                                     std::span<const orders::Order> orders, const Keeping& keeping) {
    std::vector<std::string> numbers;
    if (!limits.stock) return numbers;
    for (std::size_t i = 0; i < orders.size(); ++i) {
        const bool takes = keeping[i] || sent_since(orders[i], workspace, *limits.stock);
        if (takes && packing_of(orders[i], workspace) == nullptr) numbers.push_back(orders[i].number);
    }
    return numbers;
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
