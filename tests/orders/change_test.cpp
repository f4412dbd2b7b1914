// What each state allows, and who notices a change.
#include "mildway/base/errors.hpp"
#include "mildway/orders/order_book.hpp"

#include "catch.hpp"
#include "made_orders.hpp"
#include "same.hpp"
#include "temp_workspace.hpp"

#include <functional>
#include <limits>
#include <map>

using namespace mildway;
using namespace mildway::orders;
using namespace mildway::testing;
using Catch::Matchers::Contains;

namespace {

struct Desk {
    TempFolder folder;
    OrderBook book{folder.path() / kBookFile, OrderBook::Access::write};

    /// An order "1" in that state.
    Order in_state(State state) {
        Order order = added(book, made_order("1"));
        if (state == State::cancelled) go([](Change& c, const Order& o) { c.cancel(o, "sold here"); });
        if (state != State::open && state != State::cancelled)
            go([](Change& c, const Order& o) { c.choose(o, made_choice()); });
        if (state == State::handed_over || state == State::arrived)
            go([](Change& c, const Order& o) { c.hand_over(o, kNow); });
        if (state == State::arrived)
            go([](Change& c, const Order& o) { c.arrive(o, {kNow, 2, 2, {}, "", "", ""}); });
        return book.order("1");
    }
    void go(const std::function<void(Change&, const Order&)>& work) { changed(book, "1", work); }
};

constexpr State kStates[] = {State::open, State::planned, State::handed_over, State::arrived,
                             State::cancelled};

Proposal made_proposal() {
    Proposal proposal;
    proposal.made = kNow;
    proposal.days = {{day("2027-03-02"), day("2027-03-03"), Verdict::tight}};
    return proposal;
}

struct Step {
    const char* name;
    std::function<void(Change&, const Order&)> make;
    /// Where it leads from each state; states that are not here refuse it.
    std::map<State, State> leads;
};

const std::vector<Step>& steps() {
    static const std::vector<Step> kSteps{
        {"edit",
         [](Change& c, const Order& o) { c.edit(o, "note"); },
         {{State::open, State::open}, {State::planned, State::planned}}},
        {"choose",
         [](Change& c, const Order& o) { c.choose(o, made_choice()); },
         {{State::open, State::planned}, {State::planned, State::planned}}},
        {"take back",
         [](Change& c, const Order& o) { c.take_back(o, "stock"); },
         {{State::planned, State::open}}},
        {"cancel",
         [](Change& c, const Order& o) { c.cancel(o, "sold here"); },
         {{State::open, State::cancelled}, {State::planned, State::cancelled}}},
        {"hand over",
         [](Change& c, const Order& o) { c.hand_over(o, kNow); },
         {{State::planned, State::handed_over}}},
        {"un-hand-over",
         [](Change& c, const Order& o) { c.take_back_hand_over(o, "wrong order"); },
         {{State::handed_over, State::planned}}},
        {"arrive",
         [](Change& c, const Order& o) {
             c.arrive(o, {kNow, 2, 1, {}, "", "", ""});
         },
         {{State::handed_over, State::arrived}}},
        {"propose",
         [](Change& c, const Order& o) { c.propose(o, made_proposal()); },
         {{State::open, State::open}}},
    };
    return kSteps;
}

}  // namespace

TEST_CASE("each change leads from the states that allow it and is refused in the others") {
    for (const Step& step : steps()) {
        for (const State state : kStates) {
            CAPTURE(step.name, state_name(state));
            Desk desk;
            const Order before = desk.in_state(state);
            const auto leads = step.leads.find(state);
            if (leads == step.leads.end()) {
                CHECK_THROWS_AS(desk.go(step.make), UsageError);
                CHECK_THROWS_WITH(desk.go(step.make),
                                  Contains("order 1 is " + std::string(state_name(state))));
                CHECK(same(desk.book.order("1"), before));
            } else {
                const auto events = desk.book.events(before.id).size();
                desk.go(step.make);
                CHECK(desk.book.order("1").state == leads->second);
                CHECK(desk.book.order("1").revision == before.revision + 1);
                CHECK(desk.book.events(before.id).size() == events + 1);
            }
        }
    }
}

TEST_CASE("a change made from an older order is refused") {
    for (const Step& step : steps()) {
        CAPTURE(step.name);
        Desk desk;
        const Order old = desk.in_state(step.leads.begin()->first);
        {
            Change other(desk.book, kNow);
            if (old.state == State::handed_over) {
                other.arrive(old, {kNow, 1, 1, {}, "", "", ""});
            } else {
                other.edit(old, "note");
            }
            other.commit();
        }
        const Order before = desk.book.order("1");
        {
            Change change(desk.book, kNow);
            CHECK_THROWS_WITH(step.make(change, old), Contains("order 1") && Contains("changed since"));
        }
        CHECK(same(desk.book.order("1"), before));
    }
}

TEST_CASE("choices are counted, and stay when another is made or one is taken back") {
    Desk desk;
    const auto id = desk.in_state(State::planned).id;
    desk.go([](Change& c, const Order& o) { CHECK(c.choose(o, made_choice("2027-03-04")) == 2); });
    CHECK(desk.book.order("1").choice->version == 2);
    CHECK(desk.book.order("1").choice->ship_date == day("2027-03-04"));
    desk.go([](Change& c, const Order& o) { c.take_back(o, "no warmers"); });
    CHECK_FALSE(desk.book.order("1").choice);
    desk.go([](Change& c, const Order& o) { CHECK(c.choose(o, made_choice()) == 3); });
    CHECK(desk.book.choices(id).size() == 3);
}

TEST_CASE("the choice is kept after hand-over and goes when the order is cancelled") {
    const auto state = GENERATE(State::handed_over, State::arrived);
    Desk desk;
    CHECK(desk.in_state(state).choice->version == 1);
    Desk other;
    other.in_state(State::planned);
    other.go([](Change& c, const Order& o) { c.cancel(o, "sold here"); });
    CHECK_FALSE(other.book.order("1").choice);
}

TEST_CASE("a check is written only to a planned order with that choice") {
    for (const State state : kStates) {
        CAPTURE(state_name(state));
        Desk desk;
        const Order before = desk.in_state(state);
        Change change(desk.book, kNow);
        CHECK(change.reassess(before, made_check(1, "colder")) == (state == State::planned));
        CHECK_FALSE(change.reassess(before, made_check(2, "colder")));
        Order no_such = before;
        ++no_such.id;
        CHECK_FALSE(change.reassess(no_such, made_check(1, "colder")));
        change.commit();
        CHECK(desk.book.reassessments(before.id).size() == (state == State::planned ? 1 : 0));
        CHECK(same(desk.book.order("1"), before));
    }
}

TEST_CASE("a check of an order that was changed meanwhile is not written though its plan stands") {
    Desk desk;
    const Order read = desk.in_state(State::planned);
    desk.go([](Change& c, const Order& o) {
        Order changed = o;
        changed.note = "door code 12";
        c.edit(changed, "note");
    });
    Change change(desk.book, kNow);
    CHECK_FALSE(change.reassess(read, made_check(1, "colder")));
    CHECK(change.reassess(desk.book.order("1"), made_check(1, "colder")));
}

TEST_CASE("reasons and names of files that are no text are refused and nothing is written") {
    const std::string no_text = "sold\xff";
    Desk desk;
    const Order planned = desk.in_state(State::planned);
    CHECK_THROWS_WITH(desk.go([&](Change& c, const Order& o) { c.take_back(o, no_text); }),
                      Contains("order 1: the reason is not text in UTF-8"));
    CHECK_THROWS_WITH(desk.go([&](Change& c, const Order& o) { c.cancel(o, no_text); }),
                      Contains("the reason is not text in UTF-8"));
    CHECK(same(desk.book.order("1"), planned));
    desk.go([](Change& c, const Order& o) { c.hand_over(o, kNow); });
    CHECK_THROWS_WITH(desk.go([&](Change& c, const Order& o) {
        c.arrive(o, {kNow, 2, 2, {}, "log\xff.csv", "x", ""});
    }),
                      Contains("the name of the logger's file is not text in UTF-8"));
}

TEST_CASE("a check that found nothing new makes no event") {
    Desk desk;
    const Order planned = desk.in_state(State::planned);
    const auto id = planned.id;
    const auto before = desk.book.events(id).size();
    Change change(desk.book, kNow);
    change.reassess(planned, made_check(1, ""));
    CHECK(desk.book.events(id).size() == before);
    change.reassess(planned, made_check(1, "colder at the doorstep"));
    REQUIRE(desk.book.events(id).size() == before + 1);
    CHECK(desk.book.events(id).back().text == "colder at the doorstep");
}

TEST_CASE("events tell what happened, oldest first") {
    Desk desk;
    const auto id = desk.in_state(State::arrived).id;
    std::vector<std::string> kinds;
    for (const Event& event : desk.book.events(id)) kinds.push_back(event.kind);
    CHECK(kinds == std::vector<std::string>{"entered", "planned", "handed over", "arrived"});
    CHECK(desk.book.events(id).at(1).text == "for Tue 2 Mar, Night, 38 mm + 40 h warmer");
    CHECK(desk.book.events(id).at(3).text == "2 of 2 alive, 2 well");
    CHECK(desk.book.events(id).at(3).at == kNow);
}

TEST_CASE("a change that is not committed leaves nothing") {
    Desk desk;
    const Order before = desk.in_state(State::planned);
    {
        Change change(desk.book, kNow);
        change.add(made_order("2", "buyer-02@example.org"));
        change.choose(before, made_choice());
        change.reassess(before, made_check(2, "colder"));
        CHECK(desk.book.order("1").revision == before.revision + 1);
    }
    CHECK(same(desk.book.order("1"), before));
    CHECK_FALSE(desk.book.has("2"));
    CHECK(desk.book.events(before.id).size() == 2);
    CHECK(desk.book.reassessments(before.id).empty());
}

TEST_CASE("a refused change leaves the earlier ones of its transaction") {
    Desk desk;
    Change change(desk.book, kNow);
    change.add(made_order("1"));
    CHECK_THROWS_AS(change.add(made_order("1")), UsageError);
    change.add(made_order("2"));
    change.commit();
    CHECK(desk.book.orders().size() == 2);
}

TEST_CASE("numbers are unique whatever their case") {
    Desk desk;
    added(desk.book, made_order("JB-1"));
    CHECK_THROWS_WITH(added(desk.book, made_order("jb-1")), Contains("there is an order jb-1 already"));
    added(desk.book, made_order("JB-2"));
    const auto rename = [&](const char* number) {
        changed(desk.book, "JB-2", [&](Change& change, Order order) {
            order.number = number;
            change.edit(order, "number");
        });
    };
    CHECK_THROWS_WITH(rename("jb-1"), Contains("there is an order jb-1 already"));
    CHECK_THROWS_AS(rename(""), UsageError);
    rename("jb-2");
    CHECK(desk.book.order("JB-2").number == "jb-2");
}

TEST_CASE("an order without a number is given the next free one") {
    Desk desk;
    CHECK(added(desk.book, made_order("")).number == "1");
    added(desk.book, made_order("JB-77"));
    added(desk.book, made_order("3"));
    added(desk.book, made_order("99999999999999999999"));
    CHECK(added(desk.book, made_order("")).number == "4");
    Change change(desk.book, kNow);
    CHECK(change.add(made_order("")).number == "5");
    change.add(made_order("6"));
    CHECK(change.add(made_order("")).number == "7");
}

TEST_CASE("editing writes every field and leaves state, choice and proposal") {
    Desk desk;
    Order order = desk.in_state(State::planned);
    Order wanted = made_order("1-b", "buyer-09@example.org");
    wanted.place = {"Tampa FL",   27.95, -82.46, "America/New_York", Climate::warm_coast_east,
                    std::nullopt, ""};
    wanted.animals = {{"B7", 31.0, std::nullopt}};
    wanted.buyer_away.clear();
    wanted.services = {"two-day"};
    wanted.value_usd = std::nullopt;
    wanted.note = "";
    wanted.id = order.id;
    wanted.revision = order.revision;
    {
        Change change(desk.book, kNow + hours(1));
        change.edit(wanted, "all of it");
        change.commit();
    }
    const Order after = desk.book.order("1-b");
    CHECK(same_entry(after, wanted));
    CHECK(after.state == State::planned);
    CHECK(same(after.choice, order.choice));
    CHECK(after.entered == kNow);
    CHECK(after.changed == kNow + hours(1));
    CHECK(desk.book.events(order.id).back().text == "all of it");
}

TEST_CASE("orders of one e-mail address share the buyer") {
    Desk desk;
    added(desk.book, made_order("1", "buyer-01@example.org"));
    added(desk.book, made_order("2", "Buyer-01@Example.org"));
    added(desk.book, made_order("3", ""));
    added(desk.book, made_order("4", ""));
    changed(desk.book, "1", [](Change& change, Order order) {
        order.buyer.name = "Buyer Uno";
        change.edit(order, "name");
    });
    CHECK(desk.book.order("2").buyer.name == "Buyer Uno");
    changed(desk.book, "3", [](Change& change, Order order) {
        order.buyer.name = "Somebody";
        change.edit(order, "name");
    });
    CHECK(desk.book.order("4").buyer.name == "Buyer One");
}

TEST_CASE("a new order keeps what is known of its buyer where it says nothing") {
    Desk desk;
    added(desk.book, made_order("1", "buyer-01@example.org"));
    Order order = made_order("2", "buyer-01@example.org");
    order.buyer.name = order.buyer.address = "";
    CHECK(added(desk.book, order).buyer.address == "1 Lake Street\nDuluth MN 55802");
    CHECK(desk.book.order("1").buyer.name == "Buyer One");
}

TEST_CASE("who read an order before its buyer changed has to look again") {
    Desk desk;
    added(desk.book, made_order("1", "buyer-01@example.org"));
    const Order two = added(desk.book, made_order("2", "buyer-01@example.org"));
    changed(desk.book, "1", [](Change& change, Order order) {
        order.buyer.address = "2 Hill Road";
        change.edit(order, "address");
    });
    Change change(desk.book, kNow);
    CHECK_THROWS_WITH(change.edit(two, "note"), Contains("order 2 has been changed"));
    CHECK(desk.book.events(two.id).back().text ==
          "with order 1: address '2 Hill Road' instead of '1 Lake Street\nDuluth MN 55802'");
}

TEST_CASE("one transaction may change the same buyer by way of two orders") {
    Desk desk;
    added(desk.book, made_order("1", "buyer-01@example.org"));
    added(desk.book, made_order("2", "buyer-01@example.org"));
    auto orders = desk.book.orders();
    Change change(desk.book, kNow);
    for (Order& order : orders) {
        order.buyer.address = "2 Hill Road";
        change.edit(order, "address");
    }
    change.commit();
    CHECK(desk.book.order("1").buyer.address == "2 Hill Road");
    CHECK(desk.book.faults().empty());
}

TEST_CASE("an order that gets another address leaves the buyer of the others as it was") {
    Desk desk;
    added(desk.book, made_order("1", "buyer-01@example.org"));
    added(desk.book, made_order("2", "buyer-01@example.org"));
    changed(desk.book, "2", [](Change& change, Order order) {
        order.buyer.email = "buyer-02@example.org";
        order.buyer.name = "Buyer Two";
        change.edit(order, "e-mail");
    });
    CHECK(desk.book.order("1").buyer.email == "buyer-01@example.org");
    CHECK(desk.book.order("1").buyer.name == "Buyer One");
    CHECK(desk.book.order("2").buyer.name == "Buyer Two");
}

TEST_CASE("an order that cannot be is refused with the field") {
    Desk desk;
    const double nan = std::numeric_limits<double>::quiet_NaN();
    const std::vector<std::pair<std::function<void(Order&)>, std::string>> faults{
        {[](Order& o) { o.animals.clear(); }, "no animals"},
        {[](Order& o) { o.animals[0].mass_g = 0; }, "mass"},
        {[&](Order& o) { o.animals[1].shell_mm = nan; }, "shell"},
        {[](Order& o) { o.value_usd = -1; }, "value"},
        {[&](Order& o) { o.place.latitude_deg = nan; }, "latitude"},
        {[](Order& o) { o.place.longitude_deg = 181; }, "longitude"},
        {[&](Order& o) { o.place.elevation_m = nan; }, "elevation"},
        {[](Order& o) { o.latest_arrival = day("2027-03-01"); }, "latest arrival is before"},
        {[](Order& o) { o.earliest_arrival = Date(date::year(10000), date::month(1), date::day(1)); },
         "earliest arrival"},
        {[](Order& o) { o.latest_arrival = Date(date::year(2027), date::month(2), date::day(29)); },
         "latest arrival"},
        {[](Order& o) { o.buyer_away[0].until = day("2027-03-04"); }, "is away from 2027-03-05"},
        {[](Order& o) { o.buyer_away[1].from = day("2027-03-08"); }, "overlap"},
        {[](Order& o) { o.number = "a\nb"; }, "number"},
        {[](Order& o) { o.number = " 1"; }, "blank"},
        {[](Order& o) { o.number = std::string(61, '1'); }, "60 characters"},
    };
    for (const auto& [spoil, word] : faults) {
        Order order = made_order("1");
        spoil(order);
        CHECK_THROWS_AS(added(desk.book, order), UsageError);
        CHECK_THROWS_WITH(added(desk.book, order), Contains(word));
    }
    CHECK(desk.book.orders().empty());
}

TEST_CASE("an outcome that cannot be is refused") {
    Desk desk;
    desk.in_state(State::handed_over);
    const auto arrive = [&](const Outcome& outcome) {
        desk.go([&](Change& c, const Order& o) { c.arrive(o, outcome); });
    };
    CHECK_THROWS_WITH(arrive({kNow, 3, 0, {}, "", "", ""}), Contains("3 alive of 2"));
    CHECK_THROWS_WITH(arrive({kNow, 1, 2, {}, "", "", ""}), Contains("2 well of 1"));
    CHECK_THROWS_WITH(arrive({kNow - hours(1), 2, 2, {}, "", "", ""}), Contains("before it was handed over"));
    CHECK_THROWS_WITH(arrive({kNow, 2, 2, {}, "a.csv", std::string((4u << 20) + 1, 'x'), ""}),
                      Contains("4 MB"));
    arrive({kNow, 2, 2, {}, "a.csv", std::string(4u << 20, 'x'), ""});
    CHECK(desk.book.outcome(desk.book.order("1").id)->logger_bytes.size() == 4u << 20);
}
