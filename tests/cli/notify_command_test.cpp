// notify: preview, send, settle, on a book of its own and with a real mail server.
#include "mildway/base/file_lock.hpp"
#include "mildway/orders/order_book.hpp"
#include "mildway/orders/outbox.hpp"

#include "catch.hpp"
#include "kill_moments.hpp"
#include "notify_shop.hpp"
#include "smtp_sink.hpp"

#include <set>
#include <thread>

#include <fcntl.h>
#include <sys/wait.h>
#include <unistd.h>

using namespace mildway;
using namespace date::literals;
using testing::kEntered;
using testing::Outcome;
using testing::Shop;
using testing::SmtpSink;

namespace {

/// Starts the real program; returns its process.
pid_t start_send(const Shop& shop) {
    const pid_t pid = fork();
    if (pid == 0) {
        const int nowhere = open("/dev/null", O_WRONLY | O_CLOEXEC);
        dup2(nowhere, 1);
        dup2(nowhere, 2);
        execl(MILDWAY_PROGRAM, "mildway", "--workspace", shop.workspace.name().c_str(), "--now",
              testing::kMonday, "notify", "--send", nullptr);
        _exit(127);
    }
    return pid;
}

int exit_code_of(pid_t pid) {
    int status = 0;
    waitpid(pid, &status, 0);
    return WIFEXITED(status) ? WEXITSTATUS(status) : -1;
}

}  // namespace

TEST_CASE("notify alone shows what is due and writes nothing") {
    const Shop shop(2);
    const Outcome outcome = shop.notify();
    CHECK(outcome.code == cli::kDone);
    CHECK_THAT(outcome.out, Catch::Contains("2 messages are due; nothing was put into the outbox or sent"));
    CHECK(shop.outbox().empty());
}

TEST_CASE("notify --show prints the text in the buyer's scale and on the buyer's clock") {
    const Shop shop(1);
    const std::string text = shop.notify({"--show"}).out;
    CHECK_THAT(text, Catch::Contains("Hello Jürgen Müller,") && Catch::Contains("Tuesday, 2 March 2027") &&
                         Catch::Contains("promised by 10:30") &&
                         Catch::Contains("CST, the clock of Duluth MN"));
}

TEST_CASE("notify of one order and of one kind shows no other") {
    const Shop shop(3);
    CHECK(shop.notify({"2", "--json"}).json().at("due").size() == 1);
    CHECK(shop.notify({"--kind", "window", "--json"}).json().at("due").empty());
    CHECK(shop.notify({"no-such-order"}).code == cli::kWrongUsage);
}

TEST_CASE("notify --dry-run writes the bytes that --send sends") {
    const SmtpSink sink;
    const Shop shop(1, sink.port());
    const testing::TempFolder folder;
    CHECK(shop.notify({"--dry-run", folder.path().string()}).code == cli::kDone);
    const std::string bytes = testing::slurp(folder.path() / "1-date-1.eml");
    CHECK(shop.notify({"--send"}).code == cli::kDone);
    REQUIRE(sink.taken().size() == 1);
    CHECK(sink.taken()[0].bytes == bytes);
}

TEST_CASE("notify --send sends each message once and a second run nothing") {
    const SmtpSink sink;
    const Shop shop(3, sink.port());
    CHECK(shop.notify({"--send"}).code == cli::kDone);
    CHECK(shop.notify({"--send"}).code == cli::kDone);
    CHECK(sink.taken().size() == 3);
    CHECK_THAT(shop.notify({"--list"}).out, Catch::Contains("sent"));
}

TEST_CASE("a moved order is told with a higher sequence and the same appointment") {
    const SmtpSink sink;
    const Shop shop(1, sink.port());
    REQUIRE(shop.notify({"--send"}).code == cli::kDone);
    shop.plan("1", 2027_y / 3 / 3, "night-air");
    const auto due = shop.notify({"--json"}).json().at("due");
    REQUIRE(due.size() == 1);
    CHECK(due[0].at("kind") == "moved");
    CHECK_THAT(due[0].at("calendar").get<std::string>(),
               Catch::Contains("SEQUENCE:1\r\n") && Catch::Contains("UID:order-1-20270225T080000Z\r\n"));
}

TEST_CASE("a message that is overtaken is dropped and not sent") {
    const SmtpSink busy({"rcpt=450 later"});
    const Shop shop(1, busy.port());
    CHECK(shop.notify({"--send"}).code == cli::kNeedsPerson);
    shop.plan("1", 2027_y / 3 / 3, "night-air");
    CHECK_THAT(shop.notify({"--send"}).out, Catch::Contains("Overtaken"));
    const auto outbox = shop.outbox();
    REQUIRE(outbox.size() == 2);
    CHECK(outbox[0].state == orders::MessageState::overtaken);
    CHECK(outbox[1].state == orders::MessageState::written);
}

TEST_CASE("a told day that is taken back goes out with a calendar that cancels it") {
    const SmtpSink sink;
    const Shop shop(1, sink.port());
    REQUIRE(shop.notify({"--send"}).code == cli::kDone);
    {
        auto book = shop.open();
        orders::Change change(book, kEntered);
        change.take_back(book.order("1"), "");
        change.commit();
    }
    const auto due = shop.notify({"--json"}).json().at("due");
    REQUIRE(due.size() == 1);
    CHECK(due[0].at("kind") == "taken-back");
    CHECK_THAT(due[0].at("calendar").get<std::string>(),
               Catch::Contains("METHOD:CANCEL\r\n") && Catch::Contains("SEQUENCE:1\r\n") &&
                   Catch::Contains("UID:order-1-20270225T080000Z\r\n"));
}

TEST_CASE("a species that is gone keeps only its own order from a message") {
    const Shop shop(2);
    {
        auto book = shop.open();
        auto order = book.order("1");
        order.species = "no-such-species";
        orders::Change change(book, kEntered);
        change.edit(order, "");
        change.commit();
    }
    const Outcome outcome = shop.notify({"--json"});
    CHECK(outcome.code == cli::kNeedsPerson);
    CHECK(outcome.json().at("due").size() == 1);
    CHECK(outcome.json().at("failed").at(0).at("order") == "1");
}

TEST_CASE("files of a dry run are for the owner alone") {
    const Shop shop(1);
    const testing::TempFolder folder;
    REQUIRE(shop.notify({"--dry-run", folder.path().string()}).code == cli::kDone);
    CHECK((std::filesystem::status(folder.path() / "1-date-1.eml").permissions() &
           std::filesystem::perms::all) ==
          (std::filesystem::perms::owner_read | std::filesystem::perms::owner_write));
}

TEST_CASE("a hand-over on another day is told with the true day and no planned arrival") {
    const Shop shop(1);
    {
        auto book = shop.open();
        orders::Change change(book, kEntered);
        change.hand_over(book.order("1"), date::sys_days(2027_y / 2 / 27) + hours(22));
        change.commit();
    }
    const std::string text = shop.notify({"--show"}).out;
    CHECK_THAT(text, Catch::Contains("Saturday, 27 February 2027"));
    CHECK_THAT(text, !Catch::Contains("2 March") && !Catch::Contains("10:30"));
}

TEST_CASE("orders with like numbers have files of their own") {
    const Shop shop(2);
    {
        auto book = shop.open();
        orders::Change change(book, kEntered);
        for (const std::string number : {"A#1", "A-1"}) {
            auto order = book.order("1");
            order.id = 0;
            order.number = number;
            order.state = orders::State::open;
            order.choice.reset();
            (void)change.add(order);
        }
        change.commit();
    }
    shop.plan("A#1", 2027_y / 3 / 1, "night-air");
    shop.plan("A-1", 2027_y / 3 / 1, "night-air");
    const testing::TempFolder folder;
    REQUIRE(shop.notify({"--dry-run", folder.path().string()}).code == cli::kDone);
    CHECK(std::filesystem::exists(folder.path() / "A_231-date-1.eml"));
    CHECK(std::filesystem::exists(folder.path() / "A-1-date-1.eml"));
}

TEST_CASE("a preview during another run says that a message is being sent") {
    const Shop shop(1, 1);
    REQUIRE(shop.notify({"--send"}).code == cli::kSystemFailure);
    {
        auto book = shop.open();
        orders::Outbox outbox(book);
        REQUIRE(outbox.claim(1, kEntered));
        outbox.on_wire(1);
    }
    CHECK_THAT(shop.notify().out, Catch::Contains("in doubt"));
    const auto lock = FileLock::try_lock(shop.workspace.path() / "notify.lock");
    REQUIRE(lock);
    const Outcome outcome = shop.notify();
    CHECK(outcome.code == cli::kDone);
    CHECK_THAT(outcome.out, Catch::Contains("is sending these") && !Catch::Contains("in doubt"));
}

TEST_CASE("a corrected address gets the message that the old one refused") {
    const SmtpSink sink({"rcpt=550 nobody"});
    const Shop shop(1, sink.port());
    REQUIRE(shop.notify({"--send"}).code == cli::kNeedsPerson);
    CHECK_THAT(shop.notify().out, Catch::Contains("Correct the address"));
    {
        auto book = shop.open();
        auto order = book.order("1");
        order.buyer.email = "right@example.org";
        orders::Change change(book, kEntered);
        change.edit(order, "");
        change.commit();
    }
    const auto due = shop.notify({"--json"}).json().at("due");
    REQUIRE(due.size() == 1);
    CHECK(due[0].at("to") == "right@example.org");
    CHECK(due[0].at("issue") == 2);
}

TEST_CASE("a message in doubt is asked about and goes out again only when told") {
    Shop shop(1);
    {
        const SmtpSink silent({"hang-up=yes"});
        shop.workspace.edit("mail.json", "\"port\": 25", "\"port\": " + std::to_string(silent.port()));
        CHECK(shop.notify({"--send"}).code == cli::kNeedsPerson);
        CHECK(shop.notify({"--send"}).code == cli::kNeedsPerson);
        CHECK(silent.taken().size() == 1);
    }
    CHECK(shop.outbox().at(0).state == orders::MessageState::in_doubt);
    CHECK(shop.notify({"--settle", "1", "--as", "again"}).code == cli::kDone);
    CHECK(shop.outbox().at(0).state == orders::MessageState::written);
}

TEST_CASE("without a server notify --send is a failure of the system and all waits") {
    const Shop shop(2, 1);
    CHECK(shop.notify({"--send"}).code == cli::kSystemFailure);
    for (const auto& message : shop.outbox()) CHECK(message.state == orders::MessageState::written);
}

TEST_CASE("of two runs at once one sends and none twice") {
    const SmtpSink sink({"after=0.2"});
    const Shop shop(3, sink.port());
    const pid_t first = start_send(shop);
    const pid_t second = start_send(shop);
    const std::set<int> codes{exit_code_of(first), exit_code_of(second)};
    CHECK(codes.count(cli::kDone) == 1);
    CHECK(sink.taken().size() == 3);
}

TEST_CASE("a killed run sends nothing twice and loses nothing silently") {
    constexpr int kLeast = 60;
    constexpr int kMost = 400;
    constexpr int kCuts = 12;
    testing::KillMoments moments(7, std::chrono::milliseconds(200));
    int cut_in_the_midst = 0;
    for (int round = 0; round < kLeast || (cut_in_the_midst < kCuts && round < kMost); ++round) {
        const SmtpSink sink({"before=0.01", "after=0.01"});
        const Shop shop(3, sink.port());
        const pid_t pid = start_send(shop);
        std::this_thread::sleep_for(moments.next());
        kill(pid, SIGKILL);
        moments.struck(exit_code_of(pid) == -1);
        const auto at_kill = sink.taken().size();
        if (at_kill > 0 && at_kill < 3) ++cut_in_the_midst;
        CHECK(exit_code_of(start_send(shop)) <= cli::kNeedsPerson);
        std::map<std::string, int> given;
        for (const auto& mail : sink.taken()) ++given[mail.to];
        CAPTURE(round);
        REQUIRE(shop.outbox().size() == 3);
        for (const auto& message : shop.outbox()) {
            const int times = given[message.to];
            CHECK(times <= 1);
            if (message.state == orders::MessageState::sent) CHECK(times == 1);
            CHECK((message.state == orders::MessageState::sent ||
                   message.state == orders::MessageState::in_doubt));
        }
    }
    CHECK(cut_in_the_midst >= kCuts);  // the kills hit the sending
}
