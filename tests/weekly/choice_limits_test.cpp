// What one choice breaks of the breeder's limits.
#include "mildway/weekly/choice_limits.hpp"

#include "catch.hpp"
#include "plan_world.hpp"

using namespace mildway;
using namespace mildway::weekly;

namespace {

const Date kTuesday{date::year{2027} / 3 / 2};

planning::Option option(const char* packing) {
    planning::Option one;
    one.ship_date = kTuesday;
    one.packing = &testing::starter().packings.find(packing);
    return one;
}

orders::Order planned(std::int64_t id) {
    orders::Order one;
    one.id = id;
    one.state = orders::State::planned;
    one.choice = orders::Choice{};
    one.choice->ship_date = kTuesday;
    one.choice->packing = "small-19-1s";
    return one;
}

std::vector<std::string> broken(const Limits& limits, const orders::Order& order) {
    const std::vector<orders::Order> book{planned(1), planned(2)};
    return limits_broken_by(testing::starter(), limits, book, order, option("small-19-1s"));
}

orders::Order open_one() {
    orders::Order one;
    one.id = 3;
    return one;
}

}  // namespace

TEST_CASE("a choice is told that its day is away or full and what it takes is not there") {
    Limits limits;
    limits.boxes_per_day = 2;
    limits.days_away = {{kTuesday, kTuesday}};
    limits.stock = StockCount{kTuesday, {}, {{"slow-72h", 2}}, {}};
    CHECK(broken(limits, open_one()) == std::vector<std::string>{"you are away on Tue 2 Mar",
                                                                 "Tue 2 Mar is full (2 a day)",
                                                                 "no warmer 'slow-72h' is left for it"});
}

TEST_CASE("a choice that the limits have room for breaks nothing") {
    Limits limits;
    CHECK(broken(limits, open_one()).empty());
    limits.boxes_per_day = 3;
    limits.stock = StockCount{kTuesday, {}, {{"slow-72h", 3}}, {}};
    CHECK(broken(limits, open_one()).empty());
}

TEST_CASE("an order that is chosen anew gives back what its old choice took") {
    Limits limits;
    limits.boxes_per_day = 2;
    limits.stock = StockCount{kTuesday, {}, {{"slow-72h", 2}}, {}};
    CHECK(broken(limits, planned(2)).empty());
}
