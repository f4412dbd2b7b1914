// How an older order book becomes a newer one.
#include "schema.hpp"

#include "mildway/base/errors.hpp"
#include "mildway/orders/order_book.hpp"

#include "catch.hpp"
#include "child_process.hpp"
#include "made_orders.hpp"
#include "tables.hpp"
#include "temp_workspace.hpp"

#include <SQLiteCpp/SQLiteCpp.h>
#include <sys/stat.h>

using namespace mildway;
using namespace mildway::orders;
using namespace mildway::testing;
namespace fs = std::filesystem;

namespace {

constexpr const char* kOne =
    "CREATE TABLE notes (text TEXT NOT NULL) STRICT; INSERT INTO notes VALUES ('old')";
constexpr const char* kTwo = "ALTER TABLE notes ADD COLUMN author TEXT NOT NULL DEFAULT 'me'";
constexpr const char* kThree = "UPDATE notes SET author = author || '!'";

struct Shelf {
    TempFolder folder;
    fs::path file = folder.path() / kBookFile;
    fs::path copy = file.string() + ".before-1";

    SQLite::Database open() const {
        return SQLite::Database(file.string(), SQLite::OPEN_READWRITE | SQLite::OPEN_CREATE, 10'000);
    }
    void bring(const Steps& steps) const {
        auto database = open();
        bring_up_to_date(database, file, steps);
    }
};

std::string answer(const fs::path& file, const char* question) {
    const SQLite::Database database(file.string());
    SQLite::Statement asking(database, question);
    asking.executeStep();
    return asking.getColumn(0).getString();
}

}  // namespace

TEST_CASE("each missing step is taken once, in order") {
    const Shelf shelf;
    shelf.bring({kOne});
    CHECK(answer(shelf.file, "PRAGMA user_version") == "1");
    shelf.bring({kOne, kTwo, kThree});
    shelf.bring({kOne, kTwo, kThree});
    CHECK(answer(shelf.file, "PRAGMA user_version") == "3");
    CHECK(answer(shelf.file, "SELECT text || author FROM notes") == "oldme!");
}

TEST_CASE("the older book is copied whole, for its owner alone, before it is changed") {
    const Shelf shelf;
    shelf.bring({kOne});
    shelf.bring({kOne, kTwo});
    CHECK(answer(shelf.copy, "PRAGMA user_version") == "1");
    CHECK(answer(shelf.copy, "PRAGMA application_id") == std::to_string(kApplicationId));
    CHECK(answer(shelf.copy, "PRAGMA integrity_check") == "ok");
    CHECK(answer(shelf.copy, "SELECT text FROM notes") == "old");
    struct stat found {};
    REQUIRE(stat(shelf.copy.c_str(), &found) == 0);
    CHECK((found.st_mode & 07777) == 0600);
}

TEST_CASE("a new book is not copied") {
    const Shelf shelf;
    shelf.bring({kOne, kTwo});
    CHECK_FALSE(fs::exists(shelf.copy));
    CHECK_FALSE(fs::exists(shelf.file.string() + ".before-0"));
}

TEST_CASE("a copy that is there already is not written over") {
    const Shelf shelf;
    shelf.bring({kOne});
    spill(shelf.copy, "an earlier copy");
    shelf.bring({kOne, kTwo});
    CHECK(slurp(shelf.copy) == "an earlier copy");
    CHECK(answer(shelf.copy.string() + ".2", "SELECT text FROM notes") == "old");
}

TEST_CASE("a step that fails leaves the older book") {
    const Shelf shelf;
    shelf.bring({kOne});
    CHECK_THROWS_AS(shelf.bring({kOne, kTwo, "INSERT INTO nowhere VALUES (1)"}), SQLite::Exception);
    CHECK(answer(shelf.file, "PRAGMA user_version") == "1");
    CHECK(answer(shelf.file, "SELECT count(*) FROM pragma_table_info('notes')") == "1");
}

TEST_CASE("a copy that cannot be written leaves the older book") {
    const Shelf shelf;
    shelf.bring({kOne});
    fs::create_directories(shelf.copy.string() + ".part/full");
    CHECK_THROWS_AS(shelf.bring({kOne, kTwo}), SystemError);
    CHECK(answer(shelf.file, "PRAGMA user_version") == "1");
}

TEST_CASE("processes that bring a book up to date at the same time take each step once") {
    for (int round = 0; round < 20; ++round) {
        const Shelf shelf;
        shelf.bring({kOne});
        const auto bring = [&] {
            shelf.bring({kOne, kTwo, kThree});
            return 0;
        };
        const pid_t one = in_child(bring), two = in_child(bring);
        REQUIRE(status_of(one) == 0);
        REQUIRE(status_of(two) == 0);
        REQUIRE(answer(shelf.file, "SELECT text || author FROM notes") == "oldme!");
    }
}

TEST_CASE("an older book can be read and is left as it is") {
    const Shelf shelf;
    { shelf.open().exec("PRAGMA application_id = " + std::to_string(kApplicationId)); }
    const std::string before = slurp(shelf.file);
    CHECK(OrderBook(shelf.file).orders().empty());
    CHECK(slurp(shelf.file) == before);
}

TEST_CASE("an older book is brought up to date when it is opened for writing") {
    const Shelf shelf;
    { shelf.open().exec("PRAGMA application_id = " + std::to_string(kApplicationId)); }
    OrderBook book(shelf.file, OrderBook::Access::write);
    added(book, made_order("1"));
    CHECK(book.has("1"));
    CHECK(answer(shelf.file, "PRAGMA user_version") == std::to_string(all_steps().size()));
}

TEST_CASE("a check of a book of version 1 is read with nothing told of what came later") {
    const Shelf shelf;
    {
        shelf.bring({kVersion1});
        auto database = shelf.open();
        database.exec("PRAGMA foreign_keys = OFF");
        database.exec(
            "INSERT INTO reassessments (order_id, choice_version, made, verdict, standing, side, worst_leg, "
            "weather_issued, flagged, better_day, better_by_hours, sentence) "
            "VALUES (7, 1, 0, 'tight', 'tight', 'cold', '', 0, 1, '2027-03-04', 1.5, 'colder')");
    }
    for (const auto access : {OrderBook::Access::read, OrderBook::Access::write}) {
        const OrderBook book(shelf.file, access);
        const auto found = book.reassessments(7);
        REQUIRE(found.size() == 1);
        CHECK(found[0].better_by_hours == 1.5);
        CHECK(found[0].sentence == "colder");
        CHECK(found[0].trouble.empty());
        CHECK(found[0].better_service.empty());
        CHECK_FALSE(found[0].told_hours);
    }
}
