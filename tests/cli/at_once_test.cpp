// Two checks and a week at once, as cron and a person at the keyboard may have it.
#include "book_world.hpp"
#include "catch.hpp"

#include <set>

using namespace mildway;
using testing::BookWorld;

namespace {

constexpr int kOrders = 6;
constexpr int kRounds = 50;
constexpr int kMostRounds = 300;

/// How many checks the book keeps of each order, one number for each that is kept of any.
std::set<std::size_t> kept_checks(const orders::OrderBook& book) {
    std::set<std::size_t> kept;
    for (const orders::Order& order : book.orders()) kept.insert(book.reassessments(order.id).size());
    return kept;
}

std::vector<std::string> with_weather(const BookWorld& world, std::vector<std::string> words) {
    const std::vector<std::string> more{"--recorded", world.file("weather"), "--scenarios", "128"};
    words.insert(words.end(), more.begin(), more.end());
    return words;
}

}  // namespace

TEST_CASE("Two checks and a week that are run at once all end well and leave a sound book") {
    const BookWorld world(kOrders);
    REQUIRE(world.run({"order", "import", world.file("orders.csv"), "--apply"}) == 0);
    const auto week = with_weather(world, {"week", "--days", "2", "--replan", "--apply"});
    REQUIRE(world.run(week) <= 1);
    const auto check = with_weather(world, {"check"});
    constexpr int kBusy = 5;
    bool any_kept = false;  // a check that a week was always faster than would keep nothing
    for (int round = 1; round <= kRounds || (!any_kept && round <= kMostRounds); ++round) {
        const pid_t first = world.start(check);
        const pid_t planner = world.start(week);
        const pid_t second = world.start(check);
        const std::set<int> checks{BookWorld::wait(first), BookWorld::wait(second)};
        const int planned = BookWorld::wait(planner);
        INFO("round " << round);
        CHECK((planned == 0 || planned == 1));
        for (const int code : checks) CHECK((code == 0 || code == 1 || code == kBusy));
        CHECK(checks != std::set<int>{kBusy});

        const orders::OrderBook book = world.book();
        REQUIRE(book.faults().empty());
        const auto orders = book.orders();
        REQUIRE(orders.size() == kOrders);
        for (const orders::Order& order : orders) {
            CHECK(order.state == orders::State::planned);
            CHECK(order.choice->version == round + 1);
            CHECK(book.choices(order.id).size() == static_cast<std::size_t>(round) + 1);
            for (const orders::Reassessment& found : book.reassessments(order.id))
                CHECK(found.choice_version <= order.choice->version);
        }
        // a check keeps what it found of all orders or, after a week came between, of none
        const auto kept = kept_checks(book);
        REQUIRE(kept.size() == 1);
        any_kept = *kept.begin() > 0;
    }
    CHECK(any_kept);
}
