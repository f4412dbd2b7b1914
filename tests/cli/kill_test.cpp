// The whole program, killed at random moments: the book stays sound, and each change is whole or not there.
#include "book_world.hpp"
#include "catch.hpp"
#include "kill_moments.hpp"
#include "smtp_sink.hpp"

#include <chrono>
#include <map>
#include <set>
#include <thread>

using namespace mildway;
using testing::BookWorld;

namespace {

constexpr int kOrders = 12;
constexpr int kStrikes = 65;      ///< kills that came before the end of the program
constexpr int kMostRounds = 400;  ///< in which to get them

/// Kills a command at moments spread over the time that it takes.
class Killer {
public:
    Killer(const BookWorld& world, std::vector<std::string> arguments, unsigned seed)
        : world_(&world), arguments_(std::move(arguments)), moments_(seed, std::chrono::milliseconds(100)) {}

    /// Lets it run to its end once, for its time. Its exit code.
    int measure() {
        const auto start = std::chrono::steady_clock::now();
        const int code = world_->run(arguments_);
        moments_.measured(std::chrono::steady_clock::now() - start);
        return code;
    }

    /// Starts it and kills it; which may come too late.
    void strike() {
        ++rounds_;
        const pid_t pid = world_->start(arguments_);
        std::this_thread::sleep_for(moments_.next());
        kill(pid, SIGKILL);
        const bool in_time = BookWorld::wait(pid) == -1;
        moments_.struck(in_time);
        strikes_ += in_time ? 1 : 0;
    }

    /// Until enough kills have struck.
    [[nodiscard]] bool goes_on() const { return strikes_ < kStrikes && rounds_ < kMostRounds; }
    [[nodiscard]] int strikes() const { return strikes_; }

private:
    const BookWorld* world_;
    std::vector<std::string> arguments_;
    testing::KillMoments moments_;
    int rounds_ = 0;
    int strikes_ = 0;
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
    while (killer.goes_on()) {
        forget(world);
        killer.strike();
        check_sound(world);
        const std::size_t entered = world.book().orders().size();
        CHECK((entered == 0 || entered == kOrders));
        REQUIRE(world.run(import_of(world)) == 0);
        CHECK(world.book().orders().size() == kOrders);
    }
    CHECK(killer.strikes() == kStrikes);
}

TEST_CASE("A week that is killed while it is applied has planned all its orders or none") {
    const BookWorld world(kOrders);
    REQUIRE(world.run(import_of(world)) == 0);
    Killer killer(world, week_of(world), 2);
    REQUIRE(killer.measure() <= 1);
    while (killer.goes_on()) {
        const auto before = world.book().orders();
        killer.strike();
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
    CHECK(killer.strikes() == kStrikes);
}

TEST_CASE("A check that is killed has kept what it found of all orders or of none") {
    const BookWorld world(kOrders);
    REQUIRE(world.run(import_of(world)) == 0);
    REQUIRE(world.run(week_of(world)) <= 1);
    Killer killer(world, with_weather(world, {"check"}), 3);
    REQUIRE(killer.measure() <= 1);
    while (killer.goes_on()) {
        killer.strike();
        check_sound(world);
        const orders::OrderBook book = world.book();
        std::set<std::size_t> kept;
        for (const orders::Order& order : book.orders()) kept.insert(book.reassessments(order.id).size());
        CHECK(kept.size() == 1);
    }
    CHECK(killer.strikes() == kStrikes);
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
    while (killer.goes_on()) {
        forget(world);
        std::filesystem::copy_file(world.file("planned.sqlite"), world.book_file());
        killer.strike();
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
    CHECK(killer.strikes() == kStrikes);
}
