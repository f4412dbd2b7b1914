// mildway check: a planned week under the mornings that follow.
#include "mildway/base/file_lock.hpp"
#include "mildway/orders/order_book.hpp"

#include "catch.hpp"
#include "command.hpp"

using namespace mildway;
using testing::Arguments;
using testing::Outcome;
using testing::run_in;
using testing::TempWorkspace;

namespace {

/// A workspace with one corn snake to Albany that is planned with the best option of the demo's week.
class PlannedWorkspace {
public:
    PlannedWorkspace() {
        REQUIRE(run_in(workspace, {"order", "add", "--number", "JB-1", "--to", "Albany NY", "--species",
                                   "corn snake", "--buyer", "Ada Sample", "--email", "ada@example.org"})
                    .code == cli::kDone);
        const Outcome planned =
            run_in(workspace, {"plan", "--order", "JB-1", "--choose", "1", "--scenarios", "512"});
        REQUIRE(planned.code <= cli::kNeedsPerson);
    }

    [[nodiscard]] Outcome check(const Arguments& more = {}, const char* clock = testing::kMonday) const {
        Arguments words{"check", "--scenarios", "512"};
        words.insert(words.end(), more.begin(), more.end());
        return run_in(workspace, words, clock);
    }

    [[nodiscard]] orders::OrderBook book() const {
        return orders::OrderBook(workspace.path() / orders::kBookFile);
    }

    void chill(double kelvins) {
        for (const char* place : {"albany", "el-paso", "las-cruces", "st-louis"})
            workspace.edit_temperatures(place, [=](double temp_c) { return temp_c - kelvins; });
    }

    TempWorkspace workspace;
};

}  // namespace

TEST_CASE("a check of a mild week finds nothing and is silent when quiet") {
    const PlannedWorkspace world;
    const Outcome loud = world.check();
    CHECK(loud.code == cli::kDone);
    CHECK_THAT(loud.out, Catch::Contains("1 planned order, none needs you") &&
                             Catch::Contains("never promise that an animal arrives alive"));
    const Outcome quiet = world.check({"--quiet"});
    CHECK(quiet.code == cli::kDone);
    CHECK(quiet.out.empty());
}

TEST_CASE("a check under a colder forecast flags the order and says what changed and where") {
    PlannedWorkspace world;
    world.chill(25);
    const Outcome outcome = world.check({"--quiet"});
    CHECK(outcome.code == cli::kNeedsPerson);
    CHECK_THAT(outcome.out, Catch::Contains("! JB-1") && Catch::Contains("unsafe (cold) now") &&
                                Catch::Contains("instead of") && Catch::Contains("most of it in"));
    const Outcome again = world.check({"--quiet"});
    CHECK(again.code == cli::kNeedsPerson);
    CHECK_THAT(again.out, !Catch::Contains("unsafe (cold) now,") && Catch::Contains("s told before"));
}

TEST_CASE("what a check finds is kept in the order book") {
    PlannedWorkspace world;
    (void)world.check();
    world.chill(25);
    (void)world.check();
    const orders::OrderBook book = world.book();
    const auto kept = book.reassessments(book.order("JB-1").id);
    REQUIRE(kept.size() == 2);
    CHECK_FALSE(kept[0].flagged);
    CHECK(kept[1].flagged);
    CHECK(kept[1].standing == Verdict::unsafe);
    CHECK(*kept[1].hours_outside > *kept[0].hours_outside);
}

TEST_CASE("check --dry-run looks and keeps nothing") {
    PlannedWorkspace world;
    world.chill(25);
    CHECK(world.check({"--dry-run"}).code == cli::kNeedsPerson);
    const orders::OrderBook book = world.book();
    CHECK(book.reassessments(book.order("JB-1").id).empty());
}

TEST_CASE("check --all lists the orders that are as before") {
    const PlannedWorkspace world;
    (void)world.check();
    CHECK_THAT(world.check().out, !Catch::Contains("JB-1") && Catch::Contains("1 order as before"));
    CHECK_THAT(world.check({"--all"}).out, Catch::Contains("JB-1"));
}

TEST_CASE("check --days bounds how far another day is looked for") {
    PlannedWorkspace world;
    // away until Wednesday: the first day that may be told is Thursday, three days ahead
    world.workspace.edit_json("week.json", [](nlohmann::ordered_json& week) {
        week["days_away"] = {{{"from", "2027-03-01"}, {"until", "2027-03-03"}}};
    });
    const auto better = [&](const char* days) {
        return world.check({"--json", "--dry-run", "--days", days}).json().at("orders").at(0).at("better");
    };
    CHECK(better("2").is_null());
    const auto far = better("4");
    REQUIRE(far.is_object());
    CHECK(far.at("ship_date") >= "2027-03-04");
    CHECK(world.check({"--days", "31"}).code == cli::kWrongUsage);
}

TEST_CASE("check as JSON holds figures flags and the weather they rest on") {
    const PlannedWorkspace world;
    const auto json = world.check({"--json"}).json();
    CHECK(json.at("document") == "mildway check");
    CHECK(json.at("version") == 1);
    CHECK(json.at("flagged") == 0);
    REQUIRE(json.at("orders").size() == 1);
    const auto& order = json.at("orders").at(0);
    CHECK(order.at("number") == "JB-1");
    CHECK(order.at("outside_h").is_number());
    CHECK(order.at("flagged") == false);
    CHECK(order.at("option").at("legs").is_array());
    CHECK(json.at("weather").size() >= 4);
}

TEST_CASE("a check while another one runs does nothing and says so") {
    const PlannedWorkspace world;
    const auto held = FileLock::try_lock(world.workspace.path() / "check.lock");
    REQUIRE(held.has_value());
    const Outcome outcome = world.check();
    CHECK(outcome.code == cli::kSystemFailure);
    CHECK_THAT(outcome.err, Catch::Contains("another check is running"));
    const orders::OrderBook book = world.book();
    CHECK(book.reassessments(book.order("JB-1").id).empty());
}

TEST_CASE("a check without any weather ends with the code for that and calls the order unknown") {
    PlannedWorkspace world;
    world.workspace.edit_json("weather/albany.json",
                              [](nlohmann::ordered_json& json) { json["properties"].erase("temperature"); });
    const Outcome outcome = world.check({"--quiet"});
    CHECK(outcome.code == cli::kNoWeather);
    CHECK_THAT(outcome.out, Catch::Contains("! JB-1") && Catch::Contains("unknown"));
}

TEST_CASE("a check on the day after says that the order was not handed over") {
    const PlannedWorkspace world;
    const Outcome outcome = world.check({"--quiet"}, "2027-03-06T13:00:00Z");
    CHECK(outcome.code == cli::kNeedsPerson);
    CHECK_THAT(outcome.out, Catch::Contains("is past and it was not handed") && Catch::Contains("! JB-1"));
}

TEST_CASE("a day away entered after planning is told once and stays in the list") {
    PlannedWorkspace world;
    world.workspace.edit_json("week.json", [](nlohmann::ordered_json& week) {
        week["days_away"] = {{{"from", "2027-03-01"}, {"until", "2027-03-05"}}};
    });
    const Outcome first = world.check();
    CHECK(first.code == cli::kNeedsPerson);
    CHECK_THAT(first.out,
               Catch::Contains("! JB-1") && Catch::Contains("    cannot go as planned: you are away"));
    const auto before = world.book().events(world.book().order("JB-1").id).size();
    const Outcome second = world.check();
    CHECK(second.code == cli::kNeedsPerson);
    CHECK_THAT(second.out, Catch::Contains("    As told before: cannot go as planned: you are away"));
    CHECK(world.book().events(world.book().order("JB-1").id).size() == before);
    CHECK_THAT(run_in(world.workspace, {"order", "show", "JB-1"}).out,
               Catch::Contains("cannot go as planned: you are away") &&
                   !Catch::Contains("the weather was not known"));
}

TEST_CASE("a cut-off that was changed after planning stands in check and on the sheet") {
    PlannedWorkspace world;
    world.workspace.edit_json("services.json", [](nlohmann::ordered_json& json) {
        for (auto& service : json.at("services")) {
            service["cut_off"] = "16:00";
            service["hand_over"] = "15:30";
        }
    });
    const Outcome checked = world.check({"--json"});
    CHECK(checked.code == cli::kNeedsPerson);
    const std::string trouble = checked.json().at("orders").at(0).at("trouble");
    CHECK_THAT(trouble, Catch::Contains("latest hand-over 16:00 instead of 17:30"));
    const Outcome sheet = run_in(world.workspace, {"sheet", "JB-1"});
    CHECK(sheet.code == cli::kNeedsPerson);
    CHECK_THAT(sheet.out, Catch::Contains("STOP AND READ") && Catch::Contains("16:00 instead of 17:30"));
}

TEST_CASE("no line of a check is wider than a terminal") {
    PlannedWorkspace world;
    world.chill(25);
    std::istringstream lines(world.check({"--all"}).out);
    for (std::string line; std::getline(lines, line);) {
        INFO(line);
        CHECK(line.size() <= 80);
    }
}

TEST_CASE("a check of an empty book is done") {
    TempWorkspace workspace;
    const Outcome outcome = run_in(workspace, {"check"});
    CHECK(outcome.code == cli::kDone);
    CHECK_THAT(outcome.out, Catch::Contains("0 planned orders, none needs you"));
}
