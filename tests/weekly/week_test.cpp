// A week of orders on the demo's weather, under the breeder's limits.
#include "mildway/weekly/week.hpp"

#include "mildway/odds/late_together.hpp"

#include "catch.hpp"
#include "plan_world.hpp"

#include <algorithm>
#include <cmath>

using namespace mildway;
using namespace mildway::weekly;

namespace {

Date day(const char* text) {
    return parse_date(text).value();
}

orders::Order order(const std::string& number, const std::string& to = "Albany NY",
                    const std::string& species = "corn-snake") {
    orders::Order one;
    one.number = number;
    one.place = *testing::starter().find_place(to);
    one.destination = to;
    one.species = species;
    one.animals = {{}};
    return one;
}

/// Planned for a day in a packing.
orders::Order planned(const std::string& number, const char* ship_date, const std::string& packing) {
    orders::Order one = order(number);
    one.state = orders::State::planned;
    one.choice = orders::Choice{};
    one.choice->ship_date = day(ship_date);
    one.choice->packing = packing;
    return one;
}

WeekRequest request() {
    WeekRequest asked;
    asked.from = testing::demo_monday();
    asked.days = 5;
    asked.scenarios = 128;
    asked.now = testing::demo_now();
    return asked;
}

Week week_of(const std::vector<orders::Order>& orders, const Limits& limits = {},
             const WeekRequest& asked = request()) {
    return plan_week(testing::starter(), limits, testing::demo_weather(), orders, asked);
}

std::ptrdiff_t shipped(const Week& week) {
    return std::count_if(week.orders.begin(), week.orders.end(),
                         [](const WeekOrder& one) { return one.chosen.has_value(); });
}

bool says(const WeekOrder& order, const std::string& words) {
    return std::any_of(order.unfit.begin(), order.unfit.end(),
                       [&](const Unfit& unfit) { return unfit.reason.find(words) != std::string::npos; });
}

}  // namespace

TEST_CASE("one order alone gets the fewest tenths of an hour of all that suits") {
    const Week week = week_of({order("A")});
    REQUIRE(week.orders[0].chosen);
    const auto chosen = planning::tenths_of(week.orders[0].chosen->assessment.all->hours_outside.value);
    for (const planning::Option& option :
         testing::plan_for({.to = "Albany NY", .days = 5, .scenarios = 128}).options) {
        if (option.verdict > Verdict::tight) continue;
        CHECK(chosen <= planning::tenths_of(option.assessment.all->hours_outside.value));
    }
}

TEST_CASE("no day gets more parcels than it may and none goes while the breeder is away") {
    Limits limits;
    limits.boxes_per_day = 1;
    limits.days_away = {{day("2027-03-02"), day("2027-03-03")}};
    const Week week = week_of({order("A"), order("B"), order("C"), order("D"), order("E")}, limits);
    for (const WeekDay& one : week.days) {
        CHECK(one.orders.size() <= 1);
        if (one.away) CHECK(one.orders.empty());
    }
    CHECK(says(week.orders[0], "you are away"));
    CHECK(shipped(week) < 5);
}

TEST_CASE("planned orders keep their place and their things unless all is planned anew") {
    Limits limits;
    limits.boxes_per_day = 1;
    limits.stock = StockCount{day("2027-03-01"), {{"small-19", 4}}, {{"slow-72h", 3}}, {}};
    const std::vector<orders::Order> orders{planned("A", "2027-03-02", "small-19-1s"), order("B")};
    const Week kept = week_of(orders, limits);
    REQUIRE(kept.orders.size() == 1);
    CHECK(kept.days[1].kept == 1);
    CHECK(kept.days[1].orders.empty());
    CHECK(kept.stock[0].kept == 1);
    CHECK(kept.stock[1].kept == 1);
    WeekRequest anew = request();
    anew.replan = true;
    const Week all = week_of(orders, limits, anew);
    CHECK(all.orders.size() == 2);
    CHECK(all.stock[0].kept == 0);
}

TEST_CASE("what was sent since the count is no longer at hand") {
    orders::Order sent = planned("A", "2027-03-01", "small-19-1s");
    sent.state = orders::State::handed_over;
    sent.handed_over = parse_instant("2027-03-01T23:30:00Z");
    orders::Order before = planned("B", "2027-02-26", "small-19-1s");
    before.state = orders::State::arrived;
    before.handed_over = parse_instant("2027-02-26T23:30:00Z");
    Limits limits;
    limits.stock = StockCount{day("2027-03-01"), {{"small-19", 4}}, {}, {}};
    CHECK(week_of({sent, before}, limits).stock[0].used == 1);
}

TEST_CASE("no more of anything is taken than is at hand and what is short is named") {
    Limits limits;
    limits.stock =
        StockCount{day("2027-03-01"), {{"small-19", 1}, {"small-38", 0}, {"medium-38-2w", 0}}, {}, {}};
    const Week week = week_of({order("A"), order("B")}, limits);
    CHECK(shipped(week) == 1);
    for (const StockItem& item : week.stock) CHECK(item.left() >= 0);
    const auto waits = std::find_if(week.orders.begin(), week.orders.end(),
                                    [](const WeekOrder& one) { return !one.chosen; });
    REQUIRE(waits != week.orders.end());
    REQUIRE_FALSE(waits->because.empty());
    CHECK(waits->because[0].kind == planning::Limit::Kind::stock);
    CHECK_FALSE(week.reliefs.empty());
}

TEST_CASE("a parcel arrives on a day that the buyer can take it in") {
    orders::Order picky = order("A");
    picky.earliest_arrival = day("2027-03-04");
    picky.latest_arrival = day("2027-03-05");
    picky.buyer_away = {{day("2027-03-05"), day("2027-03-05")}};
    const Week week = week_of({picky});
    REQUIRE(week.orders[0].chosen);
    CHECK(week.orders[0].chosen->trip.delivery_date == day("2027-03-04"));
    CHECK(says(week.orders[0], "before the earliest day"));
}

TEST_CASE("only services that the order allows are used") {
    orders::Order only = order("A");
    only.services = {"night-air+held"};
    const Week week = week_of({only});
    REQUIRE(week.orders[0].chosen);
    CHECK(week.orders[0].chosen->service->id == "night-air+held");
}

TEST_CASE("an order that is unsafe on every day waits and is told how unsafe") {
    const Week week = week_of({order("A", "Tampa FL", "dart-frog")});
    CHECK_FALSE(week.orders[0].chosen);
    CHECK(week.orders[0].because.empty());
    CHECK(says(week.orders[0], "unsafe at best"));
}

TEST_CASE("an order to a place without weather waits and says so") {
    const testing::WithoutPlace source("Albany NY");
    const std::vector<orders::Order> orders{order("A"), order("B", "Sacramento CA", "hermanns-tortoise")};
    const Week week = plan_week(testing::starter(), {}, source, orders, request());
    CHECK_FALSE(week.orders[0].chosen);
    CHECK(says(week.orders[0], "the weather is not known"));
    CHECK(week.orders[1].chosen);
}

TEST_CASE("the worst verdict that may be planned is kept") {
    Limits limits;
    limits.worst_verdict = Verdict::comfortable;
    limits.boxes_per_day = 1;
    const Week week = week_of({order("A"), order("B"), order("C")}, limits);
    for (const WeekOrder& one : week.orders) {
        if (one.chosen) CHECK(one.chosen->verdict == Verdict::comfortable);
    }
}

TEST_CASE("a night that parcels share makes two late ones likelier than luck of their own would") {
    WeekRequest one_day = request();
    one_day.from = day("2027-03-02");
    one_day.days = 1;
    const Week week = week_of({order("A"), order("B"), order("C")}, {}, one_day);
    REQUIRE(week.nights.size() == 1);
    CHECK(week.nights[0].numbers == std::vector<std::string>{"A", "B", "C"});
    CHECK(week.nights[0].two_or_more > 2 * week.nights[0].two_or_more_apart);
}

TEST_CASE("of two parcels of a night the chance that both are late is that of the two-parcel formula") {
    WeekRequest one_day = request();
    one_day.from = day("2027-03-02");
    one_day.days = 1;
    const Week week = week_of({order("A"), order("B")}, {}, one_day);
    REQUIRE(week.nights.size() == 1);
    const planning::Option& a = *week.orders[0].chosen;
    const planning::Option& b = *week.orders[1].chosen;
    const double both =
        odds::chance_both_late(a.assessment.late, b.assessment.late, a.service->late_together);
    const double error = std::sqrt(both * (1 - both) / 65536);
    CHECK(std::abs(week.nights[0].two_or_more - both) < 4 * error);
    CHECK(week.nights[0].two_or_more_apart == Approx(a.assessment.late.late() * b.assessment.late.late()));
}

TEST_CASE("the week is the same on any number of threads") {
    const std::vector<orders::Order> orders{order("A"), order("B", "Duluth MN"), order("C", "Sacramento CA"),
                                            order("D", "Bozeman MT")};
    WeekRequest three = request();
    three.threads = 3;
    const Week a = week_of(orders);
    const Week b = week_of(orders, {}, three);
    for (std::size_t i = 0; i < orders.size(); ++i) {
        REQUIRE(a.orders[i].chosen.has_value() == b.orders[i].chosen.has_value());
        if (!a.orders[i].chosen) continue;
        CHECK(testing::key_of(*a.orders[i].chosen) == testing::key_of(*b.orders[i].chosen));
        CHECK(a.orders[i].chosen->assessment.all->hours_outside.value ==
              b.orders[i].chosen->assessment.all->hours_outside.value);
    }
}
