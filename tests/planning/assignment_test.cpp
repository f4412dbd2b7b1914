// The joint choice against trying everything, and the laws it must keep.
#include "mildway/planning/assignment.hpp"

#include "assignment_problems.hpp"
#include "catch.hpp"

#include <algorithm>

using namespace mildway::planning;
using mildway::testing::Dice;
using mildway::testing::made_problem;
using mildway::testing::Shape;

namespace {

/// More shipped, then fewer tenths, lower grades, fewer cents.
std::tuple<std::int64_t, std::int64_t, std::int64_t, std::int64_t> worth(const AssignmentTotals& totals) {
    return {-totals.shipped, totals.tenths_outside, totals.grades, totals.cents};
}

std::vector<std::optional<std::size_t>> chosen_of(const Assignment& assignment) {
    std::vector<std::optional<std::size_t>> chosen;
    for (const OrderAssigned& order : assignment.orders) chosen.push_back(order.chosen);
    return chosen;
}

bool keeps_limits(const AssignmentProblem& problem, const std::vector<std::optional<std::size_t>>& chosen) {
    std::vector<int> parcels(problem.days.size(), 0);
    std::vector<int> stock = problem.stock;
    for (std::size_t order = 0; order < chosen.size(); ++order) {
        if (!chosen[order]) continue;
        const Candidate& one = problem.candidates[*chosen[order]];
        if (one.order != order) return false;
        ++parcels[one.day];
        for (const StockUse& use : one.uses) stock[use.resource] -= use.count;
    }
    for (std::size_t day = 0; day < parcels.size(); ++day) {
        if (problem.days[day].boxes && parcels[day] > *problem.days[day].boxes) return false;
    }
    return std::all_of(stock.begin(), stock.end(), [](int left) { return left >= 0; });
}

/// Tries every way.
class BruteForce {
public:
    explicit BruteForce(const AssignmentProblem& problem) : problem_(problem), chosen_(problem.orders) {
        of_order_.resize(problem.orders);
        for (std::size_t i = 0; i < problem.candidates.size(); ++i)
            of_order_[problem.candidates[i].order].push_back(i);
        try_from(0);
    }
    [[nodiscard]] const AssignmentTotals& best() const { return best_; }

private:
    void try_from(std::size_t order) {
        if (order == problem_.orders) {
            if (!keeps_limits(problem_, chosen_)) return;
            const AssignmentTotals totals = totals_of(problem_, chosen_);
            if (worth(totals) < worth(best_)) best_ = totals;
            return;
        }
        chosen_[order] = std::nullopt;
        try_from(order + 1);
        for (const std::size_t candidate : of_order_[order]) {
            chosen_[order] = candidate;
            try_from(order + 1);
        }
        chosen_[order] = std::nullopt;
    }

    const AssignmentProblem& problem_;
    std::vector<std::vector<std::size_t>> of_order_;
    std::vector<std::optional<std::size_t>> chosen_;
    AssignmentTotals best_;
};

AssignmentTotals assigned(const AssignmentProblem& problem) {
    return assign(problem).totals;
}

/// Two orders, two days, one of which suits both better.
AssignmentProblem two_orders() {
    AssignmentProblem problem;
    problem.orders = 2;
    problem.days.resize(2);
    problem.candidates = {{0, 0, 0, 0.2, 0, 50, {}},
                          {0, 1, 0, 0.9, 0, 50, {}},
                          {1, 0, 0, 0.1, 0, 50, {}},
                          {1, 1, 0, 2.0, 0, 50, {}}};
    return problem;
}

}  // namespace

TEST_CASE("assignment agrees with trying everything on small cases") {
    for (std::uint64_t seed = 1; seed <= 600; ++seed) {
        CAPTURE(seed);
        Dice dice(seed);
        const AssignmentProblem problem = made_problem(
            {dice.below(5) + 1, dice.below(4) + 1, dice.below(3), dice.below(3) + 1, dice.below(2) == 0},
            seed);
        const Assignment assignment = assign(problem);
        REQUIRE(assignment.proven);
        REQUIRE(assignment.usd_may_lack == 0);
        REQUIRE(keeps_limits(problem, chosen_of(assignment)));
        REQUIRE(worth(assignment.totals) == worth(BruteForce(problem).best()));
    }
}

TEST_CASE("assignment gives the better day to the order that loses most without it") {
    AssignmentProblem problem = two_orders();
    problem.days[0].boxes = 1;
    const Assignment assignment = assign(problem);
    CHECK(assignment.orders[0].chosen == 1u);
    CHECK(assignment.orders[1].chosen == 2u);
    CHECK(assignment.orders[0].given_up == 0u);
    CHECK(assignment.orders[0].because == std::vector<Limit>{{Limit::Kind::boxes_of_day, 0}});
    CHECK_FALSE(assignment.orders[1].given_up);
}

TEST_CASE("assignment ships as many as it can before it looks at the hours") {
    AssignmentProblem problem = two_orders();
    problem.candidates.pop_back();  // the second order can go on the first day only
    problem.days[0].boxes = 1;
    problem.candidates[1].hours_outside = 40;
    const Assignment assignment = assign(problem);
    CHECK(assignment.totals.shipped == 2);
    CHECK(assignment.totals.tenths_outside == 401);
}

TEST_CASE("assignment names the stock that keeps an order waiting and what one more would do") {
    AssignmentProblem problem = two_orders();
    problem.stock = {1};
    for (Candidate& candidate : problem.candidates) candidate.uses = {{0, 1}};
    const Assignment assignment = assign(problem);
    CHECK_FALSE(assignment.orders[0].chosen);
    CHECK(assignment.orders[0].because == std::vector<Limit>{{Limit::Kind::stock, 0}});
    REQUIRE(assignment.reliefs.size() == 1);
    CHECK(assignment.reliefs[0].limit == Limit{Limit::Kind::stock, 0});
    CHECK(assignment.reliefs[0].more_shipped == 1);
}

TEST_CASE("assignment tells no relief where one more of a thing would not be enough") {
    AssignmentProblem problem = two_orders();
    problem.stock = {1, 0};
    for (Candidate& candidate : problem.candidates) candidate.uses = {{0, 1}};
    problem.candidates[0].uses = {{0, 1}, {1, 1}};
    problem.candidates[1].uses = {{0, 1}, {1, 1}};
    CHECK(assign(problem).reliefs.empty());
}

TEST_CASE("assignment takes one trip rather than two when the animals do as well") {
    AssignmentProblem problem = two_orders();
    for (Candidate& candidate : problem.candidates) candidate.hours_outside = 0.5;
    problem.candidates[0].usd = 48;  // alone the first order would rather go on the first day
    problem.candidates[2].usd = 60;
    problem.trip_usd = 12;
    const Assignment assignment = assign(problem);
    CHECK(assignment.orders[0].chosen == 1u);
    CHECK(assignment.orders[1].chosen == 3u);
    CHECK(assignment.totals.cents == 11200);
    CHECK(assignment.orders[0].because == std::vector<Limit>{{Limit::Kind::trip_cost, 0}});
}

TEST_CASE("assignment counts no trip on a day on which one is made anyway") {
    AssignmentProblem problem = two_orders();
    problem.trip_usd = 12;
    problem.days[0].trip_made = true;
    CHECK(assigned(problem).cents == 10000);
}

TEST_CASE("assignment takes the better verdict before the lower cost among hours that tie") {
    AssignmentProblem problem;
    problem.orders = 1;
    problem.days.resize(1);
    problem.candidates = {{0, 0, 0, 0.22, 1, 40, {}}, {0, 0, 1, 0.24, 0, 60, {}}};
    CHECK(assign(problem).orders[0].chosen == 1u);
}

TEST_CASE("assignment prefers orders that come first and early days among equals") {
    AssignmentProblem problem = two_orders();
    for (Candidate& candidate : problem.candidates) candidate.hours_outside = 0.5;
    problem.days[0].boxes = 1;
    const Assignment assignment = assign(problem);
    CHECK(assignment.orders[0].chosen == 0u);
    CHECK(assignment.orders[1].chosen == 3u);
}

TEST_CASE("assignment does not depend on the order of the candidates") {
    for (std::uint64_t seed = 1; seed <= 60; ++seed) {
        CAPTURE(seed);
        const AssignmentProblem problem = made_problem({12, 5, 3, 3, true}, seed);
        AssignmentProblem shuffled = problem;
        Dice dice(seed + 1000);
        std::vector<std::size_t> was(problem.candidates.size());
        for (std::size_t i = 0; i < was.size(); ++i) was[i] = i;
        for (std::size_t i = was.size(); i > 1; --i) std::swap(was[i - 1], was[dice.below(i)]);
        for (std::size_t i = 0; i < was.size(); ++i) shuffled.candidates[i] = problem.candidates[was[i]];
        const Assignment a = assign(problem);
        const Assignment b = assign(shuffled);
        for (std::size_t order = 0; order < problem.orders; ++order) {
            REQUIRE(a.orders[order].chosen.has_value() == b.orders[order].chosen.has_value());
            if (a.orders[order].chosen) REQUIRE(*a.orders[order].chosen == was[*b.orders[order].chosen]);
            REQUIRE(a.orders[order].because == b.orders[order].because);
        }
    }
}

TEST_CASE("assignment is never worse with more of anything") {
    for (std::uint64_t seed = 1; seed <= 100; ++seed) {
        CAPTURE(seed);
        const AssignmentProblem problem = made_problem({10, 4, 3, 3, true}, seed);
        const auto before = worth(assigned(problem));
        Dice dice(seed);
        AssignmentProblem stocked = problem;
        ++stocked.stock[dice.below(stocked.stock.size())];
        CHECK(worth(assigned(stocked)) <= before);
        AssignmentProblem wider = problem;
        for (AssignmentDay& day : wider.days) {
            if (day.boxes) ++*day.boxes;
        }
        CHECK(worth(assigned(wider)) <= before);
        AssignmentProblem cheaper = problem;
        cheaper.trip_usd = 0;
        CHECK(worth(assigned(cheaper)) <= before);
    }
}

TEST_CASE("assignment ships no fewer when an order is added and no more than one more") {
    for (std::uint64_t seed = 1; seed <= 100; ++seed) {
        CAPTURE(seed);
        const AssignmentProblem all = made_problem({10, 4, 3, 3, true}, seed);
        AssignmentProblem without = all;
        --without.orders;
        std::erase_if(without.candidates,
                      [&](const Candidate& candidate) { return candidate.order == without.orders; });
        const std::int64_t before = assigned(without).shipped;
        const std::int64_t after = assigned(all).shipped;
        CHECK(after >= before);
        CHECK(after <= before + 1);
    }
}

TEST_CASE("assignment that is cut short says so and keeps every limit") {
    bool cut = false;
    for (std::uint64_t seed = 1; seed <= 40; ++seed) {
        const AssignmentProblem problem = made_problem({30, 6, 3, 4, true}, seed);
        const Assignment assignment = assign(problem, {0, 20});
        CHECK(keeps_limits(problem, chosen_of(assignment)));
        if (!assignment.proven || assignment.usd_may_lack > 0) cut = true;
        const Assignment best = assign(problem);
        REQUIRE(best.proven);
        CHECK(worth(best.totals) <= worth(assignment.totals));
        if (assignment.proven && assignment.usd_may_lack == 0)
            CHECK(worth(best.totals) == worth(assignment.totals));
    }
    CHECK(cut);
}

TEST_CASE("assignment of nothing is nothing") {
    CHECK(assign({}).orders.empty());
    AssignmentProblem problem;
    problem.orders = 2;
    problem.days.resize(1);
    const Assignment assignment = assign(problem);
    CHECK(assignment.proven);
    CHECK(assignment.totals == AssignmentTotals{});
}

TEST_CASE("assignment refuses what does not exist") {
    AssignmentProblem problem = two_orders();
    problem.candidates[0].order = 2;
    CHECK_THROWS_AS(assign(problem), std::invalid_argument);
    problem = two_orders();
    problem.candidates[0].uses = {{0, 1}};
    CHECK_THROWS_AS(assign(problem), std::invalid_argument);
    problem = two_orders();
    problem.candidates[0].hours_outside = std::nan("");
    CHECK_THROWS_AS(assign(problem), std::invalid_argument);
}
