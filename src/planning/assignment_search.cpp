#include "assignment_search.hpp"

#include <algorithm>
#include <cmath>

#include <CbcHeuristic.hpp>
#include <CbcModel.hpp>
#include <CglGomory.hpp>
#include <CglMixedIntegerRounding2.hpp>
#include <CoinPackedMatrix.hpp>
#include <OsiClpSolverInterface.hpp>

namespace mildway::planning {

namespace {

constexpr double kWhole = 1e-6;      // how near to a whole number counts as one
constexpr double kRoundings = 1e-3;  // of sums of whole numbers, which differ by 1 at least

void relax(const Programme& programme, OsiClpSolverInterface& lp) {
    lp.messageHandler()->setLogLevel(0);
    lp.getModelPtr()->setLogLevel(0);
    const int columns = static_cast<int>(programme.costs.size());
    CoinPackedMatrix matrix(false, 0, 0);
    matrix.setDimensions(0, columns);
    std::vector<double> most;
    for (const Row& row : programme.rows) {
        matrix.appendRow(static_cast<int>(row.variables.size()), row.variables.data(), row.factors.data());
        most.push_back(row.most);
    }
    const std::vector<double> ones(programme.costs.size(), 1.0);
    // variables from 0, sums from minus infinity
    lp.loadProblem(matrix, nullptr, ones.data(), programme.costs.data(), nullptr, most.data());
    for (int i = 0; i < columns; ++i) lp.setInteger(i);
    lp.initialSolve();
}

/// Whole values; empty when one of them is not.
std::vector<char> whole(const double* solution, std::size_t count) {
    std::vector<char> values(count, 0);
    for (std::size_t i = 0; i < count; ++i) {
        const double nearest = std::round(solution[i]);
        if (std::abs(solution[i] - nearest) > kWhole) return {};
        values[i] = nearest > 0 ? 1 : 0;
    }
    return values;
}

bool keeps(const Programme& programme, const std::vector<char>& values) {
    return std::all_of(programme.rows.begin(), programme.rows.end(), [&](const Row& row) {
        double sum = 0;
        for (std::size_t i = 0; i < row.variables.size(); ++i)
            sum += row.factors[i] * values[static_cast<std::size_t>(row.variables[i])];
        return sum <= row.most + kRoundings;
    });
}

/// A lower bound and reduced costs tell which variables no solution as good as `value` can have.
std::vector<char> hopeless_beside(std::int64_t value, double bound, const std::vector<double>& reduced) {
    std::vector<char> hopeless(reduced.size(), 0);
    for (std::size_t i = 0; i < reduced.size(); ++i)
        hopeless[i] = bound + reduced[i] > static_cast<double>(value) + 0.5 ? 1 : 0;
    return hopeless;
}

/// Not CglKnapsackCover: with a cut-off it cuts the best solution away now and then (Cgl 0.60;
/// tests/planning/assignment_glpk_test.cpp found it).
void add_helpers(CbcModel& model) {
    CglGomory gomory;
    CglMixedIntegerRounding2 rounding;
    constexpr int kWhereItHelps = -98;  // at the root, and below it only if it did good there
    model.addCutGenerator(&gomory, kWhereItHelps, "gomory");
    model.addCutGenerator(&rounding, kWhereItHelps, "rounding");
    CbcRounding round(model);
    model.addHeuristic(&round);
}

void set_order_of_branching(CbcModel& model, const Programme& programme) {
    constexpr int kFirst = 1;
    constexpr int kLater = 2;
    std::vector<int> priorities(programme.costs.size(), kLater);
    for (const int variable : programme.decide_first) priorities[static_cast<std::size_t>(variable)] = kFirst;
    model.passInPriorities(priorities.data(), false);
}

/// Takes over a solution that claims to be better.
void take(const Programme& programme, const double* solution, Found& found) {
    std::vector<char> better = whole(solution, programme.costs.size());
    if (!better.empty() && keeps(programme, better) &&
        value_of(programme.costs, better) < value_of(programme.costs, found.values)) {
        found.values = std::move(better);
    } else {
        found.proven = false;  // it found something that is no solution: trust nothing it says
    }
}

/// Branch and cut. `found` is made better if that is possible.
void branch(const Programme& programme, const SearchLimits& limits, double slack, Found& found) {
    OsiClpSolverInterface lp;
    relax(programme, lp);
    CbcModel model(lp);
    model.setLogLevel(0);
    model.messageHandler()->setLogLevel(0);
    model.solver()->messageHandler()->setLogLevel(0);
    model.setMaximumNodes(limits.nodes);
    model.setMaximumSeconds(limits.seconds);
    model.setDblParam(CbcModel::CbcAllowableGap, slack);
    model.setDblParam(CbcModel::CbcAllowableFractionGap, 0);
    model.findIntegers(false);
    set_order_of_branching(model, programme);
    add_helpers(model);
    const double value = static_cast<double>(value_of(programme.costs, found.values));
    model.setCutoff(value - slack - 0.5);  // costs are whole: anything better is better by 1
    model.branchAndBound();
    found.proven = model.status() == 0;
    if (model.bestSolution() != nullptr) take(programme, model.bestSolution(), found);
    if (!found.proven) {
        const auto reached = static_cast<double>(value_of(programme.costs, found.values));
        found.may_lack = std::max(0.0, reached - model.getBestPossibleObjValue());
    }
}

/// What the relaxed programme says: no solution is below the bound, none with a variable set is below bound +
/// that variable's reduced cost.
struct Relaxed {
    double bound = 0;
    std::vector<double> reduced;
};

/// A programme in some of the variables, the others 0.
struct Part {
    Programme programme;
    std::vector<std::size_t> variables;
};

Part part_of(const Programme& whole_one, const std::vector<char>& in) {
    Part part;
    std::vector<int> place(in.size(), -1);
    for (std::size_t i = 0; i < in.size(); ++i) {
        if (in[i] == 0) continue;
        place[i] = static_cast<int>(part.variables.size());
        part.variables.push_back(i);
        part.programme.costs.push_back(whole_one.costs[i]);
    }
    for (const Row& row : whole_one.rows) {
        Row shorter;
        shorter.most = row.most;
        for (std::size_t k = 0; k < row.variables.size(); ++k) {
            const int at = place[static_cast<std::size_t>(row.variables[k])];
            if (at < 0) continue;
            shorter.variables.push_back(at);
            shorter.factors.push_back(row.factors[k]);
        }
        if (!shorter.variables.empty()) part.programme.rows.push_back(std::move(shorter));
    }
    for (const int variable : whole_one.decide_first) {
        const int at = place[static_cast<std::size_t>(variable)];
        if (at >= 0) part.programme.decide_first.push_back(at);
    }
    return part;
}

/// Searches among the variables that look best by their reduced costs. Those left out would all make it worse
/// than what is found: else more are taken in, until that holds.
void branch_in_part(const Programme& programme, const Relaxed& relaxed, const SearchLimits& limits,
                    double slack, Found& found) {
    constexpr double kWider = 4;
    for (double reach = 1;; reach *= kWider) {
        std::vector<char> in(programme.costs.size(), 0);
        bool all = true;
        for (std::size_t i = 0; i < in.size(); ++i) {
            in[i] = relaxed.reduced[i] <= reach || found.values[i] != 0 ? 1 : 0;
            all = all && in[i] != 0;
        }
        const Part part = part_of(programme, in);
        Found in_part;
        for (const std::size_t variable : part.variables) in_part.values.push_back(found.values[variable]);
        branch(part.programme, limits, slack, in_part);
        for (std::size_t i = 0; i < part.variables.size(); ++i)
            found.values[part.variables[i]] = in_part.values[i];
        found.proven = in_part.proven;
        found.may_lack = in_part.may_lack;
        const double value = static_cast<double>(value_of(programme.costs, found.values));
        if (!found.proven) found.may_lack = std::max(found.may_lack, value - relaxed.bound - reach);
        if (!found.proven || all || relaxed.bound + reach > value - slack - 1 + kRoundings) return;
    }
}

}  // namespace

std::int64_t value_of(const std::vector<double>& costs, const std::vector<char>& values) {
    double sum = 0;
    for (std::size_t i = 0; i < costs.size(); ++i) sum += costs[i] * values[i];
    return std::llround(sum);
}

Found search(const Programme& programme, const std::vector<char>& known, const SearchLimits& limits,
             std::int64_t slack) {
    Found found;
    found.values = known;
    found.proven = true;
    found.hopeless.assign(programme.costs.size(), 0);
    if (programme.costs.empty()) return found;
    OsiClpSolverInterface lp;
    relax(programme, lp);
    if (!lp.isProvenOptimal()) {
        found.proven = false;
        return found;
    }
    const auto allowed = static_cast<double>(slack);
    const double bound = lp.getObjValue();
    const std::vector<double> reduced(lp.getReducedCost(), lp.getReducedCost() + programme.costs.size());
    std::vector<char> rounded = whole(lp.getColSolution(), programme.costs.size());
    if (!rounded.empty() && keeps(programme, rounded) &&
        value_of(programme.costs, rounded) <= value_of(programme.costs, known))
        found.values = std::move(rounded);
    if (static_cast<double>(value_of(programme.costs, found.values)) >= bound + allowed + 1 - kRoundings)
        branch_in_part(programme, {bound, reduced}, limits, allowed, found);
    found.hopeless = hopeless_beside(value_of(programme.costs, found.values), bound, reduced);
    return found;
}

}  // namespace mildway::planning
