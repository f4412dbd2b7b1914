// What goes into the order book comes out of it.
#include "mildway/orders/order_book.hpp"

#include "mildway/base/errors.hpp"

#include "catch.hpp"
#include "made_orders.hpp"
#include "same.hpp"
#include "temp_workspace.hpp"

#include <algorithm>

#include <sys/stat.h>

using namespace mildway;
using namespace mildway::orders;
using namespace mildway::testing;
using Catch::Matchers::Contains;
namespace fs = std::filesystem;

namespace {

struct Desk {
    TempFolder folder;
    fs::path file = folder.path() / kBookFile;
    OrderBook book{file, OrderBook::Access::write};
};

mode_t mode_of(const fs::path& file) {
    struct stat found {};
    REQUIRE(stat(file.c_str(), &found) == 0);
    return found.st_mode & 07777;
}

std::vector<std::string> numbers(const std::vector<Order>& orders) {
    std::vector<std::string> result;
    for (const Order& order : orders) result.push_back(order.number);
    return result;
}

}  // namespace

TEST_CASE("a book that is not there reads as empty and is not made") {
    const TempFolder folder;
    const OrderBook book(folder.path() / kBookFile);
    CHECK(book.orders().empty());
    CHECK(book.faults().empty());
    CHECK_FALSE(book.has("1"));
    CHECK(fs::is_empty(folder.path()));
}

TEST_CASE("an empty file reads as an empty book") {
    const TempFolder folder;
    spill(folder.path() / kBookFile, "");
    CHECK(OrderBook(folder.path() / kBookFile).orders().empty());
}

TEST_CASE("the book and the files beside it are for their owner alone") {
    Desk desk;
    added(desk.book, made_order("JB-1"));
    CHECK(mode_of(desk.file) == 0600);
    CHECK(mode_of(desk.file.string() + "-wal") == 0600);
    CHECK(mode_of(desk.file.string() + "-shm") == 0600);
}

TEST_CASE("an order comes back as it was added") {
    Desk desk;
    const Order order = added(desk.book, made_order("JB-1", "buyer-01@example.org"));
    CHECK(order.id > 0);
    CHECK(order.revision == 1);
    CHECK(order.state == State::open);
    CHECK(order.entered == kNow);
    CHECK(same_entry(order, made_order("JB-1", "buyer-01@example.org")));
    CHECK(same(desk.book.order("JB-1"), order));
    CHECK(same(OrderBook(desk.file).order("jb-1"), order));
    CHECK(same(desk.book.orders().at(0), order));
}

TEST_CASE("texts come back byte by byte") {
    Desk desk;
    const auto text = GENERATE(as<std::string>(), "", "Ærøskøbing \xF0\x9F\x90\xA2", "two\nlines\r\n\ttab",
                               "'; DROP TABLE orders; --", std::string("with\0zero", 9),
                               std::string(100'000, 'x'), " blanks ");
    Order order = made_order("JB-1", "buyer-01@example.org");
    order.buyer.name = order.buyer.address = order.destination = order.place.name = order.place.zone = text;
    order.place.region = order.species = order.note = order.animals[0].mark = order.services[1] = text;
    added(desk.book, order);
    CHECK(same_entry(desk.book.order("JB-1"), order));
}

TEST_CASE("numbers and dates at their ends come back as they were") {
    Desk desk;
    Order order = made_order("JB-1");
    order.earliest_arrival = day("0000-01-01");
    order.latest_arrival = day("9999-12-31");
    order.buyer_away = {{day("0000-02-29"), day("2028-02-29")}};
    order.place.latitude_deg = -90;
    order.place.longitude_deg = 0.1 + 0.2;
    order.place.elevation_m = -430.5;
    order.animals[0].mass_g = 5e-324;
    order.value_usd = 0;
    added(desk.book, order);
    CHECK(same_entry(desk.book.order("JB-1"), order));
}

TEST_CASE("an order with nothing but what it must have comes back as it was") {
    Desk desk;
    Order order;
    order.number = "JB-1";
    order.animals = {{}};
    added(desk.book, order);
    CHECK(same_entry(desk.book.order("JB-1"), order));
}

TEST_CASE("every climate can be kept") {
    Desk desk;
    for (std::size_t i = 0; i < climate_names().size(); ++i) {
        Order order = made_order(climate_names()[i]);
        order.place.climate = static_cast<Climate>(i);
        added(desk.book, order);
        CHECK(desk.book.order(climate_names()[i]).place.climate == order.place.climate);
    }
}

TEST_CASE("orders come by number, digits as numbers, whatever the case") {
    Desk desk;
    for (const char* number : {"JB-10", "jb-9", "7", "JB-100", "10", "JB", "a-2-10", "A-2-9", "007"})
        added(desk.book, made_order(number));
    const std::vector<std::string> expected{"007", "7",    "10",    "A-2-9", "a-2-10",
                                            "JB",  "jb-9", "JB-10", "JB-100"};
    CHECK(numbers(desk.book.orders()) == expected);
}

TEST_CASE("only orders in the wanted states are listed") {
    Desk desk;
    for (const char* number : {"1", "2", "3"}) added(desk.book, made_order(number));
    changed(desk.book, "2", [](Change& change, const Order& order) { change.cancel(order, "sold here"); });
    changed(desk.book, "3", [](Change& change, const Order& order) { change.choose(order, made_choice()); });
    CHECK(numbers(desk.book.orders({{State::open}})) == std::vector<std::string>{"1"});
    CHECK(numbers(desk.book.orders({{State::planned, State::cancelled}})) ==
          std::vector<std::string>{"2", "3"});
    CHECK(desk.book.orders({{State::arrived}}).empty());
    CHECK(numbers(desk.book.orders()) == std::vector<std::string>{"1", "2", "3"});
}

TEST_CASE("orders of many states keep their own animals and days") {
    Desk desk;
    for (int i = 1; i <= 20; ++i) {
        Order order = made_order(std::to_string(i));
        order.animals.assign(static_cast<std::size_t>(i % 4 + 1),
                             {std::to_string(i), 10.0 + i, std::nullopt});
        order.buyer_away.resize(static_cast<std::size_t>(i % 3));
        order.services.resize(static_cast<std::size_t>(i % 2));
        added(desk.book, order);
        if (i % 3 == 0)
            changed(desk.book, order.number,
                    [](Change& change, const Order& o) { change.choose(o, made_choice()); });
    }
    for (const Order& order : desk.book.orders()) {
        Order alone = desk.book.order(order.number);
        if (alone.choice) alone.choice->document.clear();
        CHECK(same(order, alone));
    }
}

TEST_CASE("an order that is not there is named with the nearest number") {
    Desk desk;
    added(desk.book, made_order("JB-1041"));
    CHECK_THROWS_WITH(desk.book.order("JB-1O41"), Contains("JB-1O41") && Contains("did you mean 'JB-1041'"));
    CHECK_THROWS_AS(desk.book.order("JB-1O41"), UsageError);
}

TEST_CASE("the choice in force comes with its document, and without it in lists") {
    Desk desk;
    added(desk.book, made_order("JB-1"));
    changed(desk.book, "JB-1",
            [](Change& change, const Order& order) { change.choose(order, made_choice()); });
    Choice expected = made_choice();
    expected.version = 1;
    CHECK(same(desk.book.order("JB-1").choice, std::optional(expected)));
    CHECK(same(desk.book.choices(desk.book.order("JB-1").id), {expected}));
    expected.document.clear();
    CHECK(same(desk.book.orders().at(0).choice, std::optional(expected)));
}

TEST_CASE("a choice with unknown figures comes back so") {
    Desk desk;
    added(desk.book, made_order("JB-1"));
    Choice choice = made_choice();
    choice.hours_outside = choice.chance_outside = choice.chance_harm = std::nullopt;
    choice.verdict = Verdict::unknown;
    choice.document.clear();
    changed(desk.book, "JB-1", [&](Change& change, const Order& order) { change.choose(order, choice); });
    choice.version = 1;
    CHECK(same(desk.book.order("JB-1").choice, std::optional(choice)));
}

TEST_CASE("checks come back oldest first, and the newest of the choice in force for many orders") {
    Desk desk;
    added(desk.book, made_order("1"));
    added(desk.book, made_order("2"));
    added(desk.book, made_order("3"));
    for (const char* number : {"1", "2"})
        changed(desk.book, number,
                [](Change& change, const Order& order) { change.choose(order, made_choice()); });
    {
        const Order one = desk.book.order("1");
        Change change(desk.book, kNow);
        CHECK(change.reassess(one, made_check(1, "colder")));
        CHECK(change.reassess(one, made_check(1, "warmer")));
        change.commit();
    }
    CHECK(same(desk.book.reassessments(desk.book.order("1").id),
               {made_check(1, "colder"), made_check(1, "warmer")}));
    auto newest = desk.book.newest_reassessments(desk.book.orders());
    REQUIRE(newest.size() == 3);
    CHECK(same(newest[0], std::optional(made_check(1, "warmer"))));
    CHECK_FALSE(newest[1]);
    CHECK_FALSE(newest[2]);
    changed(desk.book, "1", [](Change& change, const Order& order) { change.choose(order, made_choice()); });
    CHECK_FALSE(desk.book.newest_reassessments(desk.book.orders()).at(0));
}

TEST_CASE("the newest proposal comes with the order") {
    Desk desk;
    added(desk.book, made_order("1"));
    Proposal proposal;
    proposal.made = kNow;
    proposal.days = {{day("2027-03-02"), day("2027-03-03"), Verdict::tight},
                     {day("2027-03-04"), day("2027-03-06"), Verdict::comfortable}};
    changed(desk.book, "1",
            [&](Change& change, const Order& order) { CHECK(change.propose(order, proposal) == 1); });
    proposal.days.pop_back();
    changed(desk.book, "1",
            [&](Change& change, const Order& order) { CHECK(change.propose(order, proposal) == 2); });
    proposal.version = 2;
    CHECK(same(desk.book.order("1").proposal, std::optional(proposal)));
    proposal.days.clear();
    changed(desk.book, "1",
            [&](Change& change, const Order& order) { CHECK(change.propose(order, proposal) == 3); });
    proposal.version = 3;
    CHECK(same(desk.book.orders().at(0).proposal, std::optional(proposal)));
}

TEST_CASE("an outcome comes back with the logger's file") {
    Desk desk;
    const auto id = added(desk.book, made_order("1")).id;
    CHECK_FALSE(desk.book.outcome(id));
    Outcome outcome{at("2027-03-03T16:00:00Z"), 2,           1, 17.5, "box 3.csv",
                    std::string("a\0b\xff", 4), "one sleepy"};
    changed(desk.book, "1", [](Change& change, const Order& order) { change.choose(order, made_choice()); });
    changed(desk.book, "1", [](Change& change, const Order& order) { change.hand_over(order, kNow); });
    changed(desk.book, "1", [&](Change& change, const Order& order) { change.arrive(order, outcome); });
    CHECK(same(desk.book.outcome(id), std::optional(outcome)));
    CHECK(desk.book.order("1").handed_over == kNow);
}

TEST_CASE("lines say what the orders say, with the newest check") {
    Desk desk;
    for (const char* number : {"JB-10", "JB-9", "JB-8"}) added(desk.book, made_order(number));
    for (const char* number : {"JB-10", "JB-9"})
        changed(desk.book, number,
                [](Change& change, const Order& order) { change.choose(order, made_choice()); });
    changed(desk.book, "JB-10", [](Change& change, const Order& order) {
        Reassessment found = made_check(1);
        found.standing = Verdict::unsafe;
        change.reassess(order, made_check(1));
        change.reassess(order, found);
    });
    const auto orders = desk.book.orders();
    const auto lines = desk.book.lines();
    REQUIRE(lines.size() == 3);
    for (std::size_t i = 0; i < lines.size(); ++i) {
        CHECK(lines[i].id == orders[i].id);
        CHECK(lines[i].number == orders[i].number);
        CHECK(lines[i].state == orders[i].state);
        CHECK(lines[i].buyer == "Buyer One");
        CHECK(lines[i].destination == "Duluth MN");
        CHECK(lines[i].species == "hermanns-tortoise");
        CHECK(lines[i].animals == 2);
        CHECK(lines[i].ship_date.has_value() == orders[i].choice.has_value());
    }
    CHECK_FALSE(lines[0].verdict);
    CHECK(lines[1].verdict == Verdict::tight);
    CHECK_FALSE(lines[1].flagged);
    CHECK(lines[2].verdict == Verdict::unsafe);
    CHECK(lines[2].flagged);
    CHECK(lines[2].delivery_date == day("2027-03-03"));
    CHECK(desk.book.lines({{State::open}}).size() == 1);
}

TEST_CASE("a book opened for reading cannot be changed") {
    Desk desk;
    OrderBook book(desk.book.file());
    CHECK_THROWS_AS(Change(book, kNow), std::logic_error);
}
