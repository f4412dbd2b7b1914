// Which messages are due, by what happened to the order and what its buyer was told.
#include "catch.hpp"
#include "order_story.hpp"

using namespace mildway;
using namespace mildway::testing;
using namespace date::literals;
using notices::Kind;
using orders::MessageState;
using orders::State;

TEST_CASE("a window is not told again when one of its days has passed") {
    Story story;
    story.proposed(1, {kMonday, kWednesday});
    story.told(Kind::window);
    CHECK(story.due(kNow + date::days(1)).empty());
    CHECK(story.proposed(2, {kWednesday}, kNow + date::days(1)).due(kNow + date::days(1)) == "window 2;");
}

TEST_CASE("a day that was taken back is not followed by the days proposed before it") {
    Story story;
    story.proposed(1, {kMonday, kTuesday}, kNow);
    const auto proposal = story.order.proposal;
    story.planned(kTuesday);
    story.choices.back().chosen = kNow + minutes(10);
    story.order.choice = story.choices.back();
    story.told(Kind::date);
    story.in(State::open);
    story.order.proposal = proposal;
    story.told(Kind::taken_back);
    CHECK(story.due().empty());
    CHECK(story.proposed(2, {kWednesday}, kNow + hours(1)).due() == "window 2;");
}

TEST_CASE("an open order is due a window when days are proposed and again only for other days") {
    CHECK(Story().due().empty());
    Story story;
    story.proposed(1, {kMonday});
    CHECK(story.due() == "window 1;");
    CHECK(story.told(Kind::window).due().empty());
    CHECK(story.proposed(2, {kMonday}).due().empty());
    CHECK(story.proposed(3, {kMonday, kTuesday}).due() == "window 3;");
}

TEST_CASE("days that cannot be shipped for any more are not offered") {
    Story story;
    story.proposed(1, {kMonday, kTuesday});
    const Instant tuesday = kNow + hours(24);
    CHECK(notices::days_still_open(story.order, "America/Denver", tuesday) == std::vector<Date>{kWednesday});
    CHECK(story.due(tuesday + hours(24)).empty());
    story.told(Kind::window, kWaits);
    CHECK(story.superseded() == 0);
    CHECK(story.superseded(tuesday) == 1);
}

TEST_CASE("a planned order is due a date first and a move when another day was told") {
    CHECK(Story().planned(kTuesday).due() == "date 1;");
    CHECK(Story().planned(kTuesday).told(Kind::date).due().empty());
    CHECK(Story().planned(kTuesday).told(Kind::date).planned(kThursday).due() == "moved 2;");
    CHECK(Story().planned(kTuesday).told(Kind::date, MessageState::in_doubt).planned(kThursday).due() ==
          "moved 2;");
    CHECK(Story()
              .planned(kTuesday)
              .told(Kind::date)
              .planned(kThursday)
              .told(Kind::moved)
              .planned(kTuesday)
              .due() == "moved 3;");
}

TEST_CASE("a new choice of the same arrival is nothing to tell") {
    CHECK(Story().planned(kTuesday).told(Kind::date).planned(kTuesday).due().empty());
    CHECK(Story().planned(kTuesday).told(Kind::date).planned(kThursday).planned(kTuesday).due().empty());
}

TEST_CASE("a change of service or counter or hour is told as a move") {
    for (const auto& change : std::vector<std::function<void(orders::Choice&)>>{
             [](auto& choice) { choice.service = "two-day"; }, [](auto& choice) { choice.held = true; },
             [](auto& choice) { choice.promised += hours(1); }}) {
        Story story;
        story.planned(kTuesday).told(Kind::date).planned(kTuesday);
        change(*story.order.choice);
        CHECK(story.due() == "moved 2;");
    }
}

TEST_CASE("another destination on the same day is told as a move each time") {
    Story story;
    story.planned(kTuesday).told(Kind::date);
    const Place first = story.order.place;
    const Place second{"Saint Paul MN", 44.9537, -93.09, "America/Chicago"};
    story.order.place = second;
    CHECK(story.due() == "moved 1;");
    story.told(Kind::moved).order.place = first;
    CHECK(story.list().due.at(0).issue == 2);
    story.told(Kind::moved).order.place = second;
    CHECK(story.list().due.at(0).issue == 3);
    CHECK(story.sequences == std::vector<int>{0, 1, 2});
}

TEST_CASE("a window after a told date takes it back so that the next is a date also for the same day") {
    for (const MessageState state : {MessageState::sent, MessageState::in_doubt}) {
        Story story;
        story.planned(kTuesday).told(Kind::date).proposed(1, {kMonday}).told(Kind::window, state);
        CHECK(story.planned(kTuesday).due() == "date 2;");
    }
}

TEST_CASE("a told day that is taken back is withdrawn once and with a higher sequence than the date") {
    Story story;
    story.planned(kTuesday).told(Kind::date).in(State::open);
    CHECK(story.due() == "taken-back 1;");
    CHECK(story.told(Kind::taken_back).due().empty());
    CHECK(story.planned(kTuesday).due() == "date 2;");
    story.told(Kind::date);
    CHECK(story.sequences == std::vector<int>{0, 1, 2});
}

TEST_CASE("a proposal from before the told choice does not stand in for taking the day back") {
    Story story;
    story.planned(kTuesday).choices.back().chosen = kNow;
    story.told(Kind::date);
    CHECK(story.proposed(1, {kMonday}, kNow - hours(1)).due() == "taken-back 1;");
    CHECK(story.proposed(1, {kMonday}, kNow + hours(1)).due() == "window 1;");
}

TEST_CASE("a day that was told and is past is left to a person") {
    Story story;
    story.planned(kTuesday).told(Kind::date).in(State::open);
    const auto list = story.list(kNow + hours(48));
    CHECK(list.due.empty());
    CHECK(list.for_person.size() == 1);
}

TEST_CASE("a date whose latest hand-over is past is not told but left to a person") {
    Story story;
    story.planned(kTuesday).told(Kind::date, kWaits);
    const Instant after = story.order.choice->cut_off + seconds(1);
    CHECK(story.superseded() == 0);
    CHECK(story.list(after).due.empty());
    CHECK(story.list(after).for_person.size() == 1);
    CHECK(story.superseded(after) == 1);
}

TEST_CASE("a date that never reached the buyer does not make the next one a move") {
    for (const MessageState state : {kWaits, MessageState::refused, MessageState::dropped}) {
        CAPTURE(orders::message_state_name(state));
        CHECK(Story().planned(kTuesday).told(Kind::date, state).planned(kThursday).due() == "date 2;");
    }
}

TEST_CASE("a message in the outbox is not due again unless it was overtaken") {
    for (const MessageState state : {kWaits, MessageState::claimed, MessageState::on_wire, MessageState::sent,
                                     MessageState::refused, MessageState::in_doubt, MessageState::dropped}) {
        CAPTURE(orders::message_state_name(state));
        CHECK(Story().planned(kTuesday).told(Kind::date, state).due().empty());
    }
    Story story;
    story.planned(kTuesday).told(Kind::date, MessageState::overtaken);
    CHECK(story.due() == "date 1;");
    CHECK(story.list().due.at(0).issue == 2);
}

TEST_CASE("what went to an old address was not told and does not stand in the way") {
    for (const MessageState state :
         {kWaits, MessageState::sent, MessageState::refused, MessageState::dropped, MessageState::in_doubt}) {
        CAPTURE(orders::message_state_name(state));
        Story story;
        story.planned(kTuesday).told(Kind::date, state).order.buyer.email = "new@example.org";
        CHECK(story.due() == "date 1;");
        CHECK(story.superseded() == (state == kWaits || state == MessageState::refused ? 1 : 0));
    }
}

TEST_CASE("a handed-over order is due word of it and how to receive it, once") {
    Story story;
    story.planned(kTuesday).told(Kind::date).in(State::handed_over);
    CHECK(story.due() == "handed-over 1;receive 1;");
    CHECK(story.told(Kind::handed_over).told(Kind::receive).due().empty());
}

TEST_CASE("a delay is due when the promise has passed or when it is asked for, each once") {
    Story story;
    story.planned(kTuesday).told(Kind::date).in(State::handed_over);
    story.told(Kind::handed_over).told(Kind::receive);
    const Instant promised = story.order.choice->promised;
    CHECK(story.due(promised).empty());
    CHECK(story.due(promised + seconds(1)) == "delay 1;");
    CHECK(story.due(kNow, true) == "delay 1;");
    story.told(Kind::delay, MessageState::sent, kNow, true);
    CHECK(story.due(kNow, true).empty());
    CHECK(story.due(promised + seconds(1)) == "delay 1;");
    story.told(Kind::delay, MessageState::sent, promised + seconds(1));
    CHECK(story.due(promised + hours(5), true).empty());
    CHECK(Story().planned(kTuesday).told(Kind::date).due(kNow, true).empty());
}

TEST_CASE("an early delay that waits stands until the promise has passed") {
    Story story;
    story.planned(kTuesday).told(Kind::date).in(State::handed_over);
    story.told(Kind::delay, kWaits, kNow, true);
    CHECK(story.superseded() == 0);
    CHECK(story.superseded(story.order.choice->promised + seconds(1)) == 1);
}

TEST_CASE("word of the hand-over is not due when a delay was told or the promise has passed") {
    Story story;
    story.planned(kTuesday).told(Kind::date).in(State::handed_over);
    CHECK(story.due(story.order.choice->promised + seconds(1)) == "receive 1;delay 1;");
    CHECK(story.told(Kind::delay, MessageState::sent, kNow, true).due() == "receive 1;");
}

TEST_CASE("after a hand-over on another day nothing is late by itself and a person is asked") {
    Story story;
    story.planned(kTuesday).told(Kind::date).in(State::handed_over);
    story.order.handed_over = *story.order.handed_over + hours(24);
    const Instant promised = story.order.choice->promised;
    CHECK(notices::days_off_plan(story.order, "America/Denver") == 1);
    CHECK(story.list(promised + hours(23)).for_person.empty());
    CHECK(story.list(promised + hours(25)).for_person.size() == 1);
    CHECK(story.due(promised + hours(25)) == "handed-over 1;receive 1;");
    CHECK(story.told(Kind::delay, MessageState::sent, kNow, true)
              .list(promised + hours(25))
              .for_person.empty());
}

TEST_CASE("a held parcel is late when the day at the counter is over there") {
    Story story;
    story.planned(kTuesday).order.choice->held = true;
    story.told(Kind::date).in(State::handed_over);
    story.told(Kind::handed_over).told(Kind::receive);
    const Instant midnight_in_duluth = date::sys_days(2027_y / 3 / 3) + hours(6);
    CHECK(story.due(midnight_in_duluth).empty());
    CHECK(story.due(midnight_in_duluth + seconds(1)) == "delay 1;");
}

TEST_CASE("a cancelled order is due word of it only when a date was told") {
    CHECK(Story().planned(kTuesday).in(State::cancelled).due().empty());
    CHECK(Story().planned(kTuesday).told(Kind::date).in(State::cancelled).due() == "cancelled 1;");
    CHECK(Story()
              .planned(kTuesday)
              .told(Kind::date)
              .planned(kThursday)
              .told(Kind::moved, MessageState::dropped)
              .in(State::cancelled)
              .due() == "cancelled 1;");
}

TEST_CASE("what waits and is no longer true is superseded") {
    CHECK(Story().planned(kTuesday).told(Kind::date, kWaits).superseded() == 0);
    CHECK(Story().planned(kTuesday).told(Kind::date, kWaits).planned(kThursday).superseded() == 1);
    CHECK(Story().proposed(1, {kMonday}).told(Kind::window, kWaits).planned(kTuesday).superseded() == 1);
    CHECK(Story().proposed(1, {kMonday}).told(Kind::window, kWaits).superseded() == 0);
    CHECK(Story().planned(kTuesday).told(Kind::date, kWaits).in(State::handed_over).superseded() == 1);
    CHECK(Story().planned(kTuesday).told(Kind::date, kWaits).in(State::cancelled).superseded() == 1);
    CHECK(
        Story().planned(kTuesday).told(Kind::date, MessageState::in_doubt).planned(kThursday).superseded() ==
        0);
}
