// Files that are no order book, cannot be read or written, or are damaged: a clear word, nothing changed.
#include "mildway/base/errors.hpp"
#include "mildway/orders/order_book.hpp"

#include "catch.hpp"
#include "child_process.hpp"
#include "made_orders.hpp"
#include "same.hpp"
#include "temp_workspace.hpp"

#include <random>

#include <SQLiteCpp/SQLiteCpp.h>
#include <sys/stat.h>

using namespace mildway;
using namespace mildway::orders;
using namespace mildway::testing;
using Catch::Matchers::Contains;
namespace fs = std::filesystem;
using Access = OrderBook::Access;

namespace {

constexpr uid_t kNobody = 65534;

struct Shelf {
    TempFolder folder;
    fs::path file = folder.path() / kBookFile;

    /// Makes a book of that many orders and closes it.
    void fill(int orders = 1) const {
        OrderBook book(file, Access::write);
        Change change(book, kNow);
        for (int i = 1; i <= orders; ++i) change.add(made_order("JB-" + std::to_string(i)));
        change.commit();
    }

    void sql(const std::string& statements) const {
        SQLite::Database(file.string(), SQLite::OPEN_READWRITE | SQLite::OPEN_CREATE).exec(statements);
    }
};

/// The message of the error of that kind; "" when there was none.
template <class Kind, class Work>
std::string trouble(Work work) {
    try {
        work();
    } catch (const Kind& error) {
        return error.what();
    }
    return "";
}

/// Opens for reading and for writing.
template <class Kind>
void check_refused(const fs::path& file, const std::string& word) {
    const std::string before = fs::is_regular_file(file) ? slurp(file) : "";
    for (const Access access : {Access::read, Access::write}) {
        const std::string said = trouble<Kind>([&] { const OrderBook book(file, access); });
        CHECK_THAT(said, Contains(file.string()) && Contains(word));
    }
    if (fs::is_regular_file(file)) CHECK(slurp(file) == before);
}

/// Whether all that `work` does as a user without special rights goes well; it may throw.
int as_nobody(const std::function<int()>& work) {
    return result_in_child([&] {
        if (geteuid() == 0 && (setegid(kNobody) != 0 || seteuid(kNobody) != 0)) return 102;
        return work();
    });
}

}  // namespace

TEST_CASE("a folder in place of the book is refused") {
    const Shelf shelf;
    fs::create_directory(shelf.file);
    check_refused<InputError>(shelf.file, "is not a file");
}

TEST_CASE("a text in place of the book is refused and left as it is") {
    const Shelf shelf;
    spill(shelf.file, std::string(5000, 't'));
    check_refused<InputError>(shelf.file, "not an SQLite file");
}

TEST_CASE("a few bytes in place of the book are refused and left as they are") {
    const Shelf shelf;
    spill(shelf.file, "number,buyer\n");
    check_refused<InputError>(shelf.file, "not an SQLite file");
}

TEST_CASE("the SQLite file of another program is refused and left as it is") {
    const Shelf shelf;
    const auto statements = GENERATE(as<std::string>(), "CREATE TABLE notes (text)",
                                     "PRAGMA application_id = 7", "PRAGMA user_version = 1");
    shelf.sql(statements);
    check_refused<InputError>(shelf.file, "of another program");
}

TEST_CASE("a book of a newer version is refused and left as it is") {
    const Shelf shelf;
    shelf.fill();
    shelf.sql("PRAGMA user_version = 99");
    check_refused<InputError>(shelf.file, "version 99");
}

TEST_CASE("a book in a folder that is not there is not made") {
    const Shelf shelf;
    const fs::path file = shelf.folder.path() / "nowhere" / kBookFile;
    CHECK(OrderBook(file).orders().empty());
    CHECK_THAT(trouble<SystemError>([&] { const OrderBook book(file, Access::write); }),
               Contains(file.string()));
}

TEST_CASE("a book cut short is refused or its faults are told") {
    const Shelf shelf;
    shelf.fill(200);
    const std::string whole = slurp(shelf.file);
    REQUIRE(whole.size() > 100'000);
    // SQLite takes a file of 0 or 1 bytes for a new one
    for (std::size_t size = 2; size < whole.size(); size += whole.size() / 40) {
        spill(shelf.file, whole.substr(0, size));
        CAPTURE(size);
        std::size_t faults = 0;
        const std::string refused =
            trouble<InputError>([&] { faults = OrderBook(shelf.file).faults().size(); });
        CHECK((faults > 0 || !refused.empty()));
    }
}

TEST_CASE("a damaged book ends in a word on the file or in readable orders, never in a crash") {
    const Shelf shelf;
    shelf.fill(100);
    const std::string whole = slurp(shelf.file);
    std::mt19937 chance(20270101);
    int refused = 0;
    for (int round = 0; round < 400; ++round) {
        std::string spoilt = whole;
        for (int i = 0; i < 8; ++i) spoilt[chance() % spoilt.size()] ^= static_cast<char>(1u << chance() % 8);
        spill(shelf.file, spoilt);
        const std::string said = trouble<Error>([&] {
            const OrderBook book(shelf.file);
            for (const Order& order : book.orders()) static_cast<void>(book.events(order.id));
            static_cast<void>(book.faults());
        });
        if (said.empty()) continue;
        ++refused;
        CHECK_THAT(said, Contains(shelf.file.string()));
    }
    CHECK(refused > 20);
}

TEST_CASE("a wrong word in a row is told as damage") {
    const Shelf shelf;
    shelf.fill();
    shelf.sql("PRAGMA ignore_check_constraints = ON; UPDATE orders SET state = 'lost'");
    OrderBook book(shelf.file);
    CHECK_THAT(trouble<InputError>([&] { static_cast<void>(book.order("JB-1")); }), Contains("damaged"));
    CHECK(book.faults().size() == 1);
}

TEST_CASE("a row without its order is told as a fault") {
    const Shelf shelf;
    shelf.fill();
    shelf.sql("PRAGMA foreign_keys = OFF; DELETE FROM orders");
    std::string told;
    for (const std::string& fault : OrderBook(shelf.file).faults()) told += fault + "\n";
    CHECK_THAT(told, Contains("a row of animals belongs to one of orders that is not there"));
}

TEST_CASE("the tables refuse what no order can be") {
    const Shelf shelf;
    shelf.fill();
    const auto statement = GENERATE(
        as<std::string>(), "UPDATE orders SET state = 'lost'", "UPDATE orders SET state = 'planned'",
        "UPDATE orders SET latest_arrival = 'soon'", "UPDATE orders SET latest_arrival = '2027-02-30'",
        "UPDATE orders SET entered = 'now'", "UPDATE orders SET latitude_deg = 91",
        "UPDATE animals SET mass_g = 0", "UPDATE buyer_away SET last_day = '2027-03-01'",
        "PRAGMA foreign_keys = ON; DELETE FROM orders");
    CAPTURE(statement);
    CHECK_THROWS_AS(shelf.sql(statement), SQLite::Exception);
}

TEST_CASE("a lock held for too long is told") {
    const Shelf shelf;
    shelf.fill();
    OrderBook book(shelf.file, Access::write, std::chrono::milliseconds(10));
    SQLite::Database other(shelf.file.string(), SQLite::OPEN_READWRITE);
    other.exec("BEGIN IMMEDIATE");
    CHECK_THAT(trouble<SystemError>([&] { const Change change(book, kNow); }),
               Contains("locked for too long"));
    other.exec("ROLLBACK");
    added(book, made_order("JB-2"));
    CHECK(book.has("JB-2"));
}

TEST_CASE("a book that may only be read can be read, and a change is refused") {
    const Shelf shelf;
    shelf.fill();
    fs::permissions(shelf.file, fs::perms{0444});
    fs::permissions(shelf.folder.path(), fs::perms{0777});
    CHECK(as_nobody([&] {
              if (OrderBook(shelf.file).orders().size() != 1) return 1;
              const std::string said = trouble<SystemError>([&] {
                  OrderBook book(shelf.file, Access::write);
                  const Change change(book, kNow);
              });
              return said.find("may only be read") == std::string::npos ? 2 : 0;
          }) == 0);
}

TEST_CASE("a book in a folder that may only be read is told of") {
    const Shelf shelf;
    shelf.fill();
    fs::permissions(shelf.file, fs::perms{0666});
    fs::permissions(shelf.folder.path(), fs::perms{0555});
    CHECK(as_nobody([&] {
              for (const Access access : {Access::read, Access::write}) {
                  const std::string said =
                      trouble<SystemError>([&] { const OrderBook book(shelf.file, access); });
                  if (said.find("folder") == std::string::npos) return 1;
              }
              const fs::path missing = shelf.folder.path() / "other.sqlite";
              const std::string said =
                  trouble<SystemError>([&] { const OrderBook book(missing, Access::write); });
              return said.find("cannot be made") == std::string::npos ? 2 : 0;
          }) == 0);
}

TEST_CASE("a book that others may not read is told of") {
    const Shelf shelf;
    shelf.fill();
    fs::permissions(shelf.folder.path(), fs::perms{0777});
    CHECK(as_nobody([&] {
              const std::string said = trouble<SystemError>([&] { const OrderBook book(shelf.file); });
              return said.find("Permission denied") == std::string::npos ? 1 : 0;
          }) == 0);
}
