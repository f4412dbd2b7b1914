#include "mildway/weekly/choice_limits.hpp"

#include "week_stock.hpp"

#include <fmt/format.h>

namespace mildway::weekly {

std::vector<std::string> limits_broken_by(const planning::Workspace& workspace, const Limits& limits,
                                          std::span<const orders::Order> orders, const orders::Order& order,
                                          const planning::Option& option) {
    std::vector<std::string> broken;
    const std::string day = format_day(option.ship_date);
    if (limits.is_away(option.ship_date)) broken.push_back("you are away on " + day);
    Keeping others;
    int parcels = 0;
    for (const orders::Order& other : orders) {
        others.push_back(is_planned(other) && other.id != order.id);
        const bool planned = others.back() && other.choice->ship_date == option.ship_date;
        if (planned || day_sent(other, workspace) == option.ship_date) ++parcels;
    }
    if (limits.boxes_per_day && parcels >= *limits.boxes_per_day)
        broken.push_back(fmt::format("{} is full ({} a day)", day, *limits.boxes_per_day));
    const std::vector<StockItem> stock = stock_at_hand(workspace, limits, orders, others);
    for (const planning::StockUse& use : uses_of(*option.packing, workspace, stock)) {
        const StockItem& item = stock[use.resource];
        if (item.left() >= use.count) continue;
        broken.push_back(
            item.at_hand() == 0
                ? fmt::format("no {} is left for it", thing_text(item))
                : fmt::format("it takes {} of {}, and {} left", use.count, thing_text(item),
                              item.at_hand() == 1 ? "1 is" : fmt::format("{} are", item.at_hand())));
    }
    return broken;
}

}  // namespace mildway::weekly
