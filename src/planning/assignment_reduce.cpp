#include "assignment_reduce.hpp"

#include <algorithm>
#include <cmath>
#include <map>
#include <tuple>

namespace mildway::planning {

namespace {

/// Each resource once, in order, nothing of which none is taken.
std::vector<StockUse> tidy(const std::vector<StockUse>& uses) {
    std::map<std::size_t, int> counts;
    for (const StockUse& use : uses) counts[use.resource] += use.count;
    std::vector<StockUse> all;
    for (const auto& [resource, count] : counts) {
        if (count > 0) all.push_back({resource, count});
    }
    return all;
}

bool fits_alone(const AssignmentProblem& problem, const Column& column) {
    if (problem.days[column.day].boxes == 0) return false;
    return std::all_of(column.uses.begin(), column.uses.end(),
                       [&](const StockUse& use) { return use.count <= problem.stock[use.resource]; });
}

/// The most that all orders together could take of each resource.
std::vector<std::int64_t> most_wanted(const AssignmentProblem& problem, const std::vector<Column>& columns) {
    std::vector<std::int64_t> total(problem.stock.size(), 0);
    std::map<std::pair<std::size_t, std::size_t>, int> of_order;
    for (const Column& column : columns) {
        for (const StockUse& use : column.uses) {
            int& most = of_order[{column.order, use.resource}];
            most = std::max(most, use.count);
        }
    }
    for (const auto& [of, count] : of_order) total[of.second] += count;
    return total;
}

bool uses_before(const std::vector<StockUse>& a, const std::vector<StockUse>& b) {
    return std::lexicographical_compare(
        a.begin(), a.end(), b.begin(), b.end(), [](const StockUse& x, const StockUse& y) {
            return std::tie(x.resource, x.count) < std::tie(y.resource, y.count);
        });
}

/// Sorts within one order and day, and keeps those that nothing else replaces.
void keep_best(const AssignmentProblem& problem, std::vector<Column>& columns) {
    std::sort(columns.begin(), columns.end(), [&](const Column& a, const Column& b) {
        if (std::tie(a.order, a.day, a.key) != std::tie(b.order, b.day, b.key))
            return std::tie(a.order, a.day, a.key) < std::tie(b.order, b.day, b.key);
        if (uses_before(a.uses, b.uses)) return true;
        if (uses_before(b.uses, a.uses)) return false;
        return problem.candidates[a.candidate].id < problem.candidates[b.candidate].id;
    });
    std::vector<Column> kept;
    for (Column& column : columns) {
        bool replaced = false;
        for (auto better = kept.rbegin(); !replaced && better != kept.rend(); ++better) {
            if (better->order != column.order || better->day != column.day) break;
            replaced = takes_no_more(better->uses, column.uses);
        }
        if (!replaced) kept.push_back(std::move(column));
    }
    columns = std::move(kept);
}

}  // namespace

bool takes_no_more(const std::vector<StockUse>& a, const std::vector<StockUse>& b) {
    return std::all_of(a.begin(), a.end(), [&](const StockUse& use) {
        const auto other = std::find_if(b.begin(), b.end(), [&](const StockUse& candidate) {
            return candidate.resource == use.resource;
        });
        return other != b.end() && other->count >= use.count;
    });
}

std::int64_t tenths_of(double hours_outside) {
    constexpr double kTenthsPerHour = 10;  // 1 / kTieHours
    return std::llround(hours_outside * kTenthsPerHour);
}

Key key_of(const Candidate& candidate) {
    return {tenths_of(candidate.hours_outside), candidate.grade, std::llround(candidate.usd * 100)};
}

std::vector<Column> reduce(const AssignmentProblem& problem) {
    std::vector<Column> columns;
    for (std::size_t i = 0; i < problem.candidates.size(); ++i) {
        const Candidate& candidate = problem.candidates[i];
        Column column{i, candidate.order, candidate.day, key_of(candidate), tidy(candidate.uses)};
        if (fits_alone(problem, column)) columns.push_back(std::move(column));
    }
    const std::vector<std::int64_t> wanted = most_wanted(problem, columns);
    for (Column& column : columns) {
        std::erase_if(column.uses, [&](const StockUse& use) {
            return wanted[use.resource] <= problem.stock[use.resource];
        });
    }
    keep_best(problem, columns);
    return columns;
}

}  // namespace mildway::planning
