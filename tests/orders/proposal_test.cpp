// How long the days that were proposed stand, and a hand-over that was none.
#include "mildway/base/errors.hpp"
#include "mildway/orders/order_book.hpp"

#include "catch.hpp"
#include "made_orders.hpp"
#include "temp_workspace.hpp"

#include <functional>

using namespace mildway;
using namespace mildway::orders;
using namespace mildway::testing;

namespace {

/// The order after it was proposed days for and then edited.
Order after_edit(const std::function<void(Order&)>& edit, std::size_t events = 3) {
    const TempFolder folder;
    OrderBook book(folder.path() / kBookFile, OrderBook::Access::write);
    added(book, made_order("1"));
    changed(book, "1", [](Change& change, const Order& order) {
        Proposal proposal;
        proposal.made = kNow;
        proposal.days = {{day("2027-03-02"), day("2027-03-03"), Verdict::tight}};
        change.propose(order, proposal);
    });
    changed(book, "1", [&](Change& change, Order order) {
        edit(order);
        change.edit(order, "edited");
    });
    CHECK(book.events(book.order("1").id).size() == events);
    CHECK(book.faults().empty());
    return book.order("1");
}

}  // namespace

TEST_CASE("proposed days end when the parcel they were found for is another one") {
    const std::function<void(Order&)> edits[] = {
        [](Order& order) { order.place.longitude_deg += 1; },
        [](Order& order) { order.species = "crested-gecko"; },
        [](Order& order) { order.animals.push_back({}); },
        [](Order& order) { order.animals[0].mass_g = 40; },
        [](Order& order) { order.services = {"night"}; },
    };
    for (const auto& edit : edits) CHECK_FALSE(after_edit(edit, 4).proposal);
}

TEST_CASE("proposed days stand when the buyer's wishes, more services or a note are told") {
    const std::function<void(Order&)> edits[] = {
        [](Order& order) { order.note = "leave it with the dog"; },
        [](Order& order) { order.services.clear(); },
        [](Order& order) { order.services.emplace_back("ground"); },
        [](Order& order) {
            order.buyer_away = {{day("2027-03-03"), day("2027-03-03")}};
        },
        [](Order& order) { order.animals[0].mark = "Ash"; },
    };
    for (const auto& edit : edits) CHECK(after_edit(edit).proposal);
}

TEST_CASE("the next proposal after one that ended has a number of its own") {
    const TempFolder folder;
    OrderBook book(folder.path() / kBookFile, OrderBook::Access::write);
    added(book, made_order("1"));
    const auto propose = [](Change& change, const Order& order) { change.propose(order, {0, kNow, {}}); };
    changed(book, "1", propose);
    changed(book, "1", [](Change& change, Order order) {
        order.species = "crested-gecko";
        change.edit(order, "");
    });
    changed(book, "1", propose);
    CHECK(book.order("1").proposal->version == 2);
}

TEST_CASE("a hand-over is taken back with a reason alone and leaves the plan as it was") {
    const TempFolder folder;
    OrderBook book(folder.path() / kBookFile, OrderBook::Access::write);
    added(book, made_order("1"));
    changed(book, "1", [](Change& change, const Order& order) { change.choose(order, made_choice()); });
    changed(book, "1", [](Change& change, const Order& order) { change.hand_over(order, kNow); });
    for (const char* why : {"", "  "}) {
        CHECK_THROWS_AS(
            changed(book, "1",
                    [&](Change& change, const Order& order) { change.take_back_hand_over(order, why); }),
            UsageError);
    }
    changed(book, "1",
            [](Change& change, const Order& order) { change.take_back_hand_over(order, "wrong order"); });
    const Order after = book.order("1");
    CHECK(after.state == State::planned);
    CHECK_FALSE(after.handed_over);
    REQUIRE(after.choice);
    CHECK(after.choice->version == 1);
    CHECK(book.events(after.id).back().kind == "hand-over taken back");
    CHECK(book.events(after.id).back().text == "wrong order");
    CHECK(book.faults().empty());
}
