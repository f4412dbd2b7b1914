// Disks that are full or may only be read: a clear word, nothing lost, and all well afterwards.
#include "mildway/base/errors.hpp"
#include "mildway/orders/order_book.hpp"

#include "catch.hpp"
#include "child_process.hpp"
#include "made_orders.hpp"
#include "temp_workspace.hpp"

#include <csignal>

#include <sched.h>
#include <sys/mount.h>
#include <sys/resource.h>

using namespace mildway;
using namespace mildway::orders;
using namespace mildway::testing;
namespace fs = std::filesystem;
using Access = OrderBook::Access;

namespace {

constexpr int kNoMount = 90;

/// Runs `work` in a process that alone sees a disk of 1 MB at `folder`; kNoMount when this machine does not
/// let us.
int on_small_disk(const fs::path& folder, const std::function<int()>& work) {
    return result_in_child([&] {
        if (unshare(CLONE_NEWNS) != 0 && unshare(CLONE_NEWUSER | CLONE_NEWNS) != 0) return kNoMount;
        if (mount("none", "/", nullptr, MS_REC | MS_PRIVATE, nullptr) != 0) return kNoMount;
        if (mount("small", folder.c_str(), "tmpfs", 0, "size=1m") != 0) return kNoMount;
        return work();
    });
}

bool may_mount(int result) {
    if (result == kNoMount) WARN("this machine does not let the test mount a small disk: not tested");
    return result != kNoMount;
}

bool make_read_only(const fs::path& folder) {
    return mount("small", folder.c_str(), nullptr, MS_REMOUNT | MS_RDONLY, nullptr) == 0;
}

/// Adds orders, a transaction each, until the first error, which goes to `said`; how many were added.
std::size_t add_until_full(OrderBook& book, std::string& said) {
    Order order = made_order("");
    order.note = std::string(10'000, 'n');
    for (std::size_t count = 0;; ++count) {
        try {
            added(book, order);
        } catch (const SystemError& error) {
            said = error.what();
            return count;
        }
    }
}

bool is_word_on_full_disk(const std::string& said, const fs::path& file) {
    return said.starts_with(file.string()) && said.find("the disk is full") != std::string::npos;
}

}  // namespace

TEST_CASE("on a full disk a change is refused and what was there stays") {
    const TempFolder folder;
    const fs::path file = folder.path() / kBookFile;
    const int result = on_small_disk(folder.path(), [&] {
        spill(folder.path() / "ballast", std::string(400'000, 'b'));
        std::string said;
        std::size_t count = 0;
        {
            OrderBook book(file, Access::write);
            count = add_until_full(book, said);
            if (count == 0 || !is_word_on_full_disk(said, file)) return 1;
            if (book.orders().size() != count) return 2;
            if (!book.faults().empty()) return 3;
        }
        fs::remove(folder.path() / "ballast");
        OrderBook book(file, Access::write);
        if (!book.faults().empty() || book.orders().size() != count) return 4;
        added(book, made_order("after"));
        return book.has("after") ? 0 : 5;
    });
    if (may_mount(result)) CHECK(result == 0);
}

TEST_CASE("on a full disk an open book works again when there is space") {
    const TempFolder folder;
    const fs::path file = folder.path() / kBookFile;
    const int result = on_small_disk(folder.path(), [&] {
        spill(folder.path() / "ballast", std::string(400'000, 'b'));
        OrderBook book(file, Access::write);
        std::string said;
        const std::size_t count = add_until_full(book, said);
        fs::remove(folder.path() / "ballast");
        added(book, made_order("after"));
        return book.orders().size() == count + 1 && book.faults().empty() ? 0 : 1;
    });
    if (may_mount(result)) CHECK(result == 0);
}

TEST_CASE("on a full disk no new book is made, and later it is") {
    const TempFolder folder;
    const fs::path file = folder.path() / kBookFile;
    const int result = on_small_disk(folder.path(), [&] {
        std::ofstream(folder.path() / "ballast") << std::string(2'000'000, 'b');
        std::string said;
        try {
            const OrderBook book(file, Access::write);
            return 1;
        } catch (const SystemError& error) {
            said = error.what();
        }
        if (!is_word_on_full_disk(said, file)) return 2;
        fs::remove(folder.path() / "ballast");
        if (!OrderBook(file).orders().empty()) return 3;
        OrderBook book(file, Access::write);
        added(book, made_order("1"));
        return book.faults().empty() ? 0 : 4;
    });
    if (may_mount(result)) CHECK(result == 0);
}

TEST_CASE("a write that fails is told, and what was there stays") {
    const TempFolder folder;
    const fs::path file = folder.path() / kBookFile;
    const int result = result_in_child([&] {
        std::signal(SIGXFSZ, SIG_IGN);
        const rlimit narrow{500'000, RLIM_INFINITY};
        OrderBook book(file, Access::write);
        if (setrlimit(RLIMIT_FSIZE, &narrow) != 0) return 1;
        std::string said;
        const std::size_t count = add_until_full(book, said);
        // The system says EFBIG here, which SQLite takes for a failing disk
        if (count == 0 || !said.starts_with(file.string() + ": the disk failed")) return 2;
        return book.orders().size() == count && book.faults().empty() ? 0 : 3;
    });
    CHECK(result == 0);
    CHECK(OrderBook(file).faults().empty());
    OrderBook after(file, Access::write);
    CHECK(added(after, made_order("after")).number == "after");
}

TEST_CASE("a book on a disk that may only be read can be read and not changed") {
    const TempFolder folder;
    const fs::path file = folder.path() / "a %41?#.sqlite";
    const int result = on_small_disk(folder.path(), [&] {
        {
            OrderBook book(file, Access::write);
            added(book, made_order("1"));
        }
        if (!make_read_only(folder.path())) return kNoMount;
        if (!OrderBook(file).has("1") || !OrderBook(file).faults().empty()) return 1;
        try {
            const OrderBook book(file, Access::write);
            return 2;
        } catch (const SystemError& error) {
            return std::string(error.what()).find("may only be read") == std::string::npos ? 3 : 0;
        }
    });
    if (may_mount(result)) CHECK(result == 0);
}

TEST_CASE("changes left in the log on a disk that may only be read are not passed over") {
    const TempFolder folder;
    const fs::path file = folder.path() / kBookFile;
    const int result = on_small_disk(folder.path(), [&] {
        const int writer = result_in_child([&]() -> int {
            OrderBook book(file, Access::write);
            added(book, made_order("1"));
            _exit(0);  // without closing the book
        });
        if (writer != 0 || !make_read_only(folder.path())) return kNoMount;
        try {
            const OrderBook book(file);
            return 1;
        } catch (const SystemError& error) {
            return std::string(error.what()).find("-wal") == std::string::npos ? 2 : 0;
        }
    });
    if (may_mount(result)) CHECK(result == 0);
}
