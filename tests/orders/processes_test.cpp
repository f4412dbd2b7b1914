// Several programs with one order book, and programs that die at work.
#include "mildway/orders/order_book.hpp"

#include "catch.hpp"
#include "child_process.hpp"
#include "made_orders.hpp"
#include "temp_workspace.hpp"

#include <algorithm>
#include <chrono>
#include <random>
#include <thread>

#include <SQLiteCpp/Database.h>
#include <signal.h>

using namespace mildway;
using namespace mildway::orders;
using namespace mildway::testing;
namespace fs = std::filesystem;

namespace {

constexpr int kWorkers = 4;
constexpr int kRounds = 50;

/// Plans order "1" once more and adds an order of its own, `kRounds` times; another program may be first to
/// change order "1" between reading and planning, then it is read again. 0 when all went well.
int work(const fs::path& file, int worker) {
    OrderBook book(file, OrderBook::Access::write);
    for (int round = 0; round < kRounds; ++round) {
        Change change(book, kNow);
        change.choose(book.order("1"), made_choice());
        change.add(
            made_order("W" + std::to_string(worker) + "-" + std::to_string(round), "shared@example.org"));
        change.commit();
    }
    return 0;
}

/// The state that all workers together lead to.
void check_all_work_done(const fs::path& file) {
    const OrderBook book(file);
    CHECK(book.faults().empty());
    CHECK(book.orders().size() == 1 + kWorkers * kRounds);
    CHECK(book.order("1").choice->version == kWorkers * kRounds);
    CHECK(book.order("1").revision == 1 + kWorkers * kRounds);
}

/// A book with the one order "1".
fs::path made_book(const TempFolder& folder) {
    const fs::path file = folder.path() / kBookFile;
    OrderBook book(file, OrderBook::Access::write);
    added(book, made_order("1"));
    return file;
}

/// Each of its transactions adds an order, plans it and writes a check of it: all three or none.
int add_for_ever(const fs::path& file) {
    OrderBook book(file, OrderBook::Access::write);
    for (;;) {
        Change change(book, kNow);
        Order order = change.add(made_order(""));
        Choice choice = made_choice();
        choice.document = std::string(20'000, 'd');
        change.choose(order, choice);
        ++order.revision;  // as choosing left it
        change.reassess(order, made_check(1, "colder"));
        change.commit();
    }
}

/// Whether every order is whole, as add_for_ever writes it.
bool all_whole(const OrderBook& book) {
    const auto orders = book.orders();
    return std::all_of(orders.begin(), orders.end(), [&](const Order& order) {
        return order.state == State::planned && order.animals.size() == 2 && order.revision == 2 &&
               book.choices(order.id).at(0).document.size() == 20'000 &&
               book.reassessments(order.id).size() == 1 && book.events(order.id).size() == 3;
    });
}

/// Dies in the middle of a change to a book without a write-ahead log, some of the change being in the file
/// already.
int die_in_a_change(const fs::path& file) {
    SQLite::Database database(file.string(), SQLite::OPEN_READWRITE);
    database.exec("PRAGMA journal_mode = DELETE; PRAGMA cache_size = 1; BEGIN IMMEDIATE");
    database.exec(
        "WITH RECURSIVE n(i) AS (SELECT 1 UNION ALL SELECT i + 1 FROM n WHERE i < 2000) "
        "INSERT INTO buyers SELECT i + 10, hex(randomblob(500)), i, i, 'celsius' FROM n");
    raise(SIGKILL);
    return 0;
}

}  // namespace

TEST_CASE("threads with a book each all get their work done") {
    const TempFolder folder;
    const fs::path file = made_book(folder);
    std::vector<std::thread> threads;
    std::vector<std::string> troubles(kWorkers);
    for (int worker = 0; worker < kWorkers; ++worker) {
        threads.emplace_back([&, worker] {
            try {
                work(file, worker);
            } catch (const std::exception& error) {
                troubles[static_cast<std::size_t>(worker)] = error.what();
            }
        });
    }
    for (std::thread& thread : threads) thread.join();
    CHECK(troubles == std::vector<std::string>(kWorkers));
    check_all_work_done(file);
}

TEST_CASE("processes with a book each all get their work done") {
    const TempFolder folder;
    const fs::path file = made_book(folder);
    std::vector<pid_t> children;
    for (int worker = 0; worker < kWorkers; ++worker)
        children.push_back(in_child([&, worker] { return work(file, worker); }));
    for (const pid_t child : children) CHECK(status_of(child) == 0);
    check_all_work_done(file);
}

TEST_CASE("processes that make the same new book at the same time share it") {
    for (int round = 0; round < 20; ++round) {
        const TempFolder folder;
        const fs::path file = folder.path() / kBookFile;
        std::vector<pid_t> children;
        for (int worker = 0; worker < kWorkers; ++worker) {
            children.push_back(in_child([&, worker] {
                OrderBook book(file, OrderBook::Access::write);
                added(book, made_order(std::to_string(worker)));
                return 0;
            }));
        }
        for (const pid_t child : children) REQUIRE(status_of(child) == 0);
        REQUIRE(OrderBook(file).orders().size() == kWorkers);
    }
}

TEST_CASE("a reader sees no half of a change while others write") {
    const TempFolder folder;
    const fs::path file = folder.path() / kBookFile;
    OrderBook(file, OrderBook::Access::write);
    Worker writer([&] { return add_for_ever(file); });
    std::size_t seen = 0;
    for (int round = 0; round < 200 || seen < 20; ++round) {
        REQUIRE(writer.at_work());
        const OrderBook book(file);
        const auto orders = book.orders();
        REQUIRE(orders.size() >= seen);
        REQUIRE(std::all_of(orders.begin(), orders.end(), [](const Order& order) {
            return order.state == State::planned && order.animals.size() == 2 && order.choice;
        }));
        seen = orders.size();
    }
    CHECK(writer.kill_it());
}

TEST_CASE("a process killed at any moment leaves whole changes only") {
    const TempFolder folder;
    const fs::path file = folder.path() / kBookFile;
    std::mt19937 chance(20270101);  // always the same moments, as far as the machine lets us
    std::size_t before = 0;
    constexpr int kWithLogLeft = 70;
    constexpr int kMostRounds = 600;
    std::chrono::duration<double> longest = std::chrono::milliseconds(30);
    int with_log_left = 0;
    for (int round = 0; with_log_left < kWithLogLeft && round < kMostRounds; ++round) {
        Worker writer([&] { return add_for_ever(file); });
        std::this_thread::sleep_for(longest * std::uniform_real_distribution<double>(0.0, 1.0)(chance));
        REQUIRE(writer.kill_it());  // it was at work, and nothing had failed
        const bool log_left = fs::exists(file.string() + "-wal");
        with_log_left += log_left ? 1 : 0;
        longest *= log_left ? 0.97 : 1.03;  // a busy machine needs longer to begin
        const OrderBook book(file, round % 2 == 0 ? OrderBook::Access::read : OrderBook::Access::write);
        REQUIRE(book.faults().empty());
        REQUIRE(book.orders().size() >= before);
        REQUIRE(all_whole(book));
        before = book.orders().size();
    }
    CHECK(before > 0);
    CHECK(with_log_left == kWithLogLeft);  // killed with changes in the write-ahead log alone
}

TEST_CASE("a process killed while it makes the book leaves it empty or whole") {
    std::mt19937 chance(20270102);
    for (int round = 0; round < 150; ++round) {
        const TempFolder folder;
        const fs::path file = folder.path() / kBookFile;
        Worker writer([&] { return add_for_ever(file); });
        std::this_thread::sleep_for(std::chrono::microseconds(chance() % 6'000));
        REQUIRE(writer.kill_it());
        const OrderBook book(file);  // only reads: nobody has set right what the dead one left
        REQUIRE(all_whole(book));
        REQUIRE(OrderBook(file, OrderBook::Access::write).faults().empty());
    }
}

TEST_CASE("a reader undoes the half change of a process that died without a write-ahead log") {
    const TempFolder folder;
    const fs::path file = made_book(folder);
    REQUIRE(WIFSIGNALED(status_of(in_child([&] { return die_in_a_change(file); }))));
    REQUIRE(fs::file_size(file.string() + "-journal") > 0);
    const OrderBook book(file);
    CHECK(book.orders().size() == 1);
    CHECK(book.faults().empty());
}

TEST_CASE("a reader that stops in the middle does not hold up a writer") {
    const TempFolder folder;
    const fs::path file = made_book(folder);
    OrderBook reader(file);
    CHECK(reader.has("1"));
    CHECK_THROWS(reader.order("2"));
    OrderBook writer(file, OrderBook::Access::write);
    for (int i = 0; i < 400; ++i) added(writer, made_order(""));
    CHECK(fs::file_size(file.string() + "-wal") < 8'000'000);  // emptied every 1,000 pages of 4 kB
    CHECK(reader.orders().size() == 401);
}
