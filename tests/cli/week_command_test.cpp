// `mildway week` on the demo's workspace: what it says, writes and answers.
#include "mildway/base/text.hpp"
#include "mildway/orders/order_book.hpp"

#include "catch.hpp"
#include "command.hpp"
#include "report_text.hpp"

#include <algorithm>

using namespace mildway;
using testing::Arguments;
using testing::Outcome;
using testing::TempWorkspace;

namespace {

void add_order(const TempWorkspace& workspace, const std::string& number, const std::string& to,
               const std::string& species, const Arguments& more = {}) {
    Arguments arguments{"order",     "add",   "--number", number, "--to",    to,
                        "--species", species, "--buyer",  "One",  "--count", "1"};
    arguments.insert(arguments.end(), more.begin(), more.end());
    const Outcome outcome = testing::run_in(workspace, arguments);
    INFO(outcome.err);
    REQUIRE(outcome.code == cli::kDone);
}

Outcome week_in(const TempWorkspace& workspace, const Arguments& more = {}) {
    return testing::run_in(workspace,
                           testing::quick({"week", "--days", "5", "--recorded", workspace.recorded()}, more));
}

orders::Order order_in(const TempWorkspace& workspace, const std::string& number) {
    return orders::OrderBook(workspace.path() / orders::kBookFile).order(number);
}

const nlohmann::json& of(const nlohmann::json& week, const std::string& number) {
    const auto& orders = week.at("orders");
    return *std::find_if(orders.begin(), orders.end(),
                         [&](const auto& order) { return order.at("number") == number; });
}

}  // namespace

TEST_CASE("week without orders says so and is done") {
    TempWorkspace workspace;
    const Outcome outcome = week_in(workspace);
    CHECK(outcome.code == cli::kDone);
    CHECK_THAT(outcome.out, Catch::Contains("No order is open"));
}

TEST_CASE("week writes nothing unless it is asked to") {
    TempWorkspace workspace;
    add_order(workspace, "JB-1", "Albany NY", "corn snake");
    const std::int64_t before = order_in(workspace, "JB-1").revision;
    CHECK_THAT(week_in(workspace).out, Catch::Contains("Nothing is written yet"));
    CHECK(order_in(workspace, "JB-1").revision == before);
    CHECK(order_in(workspace, "JB-1").state == orders::State::open);
}

TEST_CASE("week --apply plans what it chose with the whole assessment") {
    TempWorkspace workspace;
    add_order(workspace, "JB-1", "Albany NY", "corn snake");
    add_order(workspace, "JB-2", "Tampa FL", "dart-frog");
    const auto week = week_in(workspace, {"--apply", "--json"}).json();
    CHECK(week.at("done") == "applied");
    const auto& chosen = of(week, "JB-1").at("chosen");
    const orders::Order planned = order_in(workspace, "JB-1");
    REQUIRE(planned.state == orders::State::planned);
    CHECK(format_date(planned.choice->ship_date) == chosen.at("ship_date"));
    CHECK(planned.choice->service == chosen.at("service"));
    CHECK(planned.choice->packing == chosen.at("packing"));
    CHECK(planned.choice->carrier_label == "Northline Parcel");
    std::string oldest = testing::kMonday;
    for (const auto& there : week.at("weather")) {
        if (there.at("place") != "Tampa FL") oldest = std::min(oldest, there.at("issued").get<std::string>());
    }
    CHECK(format_instant(planned.choice->weather_issued) == oldest);
    CHECK(nlohmann::json::parse(planned.choice->document) == chosen);
    CHECK(order_in(workspace, "JB-2").state == orders::State::open);
}

TEST_CASE("week leaves planned orders alone unless --replan is given") {
    TempWorkspace workspace;
    add_order(workspace, "JB-1", "Albany NY", "corn snake");
    (void)week_in(workspace, {"--apply"});
    CHECK(week_in(workspace, {"--json"}).json().at("orders").empty());
    CHECK(week_in(workspace, {"--json", "--replan"}).json().at("orders").size() == 1);
}

TEST_CASE("week --propose keeps the order open and records the days that suit") {
    TempWorkspace workspace;
    add_order(workspace, "JB-1", "Albany NY", "corn snake");
    const auto week = week_in(workspace, {"--propose", "--json"}).json();
    const orders::Order open = order_in(workspace, "JB-1");
    CHECK(open.state == orders::State::open);
    REQUIRE(open.proposal);
    REQUIRE_FALSE(open.proposal->days.empty());
    for (const auto& one : open.proposal->days) CHECK(one.verdict == open.proposal->days[0].verdict);
    CHECK(week_in(workspace, {"--propose", "--apply"}).code == cli::kWrongUsage);
}

TEST_CASE("week says first what law may forbid and last what to mind") {
    TempWorkspace workspace;
    add_order(workspace, "JB-1", "Sacramento CA", "hermanns-tortoise");
    const std::string text = week_in(workspace).out;
    const auto law = text.find("First: may they be sold and sent at all?");
    const auto days = text.find("Day by day:");
    const auto mind = text.find("never promise that an animal arrives alive");
    REQUIRE(mind != std::string::npos);
    CHECK(law < days);
    CHECK(days < mind);
}

TEST_CASE("week needs a person when an order waits") {
    TempWorkspace workspace;
    add_order(workspace, "JB-1", "Tampa FL", "dart-frog");
    const Outcome outcome = week_in(workspace);
    CHECK(outcome.code == cli::kNeedsPerson);
    CHECK_THAT(outcome.out, Catch::Contains("Waiting:") && Catch::Contains("unsafe at best"));
}

TEST_CASE("week keeps to 80 columns and has the same bytes on any number of threads") {
    TempWorkspace workspace;
    add_order(workspace, "JB-1", "Albany NY", "corn snake");
    add_order(workspace, "JB-2", "Duluth MN", "hermanns-tortoise", {"--earliest", "2027-03-04"});
    add_order(workspace, "JB-3", "Tampa FL", "crested gecko");
    const std::string text = week_in(workspace, {"--threads", "1"}).out;
    CHECK(week_in(workspace, {"--threads", "3"}).out == text);
    std::istringstream lines(text);
    for (std::string line; std::getline(lines, line);) {
        CAPTURE(line);
        CHECK(characters(line) <= 80);
    }
}

TEST_CASE("week --from and --days choose the days and a past day is refused") {
    TempWorkspace workspace;
    add_order(workspace, "JB-1", "Albany NY", "corn snake");
    const auto week = week_in(workspace, {"--json", "--from", "2027-03-03"}).json();
    CHECK(week.at("days").at(0).at("date") == "2027-03-03");
    CHECK(week.at("days").size() == 5);
    CHECK(week_in(workspace, {"--from", "2027-02-01"}).code == cli::kWrongUsage);
}

TEST_CASE("week tells a fault in week.json as one of the input") {
    TempWorkspace workspace;
    workspace.edit("week.json", "\"boxes_per_day\": 6", "\"boxes_per_day\": 0");
    const Outcome outcome = week_in(workspace);
    CHECK(outcome.code == cli::kWrongInput);
    CHECK_THAT(outcome.err, Catch::Contains("week.json") && Catch::Contains("boxes_per_day"));
}

namespace {

/// JB-1 to Albany on its best day.
void add_planned(const TempWorkspace& workspace) {
    add_order(workspace, "JB-1", "Albany NY", "corn snake");
    (void)week_in(workspace, {"--apply"});
    REQUIRE(order_in(workspace, "JB-1").choice.value().verdict == Verdict::comfortable);
}

}  // namespace

TEST_CASE("week needs a person while a planned order is past its day though none is open") {
    TempWorkspace workspace;
    add_planned(workspace);
    CHECK(week_in(workspace).code == cli::kDone);
    const Outcome late = testing::run_in(workspace, {"week", "--days", "5"}, "2027-03-06T13:00:00Z");
    CHECK(late.code == cli::kNeedsPerson);
    CHECK_THAT(late.out, Catch::Contains("No order is open") && Catch::Contains("! JB-1") &&
                             Catch::Contains("its day is past"));
}

TEST_CASE("week needs a person when a planned day became one away") {
    TempWorkspace workspace;
    add_planned(workspace);
    workspace.edit("week.json", "\"days_away\": []",
                   R"("days_away": [{"from": "2027-03-01", "until": "2027-03-31"}])");
    const Outcome outcome = week_in(workspace);
    CHECK(outcome.code == cli::kNeedsPerson);
    CHECK_THAT(outcome.out, Catch::Contains("you are away, and planned for it: JB-1."));
}

TEST_CASE("week takes the verdict of a planned order from its last check") {
    TempWorkspace workspace;
    add_planned(workspace);
    // the forecasts are too old by then
    (void)testing::run_in(workspace, {"check"}, "2027-03-02T12:00:00Z");
    const Outcome outcome = week_in(workspace);
    CHECK(outcome.code == cli::kNeedsPerson);
    CHECK_THAT(outcome.out, Catch::Contains("unknown at the last check"));
    CHECK(week_in(workspace, {"--json"}).json().at("kept").at(0).at("flagged") == true);
}

TEST_CASE("week --replan --apply leaves an order without a new day its plan and says so") {
    TempWorkspace workspace;
    add_planned(workspace);
    const Date planned_day = order_in(workspace, "JB-1").choice.value().ship_date;
    const Outcome kept = testing::run_in(
        workspace, testing::quick({"week", "--replan", "--apply", "--from", "2027-03-06", "--days", "2"},
                                  {}));  // a weekend
    CHECK(kept.code == cli::kNeedsPerson);
    CHECK_THAT(kept.out, Catch::Contains("keeps its plan"));
    CHECK(order_in(workspace, "JB-1").choice.value().ship_date == planned_day);
}

TEST_CASE("an edit says that the days that were proposed do not stand any more") {
    TempWorkspace workspace;
    add_order(workspace, "JB-1", "Albany NY", "corn snake");
    (void)week_in(workspace, {"--propose"});
    CHECK_THAT(testing::run_in(workspace, {"order", "edit", "JB-1", "--note", "x"}).out,
               !Catch::Contains("proposed"));
    const Outcome edit = testing::run_in(workspace, {"order", "edit", "JB-1", "--to", "Duluth MN"});
    CHECK_THAT(testing::flat(edit.out),
               Catch::Contains("! The days that were proposed do not stand any more: it was made for another "
                               "place. 'mildway week --propose' looks again."));
    CHECK_FALSE(order_in(workspace, "JB-1").proposal.has_value());
}

TEST_CASE("week --propose takes days back that suit no more") {
    TempWorkspace workspace;
    add_order(workspace, "JB-1", "Albany NY", "corn snake");
    const Outcome first = week_in(workspace, {"--propose"});
    CHECK_THAT(first.out, Catch::Contains("Proposed: ") && !Catch::Contains("Proposed: no day"));
    REQUIRE_FALSE(order_in(workspace, "JB-1").proposal.value().days.empty());
    workspace.edit("week.json", "\"days_away\": []",
                   R"("days_away": [{"from": "2027-03-01", "until": "2027-03-31"}])");
    CHECK_THAT(week_in(workspace, {"--propose"}).out, Catch::Contains("Proposed: no day any more."));
    CHECK(order_in(workspace, "JB-1").proposal.value().days.empty());
    CHECK_THAT(testing::run_in(workspace, {"order", "show", "JB-1"}).out, Catch::Contains("  no day\n"));
    CHECK_THAT(testing::run_in(workspace, {"order", "list"}).out, !Catch::Contains("proposed"));
    // once is enough
    const std::int64_t revision = order_in(workspace, "JB-1").revision;
    (void)week_in(workspace, {"--propose"});
    CHECK(order_in(workspace, "JB-1").revision == revision);
}
