#include "mildway/weekly/week.hpp"

#include "week_nights.hpp"
#include "week_options.hpp"
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

std::vector<WeekDay> days_of(const planning::Workspace& workspace, const Limits& limits,
                             std::span<const orders::Order> orders, const WeekRequest& request) {
    std::vector<WeekDay> days;
    for (int i = 0; i < request.days; ++i) {
        WeekDay day;
        day.date = Date{date::sys_days(request.from) + date::days(i)};
        day.away = limits.is_away(day.date);
        day.boxes = limits.boxes_per_day;
        for (const orders::Order& order : orders) {
            if (is_kept(order, request.replan) && order.choice->ship_date == day.date) ++day.kept;
            if (day_sent(order, workspace) == day.date) ++day.kept;
        }
        days.push_back(std::move(day));
    }
    return days;
}

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
    for (const Option& option : order.best_of_days) {
        if (option.ship_date == order.chosen->ship_date) continue;
        if (!order.next_best || worth_of(option) < worth_of(*order.next_best)) order.next_best = option;
    }
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

}  // namespace

Week plan_week(const planning::Workspace& workspace, const Limits& limits,
               const weather::ForecastSource& source, std::span<const orders::Order> orders,
               const WeekRequest& request) {
    Week week;
    week.request = request;
    std::vector<const orders::Order*> taking_part;
    for (const orders::Order& order : orders) {
        if (!takes_part(order, request.replan)) continue;
        taking_part.push_back(&order);
        WeekOrder one;
        one.order = order;
        week.orders.push_back(std::move(one));
    }
    week.days = days_of(workspace, limits, orders, request);
    week.stock = stock_at_hand(workspace, limits, orders, request.replan);
    WeekWays ways = ways_of(workspace, limits, source, taking_part, week.stock, request);
    const Puzzle puzzle = puzzle_of(limits, week, ways);
    const planning::Assignment assignment = planning::assign(puzzle.problem, request.search);
    for (std::size_t i = 0; i < week.orders.size(); ++i) {
        give(assignment.orders[i], puzzle, ways.orders[i].ways, week.orders[i]);
        week.orders[i].unfit = std::move(ways.orders[i].unfit);
        week.orders[i].left_out = std::move(ways.orders[i].left_out);
    }
    take_stock_and_days(puzzle, assignment, week);
    week.proven = assignment.proven;
    week.usd_may_lack = assignment.usd_may_lack;
    week.reliefs = assignment.reliefs;
    week.weather = std::move(ways.weather);
    week.nights = shared_nights(workspace, week.orders, request.seed);
    return week;
}

}  // namespace mildway::weekly
