// notify: what is left to a person, and how that is settled.
#include "mildway/orders/order_book.hpp"

#include "catch.hpp"
#include "notify_shop.hpp"
#include "smtp_sink.hpp"

#include <algorithm>

using namespace mildway;
using namespace date::literals;
using Catch::Contains;
using testing::kEntered;
using testing::Outcome;
using testing::Shop;
using testing::SmtpSink;

namespace {

// The shop's parcels: packed Mon 1 Mar 15:00 at the counter, handed over 16:20, cut-off 17:20.
constexpr const char* kMondayNight = "2027-03-02T02:00:00Z";

/// Lines are broken at 80 columns.
std::string on_one_line(std::string text) {
    std::replace(text.begin(), text.end(), '\n', ' ');
    for (auto at = text.find("  "); at != std::string::npos; at = text.find("  ")) text.erase(at, 1);
    return text;
}

std::string delay_text(const char* handed_over, const char* clock) {
    const Shop shop(1);
    const Outcome given = shop.order({"hand-over", "1", "--at", handed_over}, kMondayNight);
    CAPTURE(given.err);
    REQUIRE(given.code == cli::kDone);
    return on_one_line(shop.notify({"1", "--kind", "delay", "--show"}, clock).out);
}

}  // namespace

TEST_CASE("the verdict of a day stands beside its message and an unsafe one is left to a person") {
    const SmtpSink sink;
    const Shop shop(2, sink.port());
    shop.checked("1", Verdict::unsafe);
    shop.checked("2", Verdict::tight);
    const Outcome preview = shop.notify();
    CHECK(preview.code == cli::kNeedsPerson);
    CHECK_THAT(on_one_line(preview.out), Contains("2 date buyer-2@example.org tight") &&
                                             Contains("1, date: Tue 2 Mar, which was not told, is unsafe"));
    CHECK(shop.notify({"--send"}).code == cli::kNeedsPerson);
    REQUIRE(sink.taken().size() == 1);
    CHECK(sink.taken()[0].to == "buyer-2@example.org");
    const auto due = shop.notify({"1", "--json"}).json().at("due");
    REQUIRE(due.size() == 1);
    CHECK(due[0].at("verdict") == "unsafe");
    CHECK(shop.notify({"1", "--send"}).code == cli::kDone);
    CHECK(sink.taken().size() == 2);
    CHECK(shop.notify().code == cli::kDone);
}

TEST_CASE("a day that turned unsafe while it waited is not sent") {
    const SmtpSink busy({"rcpt=450 later"});
    const Shop shop(1, busy.port());
    REQUIRE(shop.notify({"--send"}).code == cli::kNeedsPerson);
    shop.checked("1", Verdict::unsafe);
    CHECK_THAT(shop.notify({"--send"}).out, Contains("Overtaken") && Contains("is unsafe by"));
    CHECK(shop.outbox().at(0).state == orders::MessageState::overtaken);
}

TEST_CASE("a buyer without an address needs a person until that one says it was told") {
    const Shop shop(0);
    shop.add("");
    CHECK(shop.notify().code == cli::kNeedsPerson);
    CHECK_THAT(shop.notify().out, Contains("Tell these buyers another way"));
    CHECK(shop.notify({"--told"}).code == cli::kWrongUsage);
    const Outcome told = shop.notify({"1", "--told"});
    CHECK(told.code == cli::kDone);
    CHECK_THAT(on_one_line(told.out), Contains("date told another way"));
    CHECK_THAT(told.out, !Contains("sent"));
    CHECK(shop.notify().code == cli::kDone);
    CHECK(shop.notify({"1", "--told"}).out == "Nothing was to be told.\n");
    shop.plan("1", 2027_y / 3 / 3, "night-air");
    CHECK_THAT(shop.notify().out, Contains("1, moved:"));
}

TEST_CASE("what was told another way is neither due nor sent") {
    const SmtpSink sink;
    const Shop shop(2, sink.port());
    shop.checked("2", Verdict::unsafe);
    REQUIRE(shop.notify({"1", "2", "--told"}).code == cli::kDone);
    CHECK(shop.notify({"--send"}).code == cli::kDone);
    CHECK(sink.taken().empty());
    CHECK(shop.notify({"--list"}).code == cli::kDone);
    CHECK_THAT(shop.order({"show", "1"}).out, Contains("told another way"));
}

TEST_CASE("what the server refused or put off is ticked off when it was told another way") {
    for (const char* answer : {"rcpt=550 nobody", "rcpt=450 later"}) {
        const SmtpSink sink({answer});
        const Shop shop(1, sink.port());
        REQUIRE(shop.notify({"--send"}).code == cli::kNeedsPerson);
        REQUIRE(shop.notify({"1", "--told"}).code == cli::kDone);
        CHECK(shop.notify({"--send"}).out == "Nothing to send.\n");
        CHECK(shop.outbox().at(0).state == orders::MessageState::overtaken);
    }
}

TEST_CASE("a day that is past and was told by telephone is settled by the hand-over alone") {
    const Shop shop(0);
    shop.add("");
    CHECK_THAT(on_one_line(shop.notify({}, kMondayNight).out), Contains("was not told this day"));
    REQUIRE(shop.notify({"1", "--told"}, kMondayNight).code == cli::kDone);
    const Outcome after = shop.notify({}, kMondayNight);
    CHECK(after.code == cli::kNeedsPerson);
    CHECK_THAT(on_one_line(after.out),
               Contains("the buyer was told Tue 2 Mar") && Contains("not handed over"));
}

TEST_CASE("a hand-over after the cut-off promises nothing of the planned trip") {
    const Shop shop(1);
    REQUIRE(shop.order({"hand-over", "1", "--at", "17:21"}, kMondayNight).code == cli::kDone);
    const std::string text = on_one_line(shop.notify({"--show"}, kMondayNight).out);
    CHECK_THAT(text, Contains("since Monday, 1 March 2027. That is not the trip we had planned"));
    CHECK_THAT(text, !Contains("2 March") && !Contains("10:30"));
}

TEST_CASE("a hand-over before the planned packing gives the hours in the box from before it") {
    const char* at_eight = "2027-03-02T14:20:00Z";
    CHECK_THAT(delay_text("2027-03-01T23:20:00Z", at_eight),
               Contains("closed about Monday, 1 March 2027, 16:00 (CST") && Contains("some 16 hours ago"));
    CHECK_THAT(delay_text("2027-03-01T13:20:00Z", at_eight),
               Contains("closed about Monday, 1 March 2027, 06:00 (CST") && Contains("some 26 hours ago"));
}

TEST_CASE("a hand-over before the planned packing is noted") {
    const Shop shop(1);
    CHECK_THAT(shop.order({"hand-over", "1", "--at", "14:59"}, kMondayNight).err,
               Contains("note: that is before the planned packing at 15:00"));
    const Shop other(1);
    CHECK(other.order({"hand-over", "1", "--at", "15:00"}, kMondayNight).err.empty());
}

TEST_CASE("a hand-over is taken back with a reason and word of it is left to a person") {
    const SmtpSink sink;
    const Shop shop(1, sink.port());
    REQUIRE(shop.notify({"--send"}).code == cli::kDone);
    REQUIRE(shop.order({"hand-over", "1"}).code == cli::kDone);
    REQUIRE(shop.notify({"--send"}).code == cli::kDone);
    REQUIRE(sink.taken().size() == 3);
    CHECK_THAT(shop.order({"take-back", "1"}).err, Contains("say with --why"));
    CHECK(shop.order({"take-back", "1", "--why", "wrong order"}).out ==
          "1 is planned again: its hand-over is taken back.\n");
    const Outcome left = shop.notify({"--send"});
    CHECK(left.code == cli::kNeedsPerson);
    CHECK_THAT(on_one_line(left.out),
               Contains("told that it is on its way, and the hand-over was taken back"));
    CHECK(sink.taken().size() == 3);
    REQUIRE(shop.notify({"1", "--told"}).code == cli::kDone);
    CHECK(shop.notify({"--json"}).json().at("due").at(0).at("kind") == "date");
}

TEST_CASE("a hand-over needs no more of the workspace than the counter's clock") {
    const Shop shop(1);
    for (const char* file : {"rules.json", "species.json", "services.json", "packings.json"})
        testing::spill(shop.workspace.path() / file, "{");
    const Outcome given = shop.order({"hand-over", "1", "--at", "16:20"}, kMondayNight);
    CAPTURE(given.err);
    CHECK(given.code == cli::kDone);
}
