#include "mildway/planning/assignment.hpp"

#include "assignment_reduce.hpp"
#include "assignment_stages.hpp"

#include <algorithm>
#include <cmath>
#include <stdexcept>
#include <string>
#include <tuple>

namespace mildway::planning {

namespace {

void check(bool right, const char* expectation) {
    if (!right) throw std::invalid_argument(std::string("assignment: ") + expectation);
}

void check_problem(const AssignmentProblem& problem) {
    constexpr double kMostHours = 1e6;
    constexpr double kMostUsd = 1e7;
    check(problem.trip_usd >= 0 && problem.trip_usd <= kMostUsd, "a trip costs 0 or more");
    for (const AssignmentDay& day : problem.days)
        check(day.boxes.value_or(0) >= 0, "boxes of a day are 0 or more");
    for (const int stock : problem.stock) check(stock >= 0, "a stock is 0 or more");
    for (const Candidate& one : problem.candidates) {
        check(one.order < problem.orders, "a candidate's order exists");
        check(one.day < problem.days.size(), "a candidate's day exists");
        check(one.hours_outside >= 0 && one.hours_outside <= kMostHours, "hours outside are 0 or more");
        check(one.grade >= 0, "a grade is 0 or more");
        check(std::abs(one.usd) <= kMostUsd, "a candidate's cost is finite");
        for (const StockUse& use : one.uses) {
            check(use.resource < problem.stock.size(), "what a candidate uses exists");
            check(use.count >= 0, "a candidate uses 0 or more");
        }
    }
}

/// What is left of everything beside the choices made.
class Remainder {
public:
    Remainder(const AssignmentProblem& problem, const Assignment& assignment)
        : problem_(&problem), stock_(problem.stock), parcels_(problem.days.size(), 0) {
        for (const OrderAssigned& order : assignment.orders) {
            if (order.chosen) take(problem.candidates[*order.chosen], 1);
        }
    }

    /// Takes a candidate's things, or gives them back with -1.
    void take(const Candidate& candidate, int times) {
        parcels_[candidate.day] += times;
        for (const StockUse& use : candidate.uses) stock_[use.resource] -= times * use.count;
    }

    /// What a candidate would break.
    [[nodiscard]] std::vector<Limit> broken_by(const Candidate& candidate) {
        std::vector<Limit> broken;
        const std::optional<int> boxes = problem_->days[candidate.day].boxes;
        take(candidate, 1);
        if (boxes && parcels_[candidate.day] > *boxes)
            broken.push_back({Limit::Kind::boxes_of_day, candidate.day});
        for (const StockUse& use : candidate.uses) {
            const Limit limit{Limit::Kind::stock, use.resource};
            if (stock_[use.resource] < 0 && std::find(broken.begin(), broken.end(), limit) == broken.end())
                broken.push_back(limit);
        }
        take(candidate, -1);
        return broken;
    }

    /// That going on a day would take one more trip to the counter.
    [[nodiscard]] bool needs_trip(std::size_t day) const {
        return problem_->trip_usd > 0 && !problem_->days[day].trip_made && parcels_[day] == 0;
    }

private:
    const AssignmentProblem* problem_;
    std::vector<int> stock_;
    std::vector<int> parcels_;
};

/// A candidate's objectives when it is the only one.
Key key_alone(const AssignmentProblem& problem, const Candidate& candidate) {
    Key key = key_of(candidate);
    if (!problem.days[candidate.day].trip_made) key[2] += std::llround(problem.trip_usd * 100);
    return key;
}

void add_once(std::vector<Limit>& all, const std::vector<Limit>& more) {
    for (const Limit& limit : more) {
        if (std::find(all.begin(), all.end(), limit) == all.end()) all.push_back(limit);
    }
}

/// By day, then stock, then by index.
void put_in_order(std::vector<Limit>& limits) {
    std::sort(limits.begin(), limits.end(), [](const Limit& a, const Limit& b) {
        return std::tie(a.kind, a.index) < std::tie(b.kind, b.index);
    });
}

/// The best candidate of each order with no other orders; the first of the list counts less than day and id.
std::vector<std::optional<std::size_t>> best_alone(const AssignmentProblem& problem) {
    std::vector<std::optional<std::size_t>> best(problem.orders);
    const auto rank = [&](std::size_t i) {
        const Candidate& one = problem.candidates[i];
        return std::tuple(key_alone(problem, one), one.day, one.id);
    };
    for (std::size_t i = 0; i < problem.candidates.size(); ++i) {
        auto& of_order = best[problem.candidates[i].order];
        if (!of_order || rank(i) < rank(*of_order)) of_order = i;
    }
    return best;
}

void explain_shipped(const AssignmentProblem& problem, Remainder& remainder, std::size_t best,
                     OrderAssigned& order) {
    const Candidate& chosen = problem.candidates[*order.chosen];
    const Candidate& wished = problem.candidates[best];
    if (!(key_alone(problem, wished) < key_alone(problem, chosen))) return;
    order.given_up = best;
    remainder.take(chosen, -1);
    order.because = remainder.broken_by(wished);
    const bool needs_trip = remainder.needs_trip(wished.day);
    remainder.take(chosen, 1);
    if (!order.because.empty()) return;
    if (needs_trip) {
        order.because.push_back({Limit::Kind::trip_cost, wished.day});
    } else {
        order.given_up.reset();  // as good to within what SearchLimits::usd_tolerance lets pass
    }
}

void explain(const AssignmentProblem& problem, Assignment& assignment) {
    Remainder remainder(problem, assignment);
    const std::vector<std::optional<std::size_t>> best = best_alone(problem);
    for (std::size_t i = 0; i < problem.orders; ++i) {
        OrderAssigned& order = assignment.orders[i];
        if (order.chosen) explain_shipped(problem, remainder, *best[i], order);
    }
    for (const Candidate& candidate : problem.candidates) {
        OrderAssigned& order = assignment.orders[candidate.order];
        if (!order.chosen) add_once(order.because, remainder.broken_by(candidate));
    }
    for (OrderAssigned& order : assignment.orders) put_in_order(order.because);
}

/// The first stage again, with one more of each thing that an order waits for.
std::vector<Relief> reliefs(const AssignmentProblem& problem, const Assignment& assignment,
                            const SearchLimits& limits) {
    std::vector<Limit> asked;
    for (const OrderAssigned& order : assignment.orders) {
        if (!order.chosen) add_once(asked, order.because);
    }
    put_in_order(asked);
    std::vector<Relief> all;
    AssignmentProblem eased = problem;
    for (const Limit& limit : asked) {
        int& units =
            limit.kind == Limit::Kind::stock ? eased.stock[limit.index] : *eased.days[limit.index].boxes;
        ++units;
        const auto most = most_shipped(eased, reduce(eased), limits);
        --units;
        if (most && *most > assignment.totals.shipped)
            all.push_back({limit, static_cast<int>(*most - assignment.totals.shipped)});
    }
    return all;
}

}  // namespace

AssignmentTotals totals_of(const AssignmentProblem& problem,
                           const std::vector<std::optional<std::size_t>>& chosen) {
    AssignmentTotals totals;
    std::vector<char> used(problem.days.size(), 0);
    for (const auto& one : chosen) {
        if (!one) continue;
        const Candidate& candidate = problem.candidates[*one];
        const Key key = key_of(candidate);
        ++totals.shipped;
        totals.tenths_outside += key[0];
        totals.grades += key[1];
        totals.cents += key[2];
        used[candidate.day] = 1;
    }
    for (std::size_t day = 0; day < used.size(); ++day) {
        if (used[day] != 0 && !problem.days[day].trip_made)
            totals.cents += std::llround(problem.trip_usd * 100);
    }
    return totals;
}

Assignment assign(const AssignmentProblem& problem, const SearchLimits& limits) {
    check_problem(problem);
    const std::vector<Column> columns = reduce(problem);
    const StagesFound found = solve_stages(problem, columns, limits);
    Assignment assignment;
    assignment.proven = found.proven;
    assignment.usd_may_lack = found.usd_may_lack;
    assignment.orders.resize(problem.orders);
    std::vector<std::optional<std::size_t>> chosen(problem.orders);
    for (const std::size_t column : found.columns) {
        const Column& one = columns[column];
        assignment.orders[one.order].chosen = one.candidate;
        chosen[one.order] = one.candidate;
    }
    assignment.totals = totals_of(problem, chosen);
    explain(problem, assignment);
    assignment.reliefs = reliefs(problem, assignment, limits);
    return assignment;
}

}  // namespace mildway::planning
