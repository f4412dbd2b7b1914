// The joint choice against another solver: GLPK's branch and cut, on the problem as it was given, nothing
// left out beforehand.
#include "mildway/planning/assignment.hpp"

#include "assignment_problems.hpp"
#include "catch.hpp"

#include <cmath>
#include <memory>

#include <glpk.h>

using namespace mildway::planning;
using mildway::testing::made_problem;

namespace {

/// One variable for each candidate, then one trip for each day.
class Glpk {
public:
    explicit Glpk(const AssignmentProblem& problem) : problem_(problem), glpk_(glp_create_prob()) {
        glp_term_out(GLP_OFF);
        const int columns = static_cast<int>(problem.candidates.size() + problem.days.size());
        glp_add_cols(glpk_.get(), columns);
        for (int i = 1; i <= columns; ++i) glp_set_col_kind(glpk_.get(), i, GLP_BV);
        add_limits();
    }

    /// The objectives of the header, one after the other.
    AssignmentTotals best() {
        AssignmentTotals totals;
        totals.shipped = -minimise([](const Candidate&) { return -1.0; }, 0);
        totals.tenths_outside = minimise(
            [](const Candidate& one) { return static_cast<double>(tenths_of(one.hours_outside)); }, 0);
        totals.grades = minimise([](const Candidate& one) { return one.grade; }, 0);
        totals.cents = minimise([](const Candidate& one) { return std::round(100 * one.usd); },
                                std::round(100 * problem_.trip_usd));
        return totals;
    }

private:
    struct Delete {
        void operator()(glp_prob* glpk) const { glp_delete_prob(glpk); }
    };
    struct Sum {
        std::vector<int> columns{0};  // GLPK counts from 1
        std::vector<double> factors{0};
        void add(std::size_t column, double factor) {
            columns.push_back(static_cast<int>(column) + 1);
            factors.push_back(factor);
        }
    };

    void at_most(const Sum& sum, double most) {
        const int row = glp_add_rows(glpk_.get(), 1);
        glp_set_row_bnds(glpk_.get(), row, GLP_UP, 0, most);
        glp_set_mat_row(glpk_.get(), row, static_cast<int>(sum.columns.size()) - 1, sum.columns.data(),
                        sum.factors.data());
    }

    void add_limits() {
        std::vector<Sum> orders(problem_.orders);
        std::vector<Sum> days(problem_.days.size());
        std::vector<Sum> stocks(problem_.stock.size());
        for (std::size_t i = 0; i < problem_.candidates.size(); ++i) {
            const Candidate& one = problem_.candidates[i];
            orders[one.order].add(i, 1);
            days[one.day].add(i, 1);
            for (const StockUse& use : one.uses) stocks[use.resource].add(i, use.count);
            if (problem_.days[one.day].trip_made) continue;
            Sum trip;
            trip.add(i, 1);
            trip.add(problem_.candidates.size() + one.day, -1);
            at_most(trip, 0);
        }
        for (const Sum& order : orders) at_most(order, 1);
        for (std::size_t i = 0; i < days.size(); ++i) {
            if (problem_.days[i].boxes) at_most(days[i], *problem_.days[i].boxes);
        }
        for (std::size_t i = 0; i < stocks.size(); ++i) at_most(stocks[i], problem_.stock[i]);
    }

    template <class Cost>
    std::int64_t minimise(Cost cost, double trip) {
        Sum kept;
        for (std::size_t i = 0; i < problem_.candidates.size(); ++i)
            kept.add(i, cost(problem_.candidates[i]));
        for (std::size_t day = 0; day < problem_.days.size(); ++day)
            kept.add(problem_.candidates.size() + day, trip);
        for (std::size_t i = 1; i < kept.columns.size(); ++i)
            glp_set_obj_coef(glpk_.get(), kept.columns[i], kept.factors[i]);
        glp_iocp how;
        glp_init_iocp(&how);
        how.presolve = GLP_ON;
        how.mir_cuts = GLP_ON;
        how.cov_cuts = GLP_ON;
        how.msg_lev = GLP_MSG_OFF;
        REQUIRE(glp_intopt(glpk_.get(), &how) == 0);
        REQUIRE(glp_mip_status(glpk_.get()) == GLP_OPT);
        const double value = std::round(glp_mip_obj_val(glpk_.get()));
        at_most(kept, value);
        return std::llround(value);
    }

    const AssignmentProblem& problem_;
    std::unique_ptr<glp_prob, Delete> glpk_;
};

void check_against_glpk(const mildway::testing::Shape& shape, std::uint64_t seeds) {
    for (std::uint64_t seed = 1; seed <= seeds; ++seed) {
        CAPTURE(seed);
        const AssignmentProblem problem = made_problem(shape, seed);
        const Assignment assignment = assign(problem);
        REQUIRE(assignment.proven);
        REQUIRE(assignment.usd_may_lack == 0);
        const AssignmentTotals best = Glpk(problem).best();
        CAPTURE(best.shipped, best.tenths_outside, best.grades, best.cents, assignment.totals.cents);
        REQUIRE(assignment.totals == best);
    }
}

}  // namespace

TEST_CASE("assignment agrees with another solver on weeks without stock or trips") {
    check_against_glpk({60, 10, 0, 3, false}, 20);
}

TEST_CASE("assignment agrees with another solver on weeks with stock") {
    check_against_glpk({30, 8, 3, 3, false}, 30);
}

TEST_CASE("assignment agrees with another solver on weeks with stock and counter trips") {
    check_against_glpk({24, 6, 3, 3, true}, 40);
}
