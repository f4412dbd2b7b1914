// What waits in an outbox is sent once, whatever the server says.
#include "mildway/notices/sending.hpp"

#include "mildway/orders/order_book.hpp"

#include "catch.hpp"
#include "temp_workspace.hpp"

#include <map>

using namespace mildway;
using notices::Fate;
using orders::MessageState;

namespace {

const Instant kNow{std::chrono::seconds(1803906000)};

/// Says what it is told to say, by address.
struct ScriptedSender : notices::Sender {
    std::map<std::string, Fate> fates;
    std::vector<std::string> given;
    notices::Delivery send(const notices::Envelope& envelope, const std::function<void()>& on_wire) override {
        const Fate fate = fates.count(envelope.to) != 0 ? fates.at(envelope.to) : Fate::taken;
        if (fate != Fate::no_server) on_wire();
        if (fate != Fate::no_server) given.push_back(envelope.to);
        return {fate, "said"};
    }
};

struct Box {
    testing::TempFolder folder;
    orders::OrderBook book{folder.path() / orders::kBookFile, orders::OrderBook::Access::write};
    orders::Outbox outbox{book};

    Box() {
        for (int n = 1; n <= 3; ++n) {
            orders::Order order;
            const std::string address = "buyer-0" + std::to_string(n) + "@example.org";
            order.buyer = {"Example Buyer", address, "", TemperatureScale::celsius};
            order.destination = "Duluth MN";
            order.place = {"Duluth MN", 46.7867, -92.1005, "America/Chicago"};
            order.species = "corn-snake";
            order.animals = {{}};
            orders::Change change(book, kNow);
            order = change.add(order);
            change.commit();
            orders::Message message;
            message.order = order.id;
            message.number = order.number;
            message.kind = "date";
            message.version = 1;
            message.to = address;
            message.subject = "x";
            message.message_id = "a@example.org";
            message.bytes = "Subject: x\r\n\r\nx\r\n";
            message.written = kNow;
            REQUIRE(outbox.write(message));
        }
    }
    [[nodiscard]] std::vector<MessageState> states() const {
        std::vector<MessageState> all;
        for (const auto& message : outbox.messages()) all.push_back(message.state);
        return all;
    }
};

}  // namespace

TEST_CASE("each message that waits is given to the server once") {
    Box box;
    ScriptedSender sender;
    (void)notices::send_waiting(box.outbox, sender, kNow);
    (void)notices::send_waiting(box.outbox, sender, kNow);
    CHECK(sender.given ==
          std::vector<std::string>{"buyer-01@example.org", "buyer-02@example.org", "buyer-03@example.org"});
    CHECK(box.states() == std::vector<MessageState>(3, MessageState::sent));
}

TEST_CASE("what a server says of one message does not keep the others") {
    Box box;
    ScriptedSender sender;
    sender.fates = {{"buyer-01@example.org", Fate::refused}, {"buyer-02@example.org", Fate::in_doubt}};
    const auto report = notices::send_waiting(box.outbox, sender, kNow);
    CHECK(report.stopped.empty());
    CHECK(box.states() ==
          std::vector<MessageState>{MessageState::refused, MessageState::in_doubt, MessageState::sent});
    sender.given.clear();
    (void)notices::send_waiting(box.outbox, sender, kNow);
    CHECK(sender.given.empty());
}

TEST_CASE("a message that is put off waits for the next run") {
    Box box;
    ScriptedSender sender;
    sender.fates = {{"buyer-02@example.org", Fate::not_now}};
    (void)notices::send_waiting(box.outbox, sender, kNow);
    CHECK(box.states() ==
          std::vector<MessageState>{MessageState::sent, MessageState::written, MessageState::sent});
}

TEST_CASE("an order that is cancelled during a run gets no message that is false") {
    Box box;
    struct Canceller : ScriptedSender {
        orders::OrderBook* book = nullptr;
        notices::Delivery send(const notices::Envelope& envelope,
                               const std::function<void()>& on_wire) override {
            if (given.empty()) {
                orders::Change change(*book, kNow);
                change.cancel(book->order("2"), "");
                change.commit();
            }
            return ScriptedSender::send(envelope, on_wire);
        }
    } sender;
    sender.book = &box.book;
    const auto report = notices::send_waiting(box.outbox, sender, kNow);
    CHECK(sender.given == std::vector<std::string>{"buyer-01@example.org", "buyer-03@example.org"});
    REQUIRE(report.changed.size() == 1);
    CHECK(report.changed[0].to == "buyer-02@example.org");
}

TEST_CASE("without a server all that waits goes on waiting") {
    Box box;
    ScriptedSender sender;
    sender.fates = {{"buyer-01@example.org", Fate::no_server}};
    const auto report = notices::send_waiting(box.outbox, sender, kNow);
    CHECK(report.stopped == "said");
    CHECK(report.tried.size() == 1);
    CHECK(box.states() == std::vector<MessageState>(3, MessageState::written));
}
