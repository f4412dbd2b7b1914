// Messages are sent once at most, and none is lost.
#include "mildway/orders/outbox.hpp"

#include "mildway/base/errors.hpp"

#include "catch.hpp"
#include "child_process.hpp"
#include "made_orders.hpp"
#include "temp_workspace.hpp"

#include <functional>
#include <map>
#include <memory>

using namespace mildway;
using namespace mildway::orders;
using namespace mildway::testing;
using Catch::Matchers::Contains;

namespace {

struct Desk {
    TempFolder folder;
    OrderBook book{folder.path() / kBookFile, OrderBook::Access::write};
    Outbox outbox{book};
    std::int64_t order = added(book, made_order("JB-1", "buyer-01@example.org")).id;

    Message message(const std::string& kind = "date", int version = 1) const {
        Message made;
        made.order = order;
        made.kind = kind;
        made.version = version;
        made.to = "buyer-01@example.org";
        made.subject = "Your animals travel on Tue 2 Mar";
        made.message_id = "<1.date.1@mildway.example>";
        made.bytes = std::string("From: x\r\n\r\nÅ\0\xff", 15);
        made.written = kNow;
        return made;
    }

    /// A message in that state.
    std::int64_t in_state(MessageState state) {
        REQUIRE(outbox.write(message()));
        const auto id = outbox.messages().at(0).id;
        if (state == MessageState::written) return id;
        if (state == MessageState::dropped) {
            outbox.settle(id, MessageState::dropped);
            return id;
        }
        REQUIRE(outbox.claim(id, kNow));
        if (state == MessageState::claimed) return id;
        outbox.on_wire(id);
        if (state == MessageState::sent) outbox.sent(id, "250 ok");
        if (state == MessageState::refused) outbox.refused(id, "550 no");
        if (state == MessageState::in_doubt) outbox.in_doubt(id, "");
        return id;
    }
};

constexpr MessageState kStates[] = {MessageState::written, MessageState::claimed, MessageState::on_wire,
                                    MessageState::sent,    MessageState::refused, MessageState::in_doubt,
                                    MessageState::dropped};

}  // namespace

TEST_CASE("a message comes back as it was written") {
    Desk desk;
    CHECK(desk.outbox.write(desk.message()));
    const Message found = desk.outbox.message(desk.outbox.messages().at(0).id);
    const Message made = desk.message();
    CHECK(found.bytes == made.bytes);
    CHECK(found.key() == made.key());
    CHECK(found.number == "JB-1");
    CHECK(found.to == made.to);
    CHECK(found.subject == made.subject);
    CHECK(found.message_id == made.message_id);
    CHECK(found.state == MessageState::written);
    CHECK(found.attempts == 0);
    CHECK(found.written == kNow);
    CHECK_FALSE(found.tried);
    CHECK(desk.outbox.messages().at(0).bytes.empty());
}

TEST_CASE("a message is written once for an order, a kind and a version") {
    Desk desk;
    for (const MessageState state : kStates) {
        Desk other;
        other.in_state(state);
        CHECK_FALSE(other.outbox.write(other.message()));
        CHECK(other.outbox.messages().size() == 1);
    }
    CHECK(desk.outbox.write(desk.message("date", 1)));
    CHECK(desk.outbox.write(desk.message("date", 2)));
    CHECK(desk.outbox.write(desk.message("moved", 1)));
    CHECK(desk.outbox.messages(MessageState::written).size() == 3);
    CHECK(desk.outbox.messages(MessageState::sent).empty());
}

TEST_CASE("a message changes only as its state allows") {
    struct Step {
        const char* name;
        std::function<void(Outbox&, std::int64_t)> make;
        std::map<MessageState, MessageState> leads;
    };
    const std::vector<Step> steps{
        {"on the wire",
         [](Outbox& o, auto id) { o.on_wire(id); },
         {{MessageState::claimed, MessageState::on_wire}}},
        {"sent",
         [](Outbox& o, auto id) { o.sent(id, "reply"); },
         {{MessageState::on_wire, MessageState::sent}}},
        {"put back",
         [](Outbox& o, auto id) { o.put_back(id, "reply"); },
         {{MessageState::claimed, MessageState::written}, {MessageState::on_wire, MessageState::written}}},
        {"refused",
         [](Outbox& o, auto id) { o.refused(id, "reply"); },
         {{MessageState::claimed, MessageState::refused}, {MessageState::on_wire, MessageState::refused}}},
        {"in doubt",
         [](Outbox& o, auto id) { o.in_doubt(id, "reply"); },
         {{MessageState::on_wire, MessageState::in_doubt}}},
        {"settled as sent",
         [](Outbox& o, auto id) { o.settle(id, MessageState::sent); },
         {{MessageState::in_doubt, MessageState::sent}, {MessageState::refused, MessageState::sent}}},
        {"settled to be sent again",
         [](Outbox& o, auto id) { o.settle(id, MessageState::written); },
         {{MessageState::in_doubt, MessageState::written}, {MessageState::refused, MessageState::written}}},
        {"dropped",
         [](Outbox& o, auto id) { o.settle(id, MessageState::dropped); },
         {{MessageState::in_doubt, MessageState::dropped},
          {MessageState::refused, MessageState::dropped},
          {MessageState::written, MessageState::dropped}}},
    };
    for (const Step& step : steps) {
        for (const MessageState state : kStates) {
            CAPTURE(step.name, message_state_name(state));
            Desk desk;
            const auto id = desk.in_state(state);
            const auto leads = step.leads.find(state);
            if (leads == step.leads.end()) {
                CHECK_THROWS_AS(step.make(desk.outbox, id), UsageError);
                CHECK_THROWS_WITH(step.make(desk.outbox, id),
                                  Contains(std::string(message_state_name(state))));
                CHECK(desk.outbox.message(id).state == state);
            } else {
                step.make(desk.outbox, id);
                CHECK(desk.outbox.message(id).state == leads->second);
            }
        }
    }
}

TEST_CASE("only a written message can be claimed, and each claim is an attempt") {
    for (const MessageState state : kStates) {
        Desk desk;
        const auto id = desk.in_state(state);
        CHECK(desk.outbox.claim(id, kNow + hours(1)) == (state == MessageState::written));
    }
    Desk desk;
    const auto id = desk.in_state(MessageState::claimed);
    desk.outbox.put_back(id, "451 later");
    CHECK(desk.outbox.message(id).reply == "451 later");
    CHECK(desk.outbox.claim(id, kNow + hours(1)));
    CHECK(desk.outbox.message(id).attempts == 2);
    CHECK(desk.outbox.message(id).tried == kNow + hours(1));
}

TEST_CASE("after a crash what was claimed waits again and what was on the wire is in doubt") {
    for (const MessageState state : kStates) {
        CAPTURE(message_state_name(state));
        Desk desk;
        const auto id = desk.in_state(state);
        const std::string bytes = desk.outbox.message(id).bytes;
        const auto doubtful = desk.outbox.recover(kNow + hours(2));
        CHECK(doubtful.size() == (state == MessageState::on_wire ? 1 : 0));
        const MessageState expected = state == MessageState::claimed   ? MessageState::written
                                      : state == MessageState::on_wire ? MessageState::in_doubt
                                                                       : state;
        CHECK(desk.outbox.message(id).state == expected);
        CHECK(desk.outbox.message(id).bytes == bytes);
    }
}

TEST_CASE("a message in doubt is an event of its order") {
    Desk desk;
    desk.in_state(MessageState::on_wire);
    CHECK(desk.outbox.recover(kNow).at(0).number == "JB-1");
    CHECK(desk.book.events(desk.order).back().kind == "message in doubt");
}

TEST_CASE("a message written in a change goes with it") {
    Desk desk;
    {
        Change change(desk.book, kNow);
        CHECK(desk.outbox.write(desk.message()));
    }
    CHECK(desk.outbox.messages().empty());
    {
        Change change(desk.book, kNow);
        CHECK(desk.outbox.write(desk.message()));
        change.commit();
    }
    CHECK(desk.outbox.messages().size() == 1);
}

TEST_CASE("what was told another way is kept as sent to nobody and overtakes what waits of the same") {
    Desk desk;
    Message message = desk.message();
    message.told = "Tuesday";
    REQUIRE(desk.outbox.write(message));
    const std::int64_t id = desk.outbox.told(message, kNow);
    const auto all = desk.outbox.messages();
    REQUIRE(all.size() == 2);
    CHECK(all[0].state == MessageState::overtaken);
    CHECK(all[1].id == id);
    CHECK(all[1].state == MessageState::sent);
    CHECK(all[1].to.empty());
    CHECK(all[1].told == "Tuesday");
    CHECK(all[1].issue == 2);
    CHECK(desk.outbox.message(id).bytes.empty());
    CHECK(desk.book.events(desk.order).back().kind == "told another way");
}

TEST_CASE("a message that is not there is refused") {
    Desk desk;
    CHECK_THROWS_AS(desk.outbox.message(7), UsageError);
    CHECK_THROWS_AS(desk.outbox.sent(7, ""), UsageError);
    CHECK_FALSE(desk.outbox.claim(7, kNow));
}

TEST_CASE("of two processes that claim a message exactly one gets it") {
    constexpr int kMessages = 50;
    auto desk = std::make_unique<Desk>();
    for (int version = 1; version <= kMessages; ++version) desk->outbox.write(desk->message("date", version));
    const auto file = desk->book.file();
    desk->book = OrderBook(file.string() + ".other");  // no open book of SQLite's may go through a fork
    const auto claim_all = [&] {
        OrderBook own(file, OrderBook::Access::write);
        Outbox outbox(own);
        int claimed = 0;
        for (const Message& message : outbox.messages()) claimed += outbox.claim(message.id, kNow) ? 1 : 0;
        return claimed;
    };
    const pid_t one = in_child(claim_all);
    const pid_t two = in_child(claim_all);
    const int sum = WEXITSTATUS(status_of(one)) + WEXITSTATUS(status_of(two));
    CHECK(sum == kMessages);
    OrderBook after(file);
    for (const Message& message : Outbox(after).messages()) CHECK(message.attempts == 1);
}
