// What a row tells of a buyer changes the buyer's other orders: they are listed, and each has it in its
// history.
#include "catch.hpp"
#include "order_table_help.hpp"
#include "temp_workspace.hpp"

using namespace mildway;
using Catch::Contains;
using orders::ImportEntry;
using orders::ImportKind;
using testing::faults_of;
using testing::import_of;

namespace {

const Instant kNow = parse_instant("2027-03-01T13:00:00Z").value();

/// Three orders of Ann, of which N-3 is handed over, and one of Bob.
class Shop {
public:
    Shop() : book_(folder_.path() / orders::kBookFile, orders::OrderBook::Access::write) {
        apply(
            "number,to,species,buyer,email,address\nN-1,P,corn-snake,Ann,a@b.example,1 Lake\n"
            "N-2,P,corn-snake,,a@b.example,\nN-3,P,corn-snake,,a@b.example,\n"
            "N-4,P,corn-snake,Bob,b@b.example,\n");
        orders::Change change(book_, kNow);
        orders::Choice choice;
        choice.ship_date = choice.delivery_date = parse_date("2027-03-02").value();
        (void)change.choose(book_.order("N-3"), choice);
        change.hand_over(book_.order("N-3"), kNow);
        change.commit();
    }
    orders::ImportPlan plan(const std::string& text) { return import_of(text, book_.orders()); }
    void apply(const std::string& text) { orders::apply_import(book_, plan(text), kNow); }
    std::string name_of(const std::string& number) { return book_.order(number).buyer.name; }
    std::string last_event(const std::string& number) {
        return book_.events(book_.order(number).id).back().text;
    }
    orders::OrderBook& book() { return book_; }

private:
    testing::TempFolder folder_;
    orders::OrderBook book_;
};

/// "N-2 changed with N-1: buyer 'Anna' instead of 'Ann'"
std::string told(const ImportEntry& entry) {
    const char* kind = entry.kind == ImportKind::changed   ? " changed"
                       : entry.kind == ImportKind::refused ? " refused"
                       : entry.kind == ImportKind::added   ? " new"
                                                           : " same";
    const std::string with = entry.along_with.empty() ? "" : " with " + entry.along_with;
    const std::string changes = orders::changes_text(entry.changes);
    return entry.order.number + kind + with + (changes.empty() ? "" : ": " + changes);
}

std::vector<std::string> told(const orders::ImportPlan& plan) {
    std::vector<std::string> all;
    for (const ImportEntry& entry : plan.entries) all.push_back(told(entry));
    return all;
}

using Lines = std::vector<std::string>;

}  // namespace

TEST_CASE("orders that share a renamed buyer are listed and get an event whatever their state") {
    Shop shop;
    const std::string text = "number,buyer\nN-1,Anna\n";
    CHECK(told(shop.plan(text)) == Lines{"N-1 changed: buyer 'Anna' instead of 'Ann'",
                                         "N-2 changed with N-1: buyer 'Anna' instead of 'Ann'",
                                         "N-3 changed with N-1: buyer 'Anna' instead of 'Ann'"});
    shop.apply(text);
    for (const char* number : {"N-2", "N-3"}) {
        CHECK(shop.name_of(number) == "Anna");
        CHECK(shop.last_event(number) == "with order N-1: buyer 'Anna' instead of 'Ann'");
    }
    CHECK(shop.last_event("N-4").empty());
    CHECK(shop.plan(text).count(ImportKind::changed) == 0);
}

TEST_CASE("a new order that changes a known buyer says so and what else changes") {
    Shop shop;
    const std::string text = "number,to,species,email,address\nN-5,P,corn-snake,a@b.example,2 Hill\n";
    CHECK(told(shop.plan(text)) == Lines{"N-5 new: address '2 Hill' instead of '1 Lake'",
                                         "N-1 changed with N-5: address '2 Hill' instead of '1 Lake'",
                                         "N-2 changed with N-5: address '2 Hill' instead of '1 Lake'",
                                         "N-3 changed with N-5: address '2 Hill' instead of '1 Lake'"});
    shop.apply(text);
    CHECK(shop.book().order("N-3").buyer.address == "2 Hill");
    CHECK(shop.last_event("N-3") == "with order N-5: address '2 Hill' instead of '1 Lake'");
}

TEST_CASE("a handed-over order is not refused for what another row tells of its buyer") {
    Shop shop;
    const std::string silent = "number,buyer,note\nN-1,Anna,\nN-2,,x\nN-3,,\n";
    CHECK(told(shop.plan(silent)) ==
          Lines{"N-1 changed: buyer 'Anna' instead of 'Ann'",
                "N-2 changed: buyer 'Anna' instead of 'Ann'; note 'x' instead of none",
                "N-3 changed with N-1: buyer 'Anna' instead of 'Ann'"});
    const std::string same = "number,buyer\nN-1,Anna\nN-3,Anna\n";
    CHECK(shop.plan(same).count(ImportKind::refused) == 0);
    shop.apply(silent);
    CHECK(shop.name_of("N-3") == "Anna");
    CHECK(shop.book().order("N-2").note == "x");
}

TEST_CASE("a handed-over order is refused for what its own row alone tells") {
    Shop shop;
    CHECK(told(shop.plan("number,note\nN-3,late\n")) == Lines{"N-3 refused: note 'late' instead of none"});
    CHECK(told(shop.plan("number,buyer\nN-3,Anna\n")) == Lines{"N-3 refused: buyer 'Anna' instead of 'Ann'"});
    CHECK(told(shop.plan("number,buyer,email\nN-1,Anna,\nN-3,,c@b.example\n")).at(1) ==
          "N-3 refused: email 'c@b.example' instead of 'a@b.example'");
}

TEST_CASE("a silent handed-over order stays the same when another handed-over one is refused") {
    Shop shop;
    orders::Change change(shop.book(), kNow);
    change.cancel(shop.book().order("N-1"), "");
    change.cancel(shop.book().order("N-2"), "");
    change.commit();
    CHECK(told(shop.plan("number,buyer\nN-3,Anna\nN-1,\n")) ==
          Lines{"N-3 refused: buyer 'Anna' instead of 'Ann'", "N-1 same"});
}

TEST_CASE("an order that moves to another address leaves those of the former one alone") {
    Shop shop;
    const auto plan = shop.plan("number,email\nN-1,b@b.example\n");
    CHECK(told(plan) == Lines{"N-1 changed: buyer 'Bob' instead of 'Ann'; email 'b@b.example' instead of "
                              "'a@b.example'; address none instead of '1 Lake'"});
    orders::apply_import(shop.book(), plan, kNow);
    CHECK(shop.name_of("N-2") == "Ann");
}
