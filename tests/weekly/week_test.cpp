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

namespace {

/// Planned with a day of its own and no other that suits: the buyer is away all the week.
orders::Order stuck(const std::string& number, const char* ship_date) {
    orders::Order one = planned(number, ship_date, "small-19-1s");
    one.buyer_away = {{day("2027-03-01"), day("2027-03-12")}};
    return one;
}

WeekRequest anew(int days = 5) {
    WeekRequest asked = request();
    asked.replan = true;
    asked.days = days;
    return asked;
}

std::size_t keeping(const Week& week) {
    return static_cast<std::size_t>(std::count_if(week.orders.begin(), week.orders.end(),
                                                  [](const WeekOrder& one) { return one.keeps_plan; }));
}

bool any_says(const std::vector<std::string>& sentences, const std::string& words) {
    return std::any_of(sentences.begin(), sentences.end(),
                       [&](const std::string& one) { return one.find(words) != std::string::npos; });
}

}  // namespace

TEST_CASE("a planned order that finds no new day keeps its things when all is planned anew") {
    Limits limits;
    limits.stock = StockCount{day("2027-03-01"), {}, {{"slow-72h", 1}}, {}};
    const Week week = week_of({stuck("A", "2027-03-11"), order("B")}, limits, anew());
    CHECK(week.orders[0].keeps_plan);
    CHECK_FALSE(week.orders[0].chosen);
    REQUIRE(week.kept.size() == 1);
    CHECK(week.kept[0].order.number == "A");
    CHECK(week.kept[0].chosen_anew == 0u);
    CHECK(week.stock[0].kept == 1);
    CHECK(week.stock[0].taken == 0);
    CHECK(week.broken.empty());
}

TEST_CASE("a planned order that finds no new day keeps its place when all is planned anew") {
    Limits limits;
    limits.boxes_per_day = 1;
    const Week week = week_of({stuck("A", "2027-03-02"), order("B")}, limits, anew(2));
    CHECK(week.orders[0].keeps_plan);
    CHECK(week.days[1].kept == 1);
    CHECK(week.days[1].orders.empty());
}

TEST_CASE("planned orders that lose against others keep what they had and limits hold over all of them") {
    Limits limits;
    limits.boxes_per_day = 1;
    limits.stock = StockCount{day("2027-03-01"), {{"small-19", 3}}, {{"slow-72h", 3}}, {}};
    WeekRequest tuesday = anew(1);
    tuesday.from = day("2027-03-02");
    const std::vector<orders::Order> orders{planned("A", "2027-03-08", "small-19-1s"),
                                            planned("B", "2027-03-09", "small-19-1s"),
                                            planned("C", "2027-03-10", "small-19-1s"), order("D")};
    const Week week = week_of(orders, limits, tuesday);
    CHECK(shipped(week) == 1);
    CHECK(keeping(week) >= 2);
    for (const WeekOrder& one : week.orders) {
        const bool was_planned = one.order.state == orders::State::planned;
        CHECK(was_planned == (one.keeps_plan || (was_planned && one.chosen.has_value())));
        if (one.keeps_plan) CHECK_FALSE(one.because.empty());
    }
    CHECK(week.stock[0].kept == static_cast<int>(keeping(week)));
    for (const StockItem& item : week.stock) CHECK(item.left() >= 0);
}

TEST_CASE("kept plans are told with their last verdict and past ones first") {
    std::vector<orders::Order> orders{planned("A", "2027-03-04", "small-19-1s"),
                                      planned("B", "2027-02-26", "small-19-1s"), order("C")};
    orders[0].choice->verdict = Verdict::comfortable;
    orders[1].choice->verdict = Verdict::comfortable;
    orders::Reassessment check;
    check.verdict = Verdict::comfortable;
    check.standing = Verdict::tight;
    check.side = Side::warm;
    check.flagged = true;
    const std::vector<std::optional<orders::Reassessment>> checks{check, std::nullopt, std::nullopt};
    const Week week = plan_week(testing::starter(), {}, testing::demo_weather(), orders, request(), checks);
    REQUIRE(week.kept.size() == 2);
    CHECK(week.kept[0].order.number == "B");
    CHECK(week.kept[0].past);
    CHECK_FALSE(week.kept[0].checked);
    CHECK(week.kept[0].verdict == Verdict::comfortable);
    CHECK_FALSE(week.kept[1].past);
    CHECK(week.kept[1].flagged);
    CHECK(week.kept[1].verdict == Verdict::tight);
    CHECK(week.kept[1].side == Side::warm);
    CHECK(week.broken.empty());
}

TEST_CASE("a day that is too full or away and stock that is short are told of kept plans") {
    Limits limits;
    limits.boxes_per_day = 1;
    limits.days_away = {{day("2027-03-04"), day("2027-03-04")}};
    limits.stock = StockCount{day("2027-03-01"), {}, {{"slow-72h", 2}}, {}};
    std::vector<orders::Order> orders{
        planned("A", "2027-03-02", "small-19-1s"), planned("B", "2027-03-02", "small-19-1s"),
        planned("C", "2027-03-04", "small-19-1s"), planned("D", "2027-02-26", "small-19-1s")};
    orders[3].state = orders::State::handed_over;
    orders[3].handed_over = parse_instant("2027-02-26T23:30:00Z");
    const Week week = week_of(orders, limits);
    REQUIRE(week.broken.size() == 3);
    CHECK(
        any_says(week.broken, "Tue 2 Mar: 2 parcels, of 1 that may be packed a day. Planned before: A, B."));
    CHECK(any_says(week.broken, "Thu 4 Mar: you are away, and planned for it: C."));
    CHECK(any_says(week.broken, "Short of warmer 'slow-72h': 1 more"));
}

TEST_CASE("orders whose packing is gone are named as not counted") {
    Limits limits;
    const std::vector<orders::Order> orders{planned("A", "2027-03-02", "small-19-1s"),
                                            planned("B", "2027-03-02", "renamed")};
    CHECK(week_of(orders, limits).broken.empty());
    limits.stock = StockCount{day("2027-03-01"), {{"small-19", 4}}, {}, {}};
    const Week week = week_of(orders, limits);
    REQUIRE(week.broken.size() == 1);
    CHECK(any_says(week.broken, "Not counted in the stock: B."));
}

TEST_CASE("the next best day of an order is one that the others leave free") {
    Limits limits;
    limits.boxes_per_day = 1;
    WeekRequest two_days = request();
    two_days.from = day("2027-03-02");
    two_days.days = 2;
    const std::vector<orders::Order> orders{order("A"), order("B")};
    const Week full = week_of(orders, limits, two_days);
    REQUIRE(shipped(full) == 2);
    for (const WeekOrder& one : full.orders) {
        REQUIRE(one.best_of_days.size() == 2);
        CHECK_FALSE(one.next_best);
    }
    for (const WeekOrder& one : week_of(orders, {}, two_days).orders) CHECK(one.next_best);
}

TEST_CASE("an order whose species or service is gone waits with the reason and stops no other") {
    orders::Order nobody = order("A");
    nobody.species = "unicorn";
    orders::Order nowhere = order("B");
    nowhere.services = {"owl"};
    const Week week = week_of({nobody, nowhere, order("C")});
    CHECK(week.orders[0].gone == "species.json has no 'unicorn' any more");
    CHECK_THAT(week.orders[1].gone, Catch::Contains("services.json has no 'owl' any more"));
    CHECK_FALSE(week.orders[0].chosen);
    CHECK_FALSE(week.orders[1].chosen);
    CHECK(week.orders[2].gone.empty());
    CHECK(week.orders[2].chosen);
}
