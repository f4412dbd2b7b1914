#include "assignment_stages.hpp"

#include "assignment_search.hpp"

#include <algorithm>
#include <cmath>
#include <map>
#include <set>

namespace mildway::planning {

namespace {

/// The variables of a stage: columns that are still in question, then a trip for each day that may cost one.
struct Variables {
    std::vector<std::size_t> columns;    ///< [variable]: index into all columns
    std::vector<std::size_t> trip_days;  ///< [variable - columns.size()]
    [[nodiscard]] std::size_t count() const { return columns.size() + trip_days.size(); }
    [[nodiscard]] int trip(std::size_t i) const { return static_cast<int>(columns.size() + i); }
};

void add(Row& row, std::size_t variable, double factor) {
    row.variables.push_back(static_cast<int>(variable));
    row.factors.push_back(factor);
}

class Stages {
public:
    Stages(const AssignmentProblem& problem, const std::vector<Column>& columns, const SearchLimits& limits)
        : problem_(&problem),
          columns_(&columns),
          limits_(limits),
          alive_(columns.size(), 1),
          chosen_(columns.size(), 0) {}

    using Cost = std::int64_t (*)(const Stages&, const Column&);

    /// As many orders as can be. Most weeks that is all of them, and taking one after the other shows it.
    void ship() {
        take_greedily();
        std::set<std::size_t> orders;
        for (const Column& column : *columns_) orders.insert(column.order);
        const auto all = static_cast<std::int64_t>(orders.size());
        if (static_cast<std::int64_t>(chosen().size()) == all) {
            kept_.push_back({&Stages::shipped, -all});
            return;
        }
        const std::vector<char> every = alive_;
        keep_the_sparing();
        minimise(&Stages::shipped, false);
        alive_ = every;
    }

    /// Makes `cost` as small as can be, and keeps it there.
    void minimise(Cost cost, bool with_trips) {
        const Variables variables = variables_now(with_trips);
        Programme programme = programme_of(variables, with_trips);
        programme.costs = costs_of(cost, variables);
        const std::int64_t slack = cost == &Stages::cents ? std::llround(limits_.usd_tolerance * 100) : 0;
        const Found found = search(programme, values_of(variables), limits_, slack);
        proven_ = proven_ && found.proven;
        may_lack_ = found.may_lack;
        for (std::size_t i = 0; i < variables.columns.size(); ++i) {
            chosen_[variables.columns[i]] = found.values[i];
            if (found.hopeless[i] != 0 && found.proven && found.values[i] == 0)
                alive_[variables.columns[i]] = 0;
        }
        kept_.push_back({cost, value_of(programme.costs, found.values)});
    }

    void limit_to(const SearchLimits& limits) { limits_ = limits; }
    [[nodiscard]] bool proven() const { return proven_; }
    [[nodiscard]] double may_lack() const { return may_lack_; }  ///< of the newest stage
    [[nodiscard]] std::int64_t kept(std::size_t stage) const { return kept_[stage].value; }
    [[nodiscard]] std::vector<std::size_t> chosen() const {
        std::vector<std::size_t> all;
        for (std::size_t i = 0; i < chosen_.size(); ++i) {
            if (chosen_[i] != 0) all.push_back(i);
        }
        return all;
    }

    static std::int64_t shipped(const Stages& /*stages*/, const Column& /*column*/) { return -1; }
    static std::int64_t tenths(const Stages& /*stages*/, const Column& column) { return column.key[0]; }
    static std::int64_t grade(const Stages& /*stages*/, const Column& column) { return column.key[1]; }
    static std::int64_t cents(const Stages& /*stages*/, const Column& column) { return column.key[2]; }
    /// Orders that come first go, and go early.
    static std::int64_t place_in_list(const Stages& stages, const Column& column) {
        const AssignmentProblem& problem = *stages.problem_;
        return static_cast<std::int64_t>(column.order * problem.days.size() +
                                         column.day * (problem.orders - column.order));
    }

private:
    struct Kept {
        Cost cost;
        std::int64_t value;
    };

    /// The best that is left for each order, in the order of the list.
    void take_greedily() {
        std::vector<int> stock = problem_->stock;
        std::vector<int> parcels(problem_->days.size(), 0);
        const auto fits = [&](const Column& column) {
            const std::optional<int> boxes = problem_->days[column.day].boxes;
            return (!boxes || parcels[column.day] < *boxes) &&
                   std::all_of(column.uses.begin(), column.uses.end(),
                               [&](const StockUse& use) { return use.count <= stock[use.resource]; });
        };
        for (std::size_t i = 0; i < columns_->size();) {
            const std::size_t order = (*columns_)[i].order;
            std::optional<std::size_t> taken;
            for (; i < columns_->size() && (*columns_)[i].order == order; ++i) {
                if (fits((*columns_)[i]) && (!taken || (*columns_)[i].key < (*columns_)[*taken].key))
                    taken = i;
            }
            if (!taken) continue;
            chosen_[*taken] = 1;
            ++parcels[(*columns_)[*taken].day];
            for (const StockUse& use : (*columns_)[*taken].uses) stock[use.resource] -= use.count;
        }
    }

    /// To count what can be shipped, a column counts only as long as no other of its order and day takes
    /// less.
    void keep_the_sparing() {
        for (std::size_t i = 0; i < columns_->size(); ++i) {
            const Column& one = (*columns_)[i];
            for (std::size_t k = first_of_day(i); k < columns_->size() && alive_[i] != 0; ++k) {
                const Column& other = (*columns_)[k];
                if (other.order != one.order || other.day != one.day) break;
                const bool spares = k != i && alive_[k] != 0 && takes_no_more(other.uses, one.uses);
                if (spares && chosen_[i] == 0) alive_[i] = 0;
            }
        }
    }
    [[nodiscard]] std::size_t first_of_day(std::size_t i) const {
        while (i > 0 && (*columns_)[i - 1].order == (*columns_)[i].order &&
               (*columns_)[i - 1].day == (*columns_)[i].day)
            --i;
        return i;
    }

    [[nodiscard]] bool trip_may_cost(std::size_t day) const {
        return problem_->trip_usd > 0 && !problem_->days[day].trip_made;
    }
    [[nodiscard]] double trip_cents() const {
        return static_cast<double>(std::llround(problem_->trip_usd * 100));
    }

    [[nodiscard]] Variables variables_now(bool with_trips) const {
        Variables variables;
        std::vector<char> used(problem_->days.size(), 0);
        for (std::size_t i = 0; i < columns_->size(); ++i) {
            if (alive_[i] == 0) continue;
            variables.columns.push_back(i);
            used[(*columns_)[i].day] = 1;
        }
        for (std::size_t day = 0; with_trips && day < used.size(); ++day) {
            if (used[day] != 0 && trip_may_cost(day)) variables.trip_days.push_back(day);
        }
        return variables;
    }

    [[nodiscard]] std::vector<double> costs_of(Cost cost, const Variables& variables) const {
        std::vector<double> costs(variables.count(), cost == &Stages::cents ? trip_cents() : 0.0);
        for (std::size_t i = 0; i < variables.columns.size(); ++i)
            costs[i] = static_cast<double>(cost(*this, (*columns_)[variables.columns[i]]));
        return costs;
    }

    [[nodiscard]] std::vector<char> values_of(const Variables& variables) const {
        std::vector<char> values;
        std::vector<char> used(problem_->days.size(), 0);
        for (const std::size_t column : variables.columns) {
            values.push_back(chosen_[column]);
            if (chosen_[column] != 0) used[(*columns_)[column].day] = 1;
        }
        for (const std::size_t day : variables.trip_days) values.push_back(used[day]);
        return values;
    }

    [[nodiscard]] Programme programme_of(const Variables& variables, bool with_trips) const {
        Programme programme;
        add_limits(programme, variables);
        if (with_trips) add_trips(programme, variables);
        for (const Kept& kept : kept_) {
            Row row;
            const std::vector<double> costs = costs_of(kept.cost, variables);
            for (std::size_t i = 0; i < costs.size(); ++i) {
                if (costs[i] != 0) add(row, i, costs[i]);
            }
            row.most = static_cast<double>(kept.value);
            if (!row.variables.empty()) programme.rows.push_back(std::move(row));
        }
        return programme;
    }

    /// An order goes once at most; a day holds no more than it may; no stock is overdrawn.
    void add_limits(Programme& programme, const Variables& variables) const {
        std::map<std::size_t, Row> orders;
        std::vector<Row> days(problem_->days.size());
        std::vector<Row> stocks(problem_->stock.size());
        for (std::size_t i = 0; i < variables.columns.size(); ++i) {
            const Column& column = (*columns_)[variables.columns[i]];
            Row& order = orders[column.order];
            order.most = 1;
            add(order, i, 1);
            add(days[column.day], i, 1);
            for (const StockUse& use : column.uses) add(stocks[use.resource], i, use.count);
        }
        for (auto& [order, row] : orders) programme.rows.push_back(std::move(row));
        for (std::size_t day = 0; day < days.size(); ++day) {
            const std::optional<int> boxes = problem_->days[day].boxes;
            if (!boxes || days[day].variables.empty()) continue;
            days[day].most = *boxes;
            programme.rows.push_back(std::move(days[day]));
        }
        for (std::size_t resource = 0; resource < stocks.size(); ++resource) {
            if (stocks[resource].variables.empty()) continue;
            stocks[resource].most = problem_->stock[resource];
            programme.rows.push_back(std::move(stocks[resource]));
        }
    }

    /// No order goes on a day without a trip: one row for each order and day, which bounds better than one
    /// for each day.
    void add_trips(Programme& programme, const Variables& variables) const {
        std::map<std::size_t, std::size_t> trip_of;
        for (std::size_t i = 0; i < variables.trip_days.size(); ++i) {
            trip_of[variables.trip_days[i]] = i;
            programme.decide_first.push_back(variables.trip(i));
        }
        std::map<std::pair<std::size_t, std::size_t>, Row> rows;
        for (std::size_t i = 0; i < variables.columns.size(); ++i) {
            const Column& column = (*columns_)[variables.columns[i]];
            if (trip_of.contains(column.day)) add(rows[{column.order, column.day}], i, 1);
        }
        for (auto& [of, row] : rows) {
            add(row, static_cast<std::size_t>(variables.trip(trip_of.at(of.second))), -1);
            programme.rows.push_back(std::move(row));
        }
    }

    const AssignmentProblem* problem_;
    const std::vector<Column>* columns_;
    SearchLimits limits_;
    std::vector<char> alive_;
    std::vector<char> chosen_;
    std::vector<Kept> kept_;
    bool proven_ = true;
    double may_lack_ = 0;
};

}  // namespace

StagesFound solve_stages(const AssignmentProblem& problem, const std::vector<Column>& columns,
                         const SearchLimits& limits) {
    Stages stages(problem, columns, limits);
    stages.ship();
    stages.minimise(&Stages::tenths, false);
    stages.minimise(&Stages::grade, false);
    const bool proven = stages.proven();
    stages.minimise(&Stages::cents, true);
    const double usd_may_lack = stages.may_lack() / 100;
    constexpr int kNodesForTies = 500;  // what is left makes no difference that anybody could feel
    stages.limit_to({std::min(limits.nodes, kNodesForTies), limits.seconds, 0});
    stages.minimise(&Stages::place_in_list, true);
    return {stages.chosen(), proven, usd_may_lack};
}

std::optional<std::int64_t> most_shipped(const AssignmentProblem& problem, const std::vector<Column>& columns,
                                         const SearchLimits& limits) {
    Stages stages(problem, columns, limits);
    stages.ship();
    if (!stages.proven()) return std::nullopt;
    return -stages.kept(0);
}

}  // namespace mildway::planning
