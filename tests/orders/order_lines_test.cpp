// The line of an order in a list says what the whole order says.
#include "mildway/orders/order_book.hpp"

#include "catch.hpp"
#include "made_orders.hpp"
#include "temp_workspace.hpp"

#include <random>

#include <SQLiteCpp/SQLiteCpp.h>

using namespace mildway;
using namespace mildway::orders;
using namespace mildway::testing;

namespace {

/// Made by chance, the same at every run.
class RandomBook {
public:
    explicit RandomBook(unsigned seed) : chance_(seed) {}

    void fill(unsigned orders) {
        for (unsigned i = 0; i < orders; ++i) {
            const std::string number = "JB-" + std::to_string(below(10'000) * orders + i);
            Order order = made_order(number, below(2) == 0 ? "" : "buyer-" + number + "@example.org");
            if (below(4) == 0) order.buyer.name.clear();
            if (below(4) == 0) order.place.name.clear();
            if (below(3) == 0) order.earliest_arrival.reset();
            if (below(3) == 0) order.latest_arrival.reset();
            order.animals.resize(1 + below(3));
            added(book, order);
            for (unsigned steps = below(12); steps > 0; --steps) step(number);
        }
    }

    TempFolder folder;
    OrderBook book{folder.path() / kBookFile, OrderBook::Access::write};

private:
    unsigned below(unsigned end) { return static_cast<unsigned>(chance_()) % end; }
    Verdict any_verdict() { return static_cast<Verdict>(below(4)); }
    Side any_side() { return static_cast<Side>(below(2)); }
    Date any_day() { return Date{date::sys_days(day("2027-03-02")) + date::days(below(20))}; }

    void step(const std::string& number) {
        changed(book, number, [&](Change& change, const Order& order) {
            if (order.state == State::open) of_open(change, order);
            if (order.state == State::planned) of_planned(change, order);
            if (order.state == State::handed_over && below(3) == 0)
                change.arrive(order, {kNow, below(2) == 0 ? 0 : 1, 0, {}, "", "", ""});
        });
    }
    void of_open(Change& change, const Order& order) {
        const unsigned what = below(10);
        if (what == 0) change.cancel(order, "sold here");
        if (what > 5) choose(change, order);
        if (what == 1 || what == 2) {
            Proposal proposal;
            proposal.made = kNow;
            for (unsigned days = below(4); days > 0; --days)
                proposal.days.push_back({any_day(), any_day(), any_verdict()});
            change.propose(order, proposal);
        }
        if (what == 3) {
            Order edited = order;
            edited.animals.resize(1 + below(4));
            change.edit(edited, "more or fewer animals");
        }
    }
    void of_planned(Change& change, const Order& order) {
        const unsigned what = below(12);
        if (what == 0) change.cancel(order, "sold here");
        if (what == 1) change.take_back(order, "too cold");
        if (what == 2) choose(change, order);
        if (what == 3) change.hand_over(order, kNow);
        if (what <= 3) return;
        // sometimes of the choice before: nothing is written then
        Reassessment found = made_check(std::max(1, order.choice->version - (below(4) == 0 ? 1 : 0)));
        found.standing = any_verdict();
        found.side = any_side();
        found.flagged = below(2) == 0;
        change.reassess(order, found);
    }
    void choose(Change& change, const Order& order) {
        Choice choice = made_choice();
        choice.ship_date = any_day();
        choice.delivery_date = any_day();
        choice.verdict = any_verdict();
        choice.side = any_side();
        change.choose(order, choice);
    }

    std::mt19937 chance_;
};

std::optional<std::vector<Date>> proposed_days(const Order& order) {
    if (order.state != State::open || !order.proposal) return std::nullopt;
    std::vector<Date> days;
    for (const Proposal::Day& day : order.proposal->days) days.push_back(day.ship_date);
    return days;
}

void check_entry(const OrderLine& line, const Order& order) {
    CHECK(line.id == order.id);
    CHECK(line.number == order.number);
    CHECK(line.state == order.state);
    CHECK(line.buyer == (order.buyer.name.empty() ? order.buyer.email : order.buyer.name));
    CHECK(line.destination == (order.place.name.empty() ? order.destination : order.place.name));
    CHECK(line.species == order.species);
    CHECK(line.animals == std::ssize(order.animals));
    CHECK(line.earliest_arrival == order.earliest_arrival);
    CHECK(line.latest_arrival == order.latest_arrival);
    CHECK(line.proposed == proposed_days(order));
}

void check_standing(const OrderLine& line, const Order& order, const std::optional<Reassessment>& newest) {
    REQUIRE(line.verdict.has_value() == order.choice.has_value());
    CHECK(line.ship_date.has_value() == order.choice.has_value());
    CHECK(line.flagged == (newest && newest->flagged));
    if (!order.choice) return;
    CHECK(line.ship_date == order.choice->ship_date);
    CHECK(line.delivery_date == order.choice->delivery_date);
    CHECK(line.verdict == (newest ? newest->standing : order.choice->verdict));
    CHECK(line.side == (newest ? newest->side : order.choice->side));
}

void check_arrival(const OrderLine& line, const Order& order, const std::optional<Outcome>& outcome) {
    REQUIRE(line.arrival.has_value() == outcome.has_value());
    if (!outcome) return;
    CHECK(line.arrival->at == outcome->arrived);
    CHECK(line.arrival->alive == outcome->alive);
    CHECK(line.arrival->zone == order.place.zone);
}

void check_lines(const OrderBook& book, const Which& which) {
    const auto orders = book.orders(which);
    const auto newest = book.newest_reassessments(orders);
    const auto lines = book.lines(which);
    REQUIRE(lines.size() == orders.size());
    for (std::size_t i = 0; i < lines.size(); ++i) {
        CAPTURE(orders[i].number, orders[i].state);
        check_entry(lines[i], orders[i]);
        check_standing(lines[i], orders[i], newest[i]);
        check_arrival(lines[i], orders[i], book.outcome(orders[i].id));
    }
}

}  // namespace

TEST_CASE("lines and whole orders of random books agree") {
    RandomBook made(GENERATE(1U, 2U, 3U));
    made.fill(150);
    for (const State state :
         {State::open, State::planned, State::handed_over, State::arrived, State::cancelled}) {
        CAPTURE(state);
        REQUIRE_FALSE(made.book.orders({{state}}).empty());
        check_lines(made.book, {{state}});
    }
    check_lines(made.book, {});
    CHECK(made.book.faults().empty());
}

TEST_CASE("a line that is not what its order says is a fault of the book") {
    RandomBook made(4);
    made.fill(60);
    const std::string column =
        GENERATE(as<std::string>(), "animal_count = animal_count + 1", "told_flag = 1 - told_flag",
                 "told_verdict = iif(told_verdict = 'tight', 'unsafe', 'tight')",
                 "told_side = iif(told_side = 'cold', 'warm', 'cold')", "told_ship_date = '2026-01-01'",
                 "told_delivery_date = '2026-01-01'");
    const auto planned = made.book.orders({{State::planned}});
    REQUIRE_FALSE(planned.empty());
    SQLite::Database(made.book.file().string(), SQLite::OPEN_READWRITE)
        .exec("UPDATE orders SET " + column + " WHERE id = " + std::to_string(planned.front().id));
    const auto faults = made.book.faults();
    REQUIRE(faults.size() == 1);
    CHECK_THAT(faults.front(), Catch::Contains("order " + planned.front().number + " "));
}
