// What no message may tell by itself, and how a person settles it.
#include "catch.hpp"
#include "order_story.hpp"

using namespace mildway;
using namespace mildway::testing;
using Catch::Matchers::Contains;

namespace {

std::string whys(const Story& story, Instant now = kNow) {
    std::string all;
    for (const notices::ForPerson& one : story.list(now).for_person) all += one.why + ";";
    return all;
}

/// Told its day, handed over, told that too, and then it was not handed over after all.
Story never_left() {
    Story story;
    story.planned(kTuesday).told(Kind::date).in(State::handed_over).told(Kind::handed_over);
    story.told(Kind::receive);
    story.order.state = State::planned;
    story.order.handed_over.reset();
    return story;
}

}  // namespace

TEST_CASE("days that the buyer does not wish are not offered") {
    Story story;
    story.proposed(1, {kMonday, kTuesday, kWednesday});
    story.order.buyer_away = {{kTuesday, kTuesday}};
    CHECK(notices::days_still_open(story.order, "America/Denver", kNow) ==
          std::vector<Date>{kWednesday, kThursday});
    story.order.latest_arrival = kWednesday;
    CHECK(notices::days_still_open(story.order, "America/Denver", kNow) == std::vector<Date>{kWednesday});
    story.order.earliest_arrival = kThursday;
    CHECK(story.due().empty());
}

TEST_CASE("days that were proposed on old weather are left to a person") {
    Story story;
    story.proposed(1, {kThursday});
    const Instant last = kNow + hours(12) + notices::kProposalLasts;
    CHECK(story.due(last) == "window 1;");
    CHECK(story.due(last + seconds(1)).empty());
    CHECK_THAT(whys(story, last + seconds(1)), Contains("weather that is too old by now"));
    story.told(Kind::window);
    CHECK(whys(story, last + seconds(1)).empty());
}

TEST_CASE("a day that was told is taken back also when the days proposed since are too old to offer") {
    Story story;
    story.planned(kThursday).told(Kind::date).proposed(1, {kThursday}, kNow - hours(40));
    story.choices.back().chosen = kNow - hours(41);
    CHECK(story.due() == "taken-back 1;");
    CHECK_THAT(whys(story), Contains("weather that is too old by now"));
}

TEST_CASE("a told day that is past without a hand-over is left to a person") {
    Story story;
    story.planned(kTuesday).told(Kind::date);
    const Instant cut_off = story.order.choice->cut_off;
    CHECK(whys(story, cut_off).empty());
    CHECK(story.due(cut_off + seconds(1)).empty());
    CHECK_THAT(whys(story, cut_off + seconds(1)),
               Contains("was told Tue 2 Mar") && Contains("not handed over"));
    CHECK_FALSE(story.list(cut_off + seconds(1)).for_person.at(0).told);
}

TEST_CASE("an unsafe or unknown day is told only when its order is named") {
    for (const auto verdict :
         {std::optional(Verdict::unsafe), std::optional(Verdict::unknown), std::optional<Verdict>()}) {
        Story story;
        story.planned(kTuesday).verdict = verdict;
        CHECK(story.due().empty());
        CHECK_THAT(whys(story), Contains(verdict == Verdict::unsafe ? "is unsafe by" : "is unknown by"));
        story.named = true;
        CHECK(story.due() == "date 1;");
        CHECK(whys(story).empty());
        CHECK(story.list().due.at(0).verdict == verdict.value_or(Verdict::unknown));
    }
    Story tight;
    tight.planned(kTuesday).verdict = Verdict::tight;
    CHECK(tight.list().due.at(0).verdict == Verdict::tight);
}

TEST_CASE("a day that waits to be told is overtaken when it turns unsafe") {
    Story story;
    story.planned(kTuesday).told(Kind::date, kWaits);
    CHECK(story.superseded() == 0);
    story.verdict = Verdict::unsafe;
    CHECK(story.superseded() == 1);
}

TEST_CASE("a hand-over after the cut-off is off plan") {
    Story story;
    story.planned(kTuesday).told(Kind::date).in(State::handed_over);
    story.order.handed_over = story.order.choice->cut_off;
    CHECK(notices::days_off_plan(story.order, "America/Denver") == 0);
    story.order.handed_over = story.order.choice->cut_off + seconds(1);
    CHECK(notices::days_off_plan(story.order, "America/Denver") == 1);
    const Instant promised = story.order.choice->promised;
    CHECK_FALSE(notices::promise_passed(story.order, "America/Denver", promised + hours(1)));
    CHECK(whys(story, promised + hours(23)).empty());
    CHECK_THAT(whys(story, promised + hours(25)), Contains("after the cut-off"));
}

TEST_CASE("word of a hand-over that was taken back is left to a person until it was given") {
    Story story = never_left();
    CHECK(story.due().empty());
    CHECK_THAT(whys(story), Contains("hand-over was taken back"));
    story.planned(kThursday);
    CHECK(story.due().empty());
    story.told_by_hand();
    CHECK(whys(story).empty());
    CHECK(story.due() == "date 2;");
    story.told(Kind::date).in(State::handed_over);
    CHECK(story.due() == "handed-over 2;receive 2;");
}

TEST_CASE("a hand-over that was taken back and entered rightly is not told twice") {
    Story story = never_left();
    story.in(State::handed_over);
    CHECK(story.due().empty());
    story.order.handed_over = *story.order.handed_over + hours(2);
    CHECK(story.due() == "handed-over 1;");  // off plan now: what was told of its arrival does not hold
}

TEST_CASE("what was told another way counts whatever the address") {
    Story story;
    story.planned(kTuesday).verdict = Verdict::unsafe;
    story.told_by_hand().verdict = Verdict::comfortable;
    CHECK(story.due().empty());
    story.order.buyer.email = "other@example.org";
    CHECK(story.due().empty());
    CHECK(story.planned(kThursday).due() == "moved 2;");
}
