#include "mildway/weekly/week.hpp"

#include "mildway/weekly/order_parcel.hpp"

#include "week_kept.hpp"
#include "week_nights.hpp"
#include "week_options.hpp"
#include "week_room.hpp"
#include "week_stock.hpp"

#include <algorithm>
#include <tuple>

namespace mildway::weekly {

namespace {

using planning::Option;

/// A candidate's way: which of its order's.
struct WayOfCandidate {
    std::size_t order = 0;
    std::size_t way = 0;
};

struct Puzzle {
    planning::AssignmentProblem problem;
    std::vector<WayOfCandidate> ways;  ///< [candidate]
};

/// What a week is planned from. Borrowed.
struct Desk {
    const planning::Workspace& workspace;
    const Limits& limits;
    std::span<const orders::Order> orders;
    const WeekRequest& request;
};

std::vector<WeekDay> days_of(const Desk& desk, const Keeping& keeping) {
    std::vector<WeekDay> days;
    for (int i = 0; i < desk.request.days; ++i) {
        WeekDay day;
        day.date = Date{date::sys_days(desk.request.from) + date::days(i)};
        day.away = desk.limits.is_away(day.date);
        day.boxes = desk.limits.boxes_per_day;
        for (std::size_t k = 0; k < desk.orders.size(); ++k) {
            const orders::Order& order = desk.orders[k];
            if (keeping[k] && order.choice->ship_date == day.date) ++day.kept;
            if (day_sent(order, desk.workspace) == day.date) ++day.kept;
        }
        days.push_back(std::move(day));
    }
    return days;
}

/// The problem that is left beside what is kept.
Puzzle puzzle_of(const Limits& limits, const Week& week, const WeekWays& ways) {
    Puzzle puzzle;
    puzzle.problem.orders = week.orders.size();
    puzzle.problem.trip_usd = limits.counter_trip_usd;
    for (const StockItem& item : week.stock) puzzle.problem.stock.push_back(item.at_hand());
    for (const WeekDay& day : week.days) {
        planning::AssignmentDay one;
        if (day.boxes) one.boxes = std::max(0, *day.boxes - day.kept);
        one.trip_made = day.kept > 0;
        puzzle.problem.days.push_back(one);
    }
    for (std::size_t order = 0; order < ways.orders.size(); ++order) {
        if (week.orders[order].keeps_plan) continue;
        for (std::size_t way = 0; way < ways.orders[order].ways.size(); ++way) {
            planning::Candidate candidate =
                candidate_of(ways.orders[order].ways[way], limits, week.request.from);
            candidate.order = order;
            candidate.id = static_cast<std::uint32_t>(way);
            puzzle.problem.candidates.push_back(std::move(candidate));
            puzzle.ways.push_back({order, way});
        }
    }
    return puzzle;
}

/// Tenths, verdict, cents: what the choice goes by.
auto worth_of(const Option& option) {
    return std::tuple(planning::tenths_of(option.assessment.all->hours_outside.value), option.verdict,
                      option.cost.total_usd());
}

/// The best of each day, by date.
std::vector<Option> best_of_days(const std::vector<Way>& ways) {
    std::vector<Option> best;
    for (const Way& way : ways) {  // by date
        if (best.empty() || best.back().ship_date != way.option.ship_date) {
            best.push_back(way.option);
        } else if (worth_of(way.option) < worth_of(best.back())) {
            best.back() = way.option;
        }
    }
    return best;
}

void give(const planning::OrderAssigned& assigned, const Puzzle& puzzle, const std::vector<Way>& ways,
          WeekOrder& order) {
    order.because = assigned.because;
    order.best_of_days = best_of_days(ways);
    if (assigned.given_up) order.given_up = ways[puzzle.ways[*assigned.given_up].way].option;
    if (!assigned.chosen) return;
    order.chosen = ways[puzzle.ways[*assigned.chosen].way].option;
    order.chosen->rank = 1;
}

void take_stock_and_days(const Puzzle& puzzle, const planning::Assignment& assignment, Week& week) {
    for (std::size_t i = 0; i < assignment.orders.size(); ++i) {
        if (!assignment.orders[i].chosen) continue;
        const planning::Candidate& chosen = puzzle.problem.candidates[*assignment.orders[i].chosen];
        week.days[chosen.day].orders.push_back(i);
        for (const planning::StockUse& use : chosen.uses) week.stock[use.resource].taken += use.count;
    }
    for (const WeekDay& day : week.days) {
        if (!day.orders.empty() && day.kept == 0) week.trips_usd += puzzle.problem.trip_usd;
    }
}

/// The orders taking part, in the order given.
struct Parts {
    std::vector<std::size_t> of_orders;  ///< [Week::orders] index into those given
    std::vector<std::size_t> known;      ///< of those, without the ones that are gone: into Week::orders
    std::vector<const orders::Order*> to_look_at;  ///< [known]
};

Parts parts_of(const Desk& desk, Week& week) {
    Parts parts;
    for (std::size_t i = 0; i < desk.orders.size(); ++i) {
        const orders::Order& order = desk.orders[i];
        if (!takes_part(order, desk.request.replan)) continue;
        WeekOrder one;
        one.order = order;
        one.gone = what_is_gone(order, desk.workspace);
        if (one.gone.empty()) {
            parts.known.push_back(week.orders.size());
            parts.to_look_at.push_back(&order);
        }
        parts.of_orders.push_back(i);
        week.orders.push_back(std::move(one));
    }
    return parts;
}

/// Of all that take part; those that are gone have no way.
WeekWays ways_of_all(const Desk& desk, const weather::ForecastSource& source, const Parts& parts,
                     const Week& week) {
    WeekWays found = ways_of(desk.workspace, desk.limits, source, parts.to_look_at, week.stock, desk.request);
    std::vector<OrderWays> all(week.orders.size());
    for (std::size_t k = 0; k < parts.known.size(); ++k) all[parts.known[k]] = std::move(found.orders[k]);
    found.orders = std::move(all);
    return found;
}

/// Lets a planned order keep its plan.
void keep_plan(std::size_t i, const Parts& parts, Week& week, Keeping& keeping) {
    week.orders[i].keeps_plan = true;
    keeping[parts.of_orders[i]] = true;
}

struct Solved {
    Puzzle puzzle;
    planning::Assignment assignment;
};

/// Solves until each planned order has a new choice, or keeps its plan and what that takes. Which ones lose
/// is only known after solving; what they keep may make others lose, so it is solved again.
Solved solve(const Desk& desk, const Parts& parts, const WeekWays& ways, Week& week, Keeping& keeping) {
    for (std::size_t i = 0; i < week.orders.size(); ++i) {
        if (is_planned(week.orders[i].order) && ways.orders[i].ways.empty())
            keep_plan(i, parts, week, keeping);
    }
    while (true) {
        week.days = days_of(desk, keeping);
        week.stock = stock_at_hand(desk.workspace, desk.limits, desk.orders, keeping);
        Puzzle puzzle = puzzle_of(desk.limits, week, ways);
        planning::Assignment assignment = planning::assign(puzzle.problem, desk.request.search);
        bool any_lost = false;
        for (std::size_t i = 0; i < week.orders.size(); ++i) {
            const WeekOrder& order = week.orders[i];
            if (order.keeps_plan || !is_planned(order.order) || assignment.orders[i].chosen) continue;
            keep_plan(i, parts, week, keeping);
            any_lost = true;
        }
        if (!any_lost) return {std::move(puzzle), std::move(assignment)};
    }
}

/// The best way on another day than the chosen one that the others' choices leave.
void find_next_best(const Puzzle& puzzle, const planning::Assignment& assignment, const WeekWays& ways,
                    Week& week) {
    Room room(week);
    for (std::size_t i = 0; i < week.orders.size(); ++i) {
        WeekOrder& order = week.orders[i];
        if (!order.chosen) continue;
        const planning::Candidate& own = puzzle.problem.candidates[*assignment.orders[i].chosen];
        const Date own_day = order.chosen->ship_date;
        room.give_back(own_day, own.uses);
        for (const Way& way : ways.orders[i].ways) {
            const Date day = way.option.ship_date;
            if (day == own_day || !room.lacking(day, way.uses).empty()) continue;
            if (!order.next_best || worth_of(way.option) < worth_of(*order.next_best))
                order.next_best = way.option;
        }
        room.take(own_day, own.uses);
    }
}

void add_once(std::vector<planning::Limit>& limits, const std::vector<planning::Limit>& more) {
    for (const planning::Limit& limit : more) {
        if (std::find(limits.begin(), limits.end(), limit) == limits.end()) limits.push_back(limit);
    }
}

/// Why an order that keeps its plan has none of its new ways: what each of them lacks beside all others.
void explain_kept(const Desk& desk, const WeekWays& ways, Week& week) {
    Room room(week);
    for (std::size_t i = 0; i < week.orders.size(); ++i) {
        WeekOrder& order = week.orders[i];
        if (!order.keeps_plan) continue;
        const orders::Choice& choice = *order.order.choice;
        const box::Packing* packing = desk.workspace.packings.by_id(choice.packing);
        const auto own = packing == nullptr ? std::vector<planning::StockUse>{}
                                            : uses_of(*packing, desk.workspace, week.stock);
        room.give_back(choice.ship_date, own);
        for (const Way& way : ways.orders[i].ways)
            add_once(order.because, room.lacking(way.option.ship_date, way.uses));
        room.take(choice.ship_date, own);
    }
}

void link_kept(const Parts& parts, const Desk& desk, Week& week) {
    for (std::size_t i = 0; i < week.orders.size(); ++i) {
        if (!week.orders[i].keeps_plan) continue;
        const std::string& number = desk.orders[parts.of_orders[i]].number;
        for (KeptPlan& kept : week.kept) {
            if (kept.order.number == number) kept.chosen_anew = i;
        }
    }
}

}  // namespace

Week plan_week(const planning::Workspace& workspace, const Limits& limits,
               const weather::ForecastSource& source, std::span<const orders::Order> orders,
               const WeekRequest& request, std::span<const std::optional<orders::Reassessment>> checks) {
    const Desk desk{workspace, limits, orders, request};
    Week week;
    week.request = request;
    const Parts parts = parts_of(desk, week);
    Keeping keeping;
    for (const orders::Order& order : orders) keeping.push_back(!request.replan && is_planned(order));
    week.stock = stock_at_hand(workspace, limits, orders, keeping);
    WeekWays ways = ways_of_all(desk, source, parts, week);
    const auto [puzzle, assignment] = solve(desk, parts, ways, week, keeping);
    for (std::size_t i = 0; i < week.orders.size(); ++i) {
        give(assignment.orders[i], puzzle, ways.orders[i].ways, week.orders[i]);
        week.orders[i].unfit = std::move(ways.orders[i].unfit);
        week.orders[i].left_out = std::move(ways.orders[i].left_out);
    }
    take_stock_and_days(puzzle, assignment, week);
    find_next_best(puzzle, assignment, ways, week);
    explain_kept(desk, ways, week);
    week.kept = kept_plans(workspace, request.now, orders, keeping, checks);
    link_kept(parts, desk, week);
    week.broken = broken_limits(workspace, limits, orders, keeping, week);
    week.proven = assignment.proven;
    week.usd_may_lack = assignment.usd_may_lack;
    week.reliefs = assignment.reliefs;
    week.weather = std::move(ways.weather);
    week.nights = shared_nights(workspace, week.orders, request.seed);
    return week;
}

}  // namespace mildway::weekly
