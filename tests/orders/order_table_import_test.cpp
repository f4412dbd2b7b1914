// What a table would change, and changing it.
#include "catch.hpp"
#include "order_table_help.hpp"
#include "temp_workspace.hpp"

using namespace mildway;
using Catch::Contains;
using orders::ImportKind;
using testing::faults_of;
using testing::import_of;

namespace {

constexpr const char* kTwo =
    "number,to,species,count,mass_g,buyer,email,earliest\n"
    "N-1,P,corn-snake,2,7,Ann,ann@b.example,2027-03-02\n"
    "N-2,P2,dart-frog,1,3,Bob,bob@b.example,\n";

const Instant kNow = parse_instant("2027-03-01T13:00:00Z").value();

class Book {
public:
    Book() : book_(folder_.path() / orders::kBookFile, orders::OrderBook::Access::write) {}

    orders::ImportPlan plan(const std::string& text) { return import_of(text, book_.orders()); }
    void apply(const std::string& text) { orders::apply_import(book_, plan(text), kNow); }
    orders::OrderBook& book() { return book_; }

    void choose(const std::string& number, const char* ship, const char* arrives) {
        orders::Choice choice;
        choice.ship_date = parse_date(ship).value();
        choice.delivery_date = parse_date(arrives).value();
        choice.service = "night-air";
        choice.service_label = "Night";
        choice.packing = "small";
        choice.chosen_by = "week";
        orders::Change change(book_, kNow);
        (void)change.choose(book_.order(number), choice);
        change.commit();
    }

private:
    testing::TempFolder folder_;
    orders::OrderBook book_;
};

std::string state_of(Book& book, const std::string& number) {
    return std::string(orders::state_name(book.book().order(number).state));
}

}  // namespace

TEST_CASE("columns may stand in any order with other separators and a byte order mark") {
    const auto plain = import_of(kTwo);
    REQUIRE(plain.faults.empty());
    const auto other = import_of(
        "\xEF\xBB\xBF"
        "Species;Mass g;NUMBER;to;count;earliest;email;buyer\r\n"
        "corn-snake;7,0;N-1;P;2;2027-03-02;ann@b.example;Ann\r\ndart-frog;3;N-2;P2;1;;bob@b.example;Bob\r\n");
    CAPTURE(faults_of(other));
    REQUIRE(other.entries.size() == 2);
    for (std::size_t i = 0; i < 2; ++i)
        CHECK(testing::row_text(other.entries[i].order) == testing::row_text(plain.entries[i].order));
    std::string tabs = kTwo;
    std::replace(tabs.begin(), tabs.end(), ',', '\t');
    CHECK(testing::row_text(import_of(tabs).entries.at(0).order) ==
          testing::row_text(plain.entries[0].order));
}

TEST_CASE("a number with zeros in front stays as it is") {
    CHECK(import_of("number,to,species\n02134,P,corn-snake\n").entries.at(0).order.number == "02134");
}

TEST_CASE("rows of one number are animals of one order") {
    const auto plan = import_of(
        "number,to,species,count,mark,mass_g\nN-1,P,corn-snake,2,,7\nN-2,P,dart-frog,,Dot,3\nn-1,,,,Ash,"
        "31\n");
    CAPTURE(faults_of(plan));
    REQUIRE(plan.entries.size() == 2);
    CHECK(orders::animals_text(plan.entries[0].order.animals) == "2 x (7 g), Ash 31 g");
    CHECK(orders::animals_text(plan.entries[1].order.animals) == "Dot 3 g");
}

TEST_CASE("the same file twice changes nothing") {
    Book book;
    book.apply(kTwo);
    CHECK(book.book().orders().size() == 2);
    const auto revision = book.book().order("N-1").revision;
    const auto again = book.plan(kTwo);
    CHECK(again.count(ImportKind::same) == 2);
    book.apply(kTwo);
    CHECK(book.book().orders().size() == 2);
    CHECK(book.book().order("N-1").revision == revision);
    CHECK(book.book().events(book.book().order("N-1").id).size() == 1);
}

TEST_CASE("an empty cell leaves what was told and a dash clears it") {
    Book book;
    book.apply(
        "number,to,species,earliest,note,value_usd,away\nN-1,P,corn-snake,2027-03-02,calm,150,2027-03-04\n");
    book.apply("number,to,species,earliest,note,value_usd,away\nN-1,,,,,,\n");
    CHECK(orders::field_text(book.book().order("N-1"), orders::Field::earliest) == "2027-03-02");
    const auto plan = book.plan("number,earliest,note,value_usd,away\nN-1,-,-,-,-\n");
    CHECK(plan.entries.at(0).changes.size() == 4);
    orders::apply_import(book.book(), plan, kNow);
    const auto order = book.book().order("N-1");
    CHECK_FALSE(order.earliest_arrival.has_value());
    CHECK_FALSE(order.value_usd.has_value());
    CHECK(order.note.empty());
    CHECK(order.buyer_away.empty());
}

TEST_CASE("what must be told cannot be cleared") {
    Book book;
    book.apply(kTwo);
    CHECK(faults_of(book.plan("number,to,species\nN-1,-,-\n")) ==
          "orders.csv:2: to: is needed: where does the parcel go?\n"
          "orders.csv:2: species: is needed: what animals are these?");
}

TEST_CASE("changes are told field by field before and after") {
    Book book;
    book.apply(kTwo);
    const auto plan = book.plan("number,mass_g,earliest,count\nN-1,8,2027-03-03,3\n");
    REQUIRE(plan.entries.size() == 1);
    CHECK(plan.entries[0].kind == ImportKind::changed);
    CHECK(orders::changes_text(plan.entries[0].changes) ==
          "earliest '2027-03-03' instead of '2027-03-02'; animals '3 x (8 g)' instead of '2 x (7 g)'");
}

TEST_CASE("one fault anywhere leaves the book as it was") {
    Book book;
    book.apply(kTwo);
    const std::string bad =
        "number,to,species,earliest\nN-3,P,corn-snake,\nN-1,,,2027-03-09\nN-4,Q,corn-snake,\n";
    CHECK_THROWS_AS(book.apply(bad), InputError);
    CHECK_THROWS_WITH(book.apply(bad), Contains("1 thing is wrong; nothing was written\norders.csv:4: to:"));
    CHECK(book.book().orders().size() == 2);
    CHECK(orders::field_text(book.book().order("N-1"), orders::Field::earliest) == "2027-03-02");
}

TEST_CASE("a book that changed since the table was read keeps the import out altogether") {
    Book book;
    book.apply(kTwo);
    const auto plan = book.plan("number,to,species,note\nN-3,P,corn-snake,\nN-1,,,late\n");
    book.apply("number,note\nN-1,other\n");
    CHECK_THROWS_WITH(orders::apply_import(book.book(), plan, kNow), Contains("N-1 has been changed"));
    CHECK(book.book().orders().size() == 2);
    CHECK(book.book().order("N-1").note == "other");
}

TEST_CASE("an order that was handed over is the same or refused with the whole file") {
    Book book;
    book.apply(kTwo);
    book.choose("N-1", "2027-03-01", "2027-03-02");
    orders::Change change(book.book(), kNow);
    change.hand_over(book.book().order("N-1"), kNow);
    change.commit();
    CHECK(book.plan(kTwo).count(ImportKind::same) == 2);
    const std::string later = "number,to,species,mass_g\nN-3,P,corn-snake,\nN-1,,,9\n";
    CHECK(book.plan(later).count(ImportKind::refused) == 1);
    CHECK_THROWS_WITH(book.apply(later),
                      Contains("orders.csv:3: N-1 is handed-over and cannot be changed (animals '2 x (9 g)' "
                               "instead of '2 x (7 g)')"));
    CHECK(book.book().orders().size() == 2);
}

TEST_CASE("a plan ends when its order's facts change or a wish excludes it and else stands") {
    const auto state_after = [](const std::string& header, const std::string& cells) {
        Book book;
        book.apply(kTwo);
        book.choose("N-1", "2027-03-02", "2027-03-03");
        book.apply("number," + header + "\nN-1," + cells + "\n");
        return state_of(book, "N-1");
    };
    CHECK(state_after("to", "P77") == "open");
    CHECK(state_after("species", "dart-frog") == "open");
    CHECK(state_after("count", "3") == "open");
    CHECK(state_after("mass_g", "9") == "open");
    CHECK(state_after("earliest", "2027-03-04") == "open");
    CHECK(state_after("latest", "2027-03-02") == "open");
    CHECK(state_after("away", "2027-03-03") == "open");
    CHECK(state_after("services", "road") == "open");
    CHECK(state_after("latest", "2027-03-03") == "planned");
    CHECK(state_after("away", "2027-03-04") == "planned");
    CHECK(state_after("services", "night-air") == "planned");
    CHECK(state_after("note", "calm") == "planned");
    CHECK(state_after("buyer", "Anna") == "planned");
    CHECK(state_after("value_usd", "100") == "planned");
    CHECK(state_after("mark", "Ash") == "planned");
}

TEST_CASE("orders of one buyer take what any row tells of the buyer") {
    Book book;
    book.apply(
        "number,to,species,buyer,email\nN-1,P,corn-snake,Ann,a@b.example\nN-2,P,corn-snake,,A@b.example\n");
    CHECK(book.book().order("N-2").buyer.name == "Ann");
    const std::string renamed = "number,buyer,note\nN-1,Anna,\nN-2,,x\n";
    book.apply(renamed);
    CHECK(book.book().order("N-1").buyer.name == "Anna");
    CHECK(book.book().order("N-2").buyer.name == "Anna");
    CHECK(book.book().order("N-2").note == "x");
    CHECK(book.plan(renamed).count(ImportKind::same) == 2);
}

TEST_CASE("a known destination is not looked up again") {
    Book book;
    book.apply(kTwo);
    auto help = testing::table_help();
    help.place = [](const std::string&, const std::string&) -> Place { throw UsageError("asked"); };
    const auto plan = orders::plan_import(orders::read_order_table("orders.csv", kTwo), book.book().orders(),
                                          help, TemperatureScale::celsius);
    CHECK(plan.faults.empty());
    CHECK(plan.count(ImportKind::same) == 2);
}

TEST_CASE("a further animal of alike ones gets their mass and else must be told") {
    Book book;
    book.apply(
        "number,to,species,count,mark,mass_g,shell_mm\nN-1,P,corn-snake,1,Ash,31,40\n"
        "N-2,P,corn-snake,1,,31,\nN-2,,,1,,28,\n");
    const auto plan = book.plan("number,count\nN-1,2\n");
    CHECK(orders::animals_text(plan.entries.at(0).order.animals) == "Ash 31 g shell 40 mm, 31 g");
    CHECK(faults_of(book.plan("number,count\nN-2,3\n")) ==
          "orders.csv:2: mass_g: is needed: the animals so far are not alike (31 g, 28 g), so what is the "
          "mass of "
          "the further ones? (- for the usual of the species)");
    CHECK(orders::animals_text(book.plan("number,count,mass_g\nN-2,3,9\n").entries.at(0).order.animals) ==
          "3 x (9 g)");
    CHECK(orders::animals_text(book.plan("number,count,mass_g\nN-2,3,-\n").entries.at(0).order.animals) ==
          "3");
}

TEST_CASE("an animal in words is taken apart by its units") {
    const auto texts = orders::parse_animal("Ash, 31 g, 38.5mm");
    CHECK(texts.mark == "Ash");
    CHECK(texts.mass_g == "31");
    CHECK(texts.shell_mm == "38.5");
    CHECK(orders::parse_animal("7 g").mark.empty());
    CHECK(orders::parse_animal("Big").mark == "Big");
    CHECK_THROWS_WITH(orders::parse_animal("Ash, Birch"), Contains("tells a thing twice"));
    for (const char* doubtful : {"1,200 g", "7,5 g", "Ash, 7,5 g"})
        CHECK_THROWS_WITH(orders::parse_animal(doubtful), Contains("a decimal comma, or a comma between"));
}
