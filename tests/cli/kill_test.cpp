// The whole program, killed at random moments: the book stays sound, and each change is whole or not there.
#include "book_world.hpp"
#include "catch.hpp"
#include "smtp_sink.hpp"

#include <chrono>
#include <map>
#include <random>
#include <set>
#include <thread>

using namespace mildway;
using testing::BookWorld;

namespace {

constexpr int kOrders = 12;
constexpr int kRounds = 75;

/// Kills a command at moments spread over the time that it takes, a little beyond its end.
class Killer {
public:
    Killer(const BookWorld& world, std::vector<std::string> arguments, unsigned seed)
        : world_(&world), arguments_(std::move(arguments)), moments_(seed) {}

    /// Lets it run to its end once, for its time. Its exit code.
    int measure() {
        const auto start = std::chrono::steady_clock::now();
        const int code = world_->run(arguments_);
        took_ = std::chrono::steady_clock::now() - start;
        return code;
    }

    /// Whether the kill came before its end.
    bool strike() {
        const pid_t pid = world_->start(arguments_);
        const double share = std::uniform_real_distribution<double>(0.0, 1.05)(moments_);
        std::this_thread::sleep_for(took_ * share);
        kill(pid, SIGKILL);
        return BookWorld::wait(pid) == -1;
    }

private:
    const BookWorld* world_;
    std::vector<std::string> arguments_;
    std::mt19937 moments_;
    std::chrono::duration<double> took_{0.1};
};

void check_sound(const BookWorld& world) {
    const orders::OrderBook book = world.book();
    REQUIRE(book.faults().empty());
}

void forget(const BookWorld& world) {
    for (const char* end : {"", "-wal", "-shm"}) std::filesystem::remove(world.book_file().string() + end);
}

std::vector<std::string> import_of(const BookWorld& world) {
    return {"order", "import", world.file("orders.csv"), "--apply"};
}

std::vector<std::string> with_weather(const BookWorld& world, std::vector<std::string> words) {
    const std::vector<std::string> more{"--recorded", world.file("weather"), "--scenarios", "128"};
    words.insert(words.end(), more.begin(), more.end());
    return words;
}

std::vector<std::string> week_of(const BookWorld& world) {
    return with_weather(world, {"week", "--days", "3", "--replan", "--apply"});
}

}  // namespace

TEST_CASE("An import that is killed has entered all orders or none") {
    const BookWorld world(kOrders);
    Killer killer(world, import_of(world), 1);
    REQUIRE(killer.measure() == 0);
    int struck = 0;
    for (int round = 0; round < kRounds; ++round) {
        forget(world);
        struck += killer.strike() ? 1 : 0;
        check_sound(world);
        const std::size_t entered = world.book().orders().size();
        CHECK((entered == 0 || entered == kOrders));
        REQUIRE(world.run(import_of(world)) == 0);
        CHECK(world.book().orders().size() == kOrders);
    }
    CHECK(struck > kRounds / 2);
}

TEST_CASE("A week that is killed while it is applied has planned all its orders or none") {
    const BookWorld world(kOrders);
    REQUIRE(world.run(import_of(world)) == 0);
    Killer killer(world, week_of(world), 2);
    REQUIRE(killer.measure() <= 1);
    int struck = 0;
    for (int round = 0; round < kRounds; ++round) {
        const auto before = world.book().orders();
        struck += killer.strike() ? 1 : 0;
        check_sound(world);
        const auto after = world.book().orders();
        REQUIRE(after.size() == kOrders);
        std::set<int> steps;
        for (std::size_t i = 0; i < after.size(); ++i) {
            REQUIRE(after[i].choice.has_value());
            CHECK(world.book().choices(after[i].id).size() ==
                  static_cast<std::size_t>(after[i].choice->version));
            steps.insert(after[i].choice->version - before[i].choice->version);
        }
        CHECK(steps.size() == 1);
        CHECK(*steps.begin() <= 1);
    }
    CHECK(struck > kRounds / 2);
}

TEST_CASE("A check that is killed has kept what it found of all orders or of none") {
    const BookWorld world(kOrders);
    REQUIRE(world.run(import_of(world)) == 0);
    REQUIRE(world.run(week_of(world)) <= 1);
    Killer killer(world, with_weather(world, {"check"}), 3);
    REQUIRE(killer.measure() <= 1);
    int struck = 0;
    for (int round = 0; round < kRounds; ++round) {
        struck += killer.strike() ? 1 : 0;
        check_sound(world);
        const orders::OrderBook book = world.book();
        std::set<std::size_t> kept;
        for (const orders::Order& order : book.orders()) kept.insert(book.reassessments(order.id).size());
        CHECK(kept.size() == 1);
    }
    CHECK(struck > kRounds / 2);
    CHECK(world.run(with_weather(world, {"check"})) <= 1);  // no lock is left behind
}

TEST_CASE("A notify that is killed sends nothing twice and loses nothing silently") {
    BookWorld world(kOrders);
    const testing::SmtpSink sink({"after=0.01"});
    world.workspace().edit_json("mail.json",
                                [&](nlohmann::ordered_json& mail) { mail["port"] = sink.port(); });
    REQUIRE(world.run(import_of(world)) == 0);
    REQUIRE(world.run(week_of(world)) <= 1);
    std::filesystem::copy_file(world.book_file(), world.file("planned.sqlite"));
    Killer killer(world, {"notify", "--send"}, 4);
    REQUIRE(killer.measure() <= 1);
    std::size_t seen = sink.taken().size();
    REQUIRE(seen >= kOrders);
    int struck = 0;
    for (int round = 0; round < kRounds; ++round) {
        forget(world);
        std::filesystem::copy_file(world.file("planned.sqlite"), world.book_file());
        struck += killer.strike() ? 1 : 0;
        check_sound(world);
        REQUIRE(world.run({"notify", "--send"}) <= 1);
        check_sound(world);
        std::map<std::string, int> by_recipient;
        const auto taken = sink.taken();
        for (std::size_t i = seen; i < taken.size(); ++i) ++by_recipient[taken[i].to];
        seen = taken.size();
        orders::OrderBook book(world.book_file());
        const auto messages = orders::Outbox(book).messages();
        CHECK(messages.size() == kOrders);
        for (const orders::Message& message : messages) {
            const int times = by_recipient[message.to];
            INFO(message.key() << " is " << orders::message_state_name(message.state));
            CHECK(times <= 1);
            if (message.state == orders::MessageState::sent) CHECK(times == 1);
            CHECK((message.state == orders::MessageState::sent ||
                   message.state == orders::MessageState::in_doubt));
        }
    }
    CHECK(struck > kRounds / 2);
}
