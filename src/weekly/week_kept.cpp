#include "week_kept.hpp"

#include <algorithm>
#include <map>
#include <tuple>

#include <fmt/format.h>

namespace mildway::weekly {

namespace {

KeptPlan kept_plan(const orders::Order& order, const std::optional<orders::Reassessment>& check, Date today) {
    KeptPlan kept;
    kept.order = order;
    kept.verdict = check ? check->standing : order.choice->verdict;
    kept.side = check ? check->side : order.choice->side;
    kept.checked = check.has_value();
    kept.flagged = check && check->flagged;
    kept.past = order.choice->ship_date < today;
    return kept;
}

/// Numbers of the orders that are kept for each day to come.
std::map<Date, std::vector<std::string>> numbers_by_day(const std::vector<KeptPlan>& plans) {
    std::map<Date, std::vector<std::string>> numbers;
    for (const KeptPlan& kept : plans) {
        if (!kept.past) numbers[kept.order.choice->ship_date].push_back(kept.order.number);
    }
    return numbers;
}

/// Parcels of a day beside those kept: sent that day, or chosen for it.
std::size_t other_parcels(const planning::Workspace& workspace, std::span<const orders::Order> orders,
                          const Week& week, Date day) {
    const auto sent = std::count_if(orders.begin(), orders.end(), [&](const orders::Order& order) {
        return day_sent(order, workspace) == day;
    });
    const auto chosen = std::count_if(week.orders.begin(), week.orders.end(), [&](const WeekOrder& order) {
        return order.chosen && order.chosen->ship_date == day;
    });
    return static_cast<std::size_t>(sent + chosen);
}

}  // namespace

std::vector<KeptPlan> kept_plans(const planning::Workspace& workspace, Instant now,
                                 std::span<const orders::Order> orders, const Keeping& keeping,
                                 std::span<const std::optional<orders::Reassessment>> checks) {
    const Date today = local_date(find_zone(workspace.counter.zone), now);
    std::vector<KeptPlan> plans;
    for (std::size_t i = 0; i < orders.size(); ++i) {
        if (keeping[i])
            plans.push_back(kept_plan(orders[i], checks.empty() ? std::nullopt : checks[i], today));
    }
    std::stable_sort(plans.begin(), plans.end(), [](const KeptPlan& a, const KeptPlan& b) {
        return std::tuple(!a.past, a.order.choice->ship_date) <
               std::tuple(!b.past, b.order.choice->ship_date);
    });
    return plans;
}

std::vector<std::string> broken_limits(const planning::Workspace& workspace, const Limits& limits,
                                       std::span<const orders::Order> orders, const Keeping& keeping,
                                       const Week& week) {
    std::vector<std::string> broken;
    for (const auto& [day, numbers] : numbers_by_day(week.kept)) {
        const std::string who = fmt::format("{}", fmt::join(numbers, ", "));
        if (limits.is_away(day))
            broken.push_back(fmt::format("{}: you are away, and planned for it: {}.", format_day(day), who));
        const std::size_t parcels = numbers.size() + other_parcels(workspace, orders, week, day);
        if (limits.boxes_per_day && parcels > static_cast<std::size_t>(*limits.boxes_per_day))
            broken.push_back(
                fmt::format("{}: {} parcels, of {} that may be packed a day. Planned before: {}.",
                            format_day(day), parcels, *limits.boxes_per_day, who));
    }
    for (const StockItem& item : week.stock) {
        if (item.left() < 0)
            broken.push_back(fmt::format("Short of {}: {} more planned or sent than counted.",
                                         thing_text(item), -item.left()));
    }
    if (const auto numbers = not_counted(workspace, limits, orders, keeping); !numbers.empty())
        broken.push_back(fmt::format(
            "Not counted in the stock: {}. What they were packed with is in packings.json no more.",
            fmt::join(numbers, ", ")));
    return broken;
}

}  // namespace mildway::weekly
