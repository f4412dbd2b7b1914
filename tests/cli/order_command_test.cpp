// order add, edit, list, show, and the ways of an order.
#include "mildway/orders/order_book.hpp"

#include "catch.hpp"
#include "command.hpp"

#include <sstream>

using namespace mildway;
using Catch::Contains;
using testing::Arguments;
using testing::Outcome;
using testing::TempWorkspace;

namespace {

Outcome order(const TempWorkspace& workspace, Arguments arguments, const char* clock = testing::kMonday) {
    arguments.insert(arguments.begin(), "order");
    return testing::run_in(workspace, arguments, clock);
}

Outcome add(const TempWorkspace& workspace, const Arguments& more = {}) {
    Arguments all{"add", "--number", "JB-1", "--to", "Duluth MN", "--species", "corn snake"};
    all.insert(all.end(), more.begin(), more.end());
    return order(workspace, all);
}

/// Plans an order as a week would.
void choose(const TempWorkspace& workspace, const std::string& number) {
    orders::OrderBook book(workspace.path() / orders::kBookFile, orders::OrderBook::Access::write);
    orders::Choice choice;
    choice.ship_date = parse_date("2027-03-02").value();
    choice.delivery_date = parse_date("2027-03-03").value();
    choice.service = "night-air";
    choice.service_label = "Night";
    choice.carrier_label = "Northline Parcel";
    choice.packing = "small-38-1w";
    choice.packing_label = "38 mm + 40 h warmer";
    choice.packed = parse_instant("2027-03-02T22:10:00Z").value();
    choice.handed_over = parse_instant("2027-03-02T23:30:00Z").value();
    choice.cut_off = parse_instant("2027-03-03T00:30:00Z").value();
    choice.promised = parse_instant("2027-03-03T16:30:00Z").value();
    choice.verdict = Verdict::tight;
    choice.hours_outside = 0.4;
    choice.chance_outside = 0.12;
    choice.chance_harm = 0.003;
    choice.cost_usd = 53.1;
    choice.chosen = choice.weather_issued = parse_instant("2027-03-01T13:00:00Z").value();
    choice.chosen_by = "week";
    orders::Change change(book, choice.chosen);
    (void)change.choose(book.order(number), choice);
    change.commit();
}

/// With all blanks and line ends as one blank, as lines are broken at 80 columns.
std::string on_one_line(const std::string& text) {
    std::istringstream words(text);
    std::string all;
    for (std::string word; words >> word;) all += (all.empty() ? "" : " ") + word;
    return all;
}

void no_line_is_wide(const std::string& text) {
    std::istringstream lines(text);
    for (std::string line; std::getline(lines, line);) {
        CAPTURE(line);
        CHECK(std::count_if(line.begin(), line.end(), [](char c) { return (c & '\xC0') != '\x80'; }) <= 80);
    }
}

constexpr const char* kTuesdayNight = "2027-03-03T00:10:00Z";  // 17:10 in El Paso
constexpr const char* kWednesday = "2027-03-03T17:00:00Z";

}  // namespace

TEST_CASE("order add takes every option and show tells it again") {
    TempWorkspace workspace;
    const Outcome added = add(workspace, {"--buyer",     "Ada Sample",
                                          "--email",     "buyer-01@example.org",
                                          "--address",   "12 Invented Street",
                                          "--address",   "Duluth",
                                          "--scale",     "fahrenheit",
                                          "--value-usd", "85.5",
                                          "--earliest",  "2027-03-02",
                                          "--latest",    "2027-03-09",
                                          "--away",      "2027-03-04..2027-03-05",
                                          "--away",      "2027-03-08",
                                          "--service",   "night-air",
                                          "--service",   "two-day",
                                          "--note",      "calm",
                                          "--animal",    "Ash, 31 g, 38 mm",
                                          "--animal",    "7 g"});
    CAPTURE(added.err);
    REQUIRE(added.code == cli::kDone);
    CHECK(added.out == "JB-1: 2 x corn snake to Duluth MN, Tue 2 to Tue 9 Mar; entered as open\n");
    CHECK(added.err.empty());
    const Outcome shown = order(workspace, {"show", "jb-1"});
    for (const char* part :
         {"JB-1: open\n", "Ada Sample <buyer-01@example.org>, reads °F", "12 Invented Street\n", "  Duluth\n",
          "Duluth MN (46.7867,-92.1005), clock America/Chicago", "2 x corn snake: Ash 31 g shell 38 mm, 7 g",
          "$85.50", "Tue 2 to Tue 9 Mar", "Thu 4 to Fri 5 Mar; Mon 8 Mar", "night-air, two-day", "calm"})
        CHECK_THAT(shown.out, Contains(part));
    no_line_is_wide(shown.out);
    const auto json = order(workspace, {"show", "JB-1", "--json"}).json();
    CHECK(json.at("document") == "mildway order show");
    CHECK(json.at("version") == 1);
    CHECK(json.at("buyer").at("address") == "12 Invented Street\nDuluth");
    CHECK(json.at("animals").size() == 2);
    CHECK(json.at("away").at(1).at("until") == "2027-03-08");
}

TEST_CASE("a place of the workspace and coordinates with a zone need no contact and no network") {
    TempWorkspace workspace;
    workspace.edit("workspace.json", "\"contact\": \"breeder@mildway.test\",", "");
    CHECK(add(workspace).code == cli::kDone);
    CHECK(order(workspace,
                {"add", "--to", "64.84,-147.72", "--zone", "America/Anchorage", "--species", "corn snake"})
              .code == cli::kDone);
    CHECK(order(workspace, {"add", "--to", "46.8,-92.2", "--species", "corn snake"}).code == cli::kDone);
    const Outcome typo = order(workspace, {"add", "--to", "Dulut MN", "--species", "corn snake"});
    CHECK(typo.code == cli::kWrongUsage);
    CHECK_THAT(typo.err, Contains("did you mean 'Duluth MN'?") && Contains("/weather/contact"));
}

TEST_CASE("order add without a number takes the next free one and refuses one that is taken") {
    TempWorkspace workspace;
    CHECK_THAT(order(workspace, {"add", "--to", "Tampa FL", "--species", "dart-frog"}).out,
               Catch::StartsWith("1: 1 x green-and-black dart frog to Tampa FL, any day"));
    CHECK(add(workspace).code == cli::kDone);
    const Outcome twice = add(workspace);
    CHECK(twice.code == cli::kWrongUsage);
    CHECK_THAT(twice.err, Contains("JB-1"));
}

TEST_CASE("order add tells all that is wrong at once and adds nothing") {
    TempWorkspace workspace;
    const Outcome outcome =
        order(workspace, {"add", "--number", "3/1/2027", "--to", "Nowhere", "--species", "cow", "--email",
                          "a@b", "--latest", "1/2/27", "--mass-g", "0", "--offline"});
    CHECK(outcome.code == cli::kWrongUsage);
    for (const char* option :
         {"--number: ", "--to: ", "--species: ", "--email: ", "--latest: ", "--mass-g: "})
        CHECK_THAT(outcome.err, Contains(option));
    CHECK_THAT(order(workspace, {"list"}).out, Contains("No such orders."));
    CHECK(order(workspace, {"add", "--species", "corn snake"}).code == cli::kWrongUsage);
    CHECK(add(workspace, {"--count", "2", "--animal", "7 g"}).code == cli::kWrongUsage);
}

TEST_CASE("a latest arrival in the past is noted") {
    TempWorkspace workspace;
    const Outcome outcome = add(workspace, {"--latest", "2026-03-05"});
    CHECK(outcome.code == cli::kDone);
    CHECK_THAT(outcome.err, Contains("note: the latest arrival, 2026-03-05, is in the past"));
}

TEST_CASE("order edit says what changed before and after and an empty text clears a wish") {
    TempWorkspace workspace;
    REQUIRE(add(workspace, {"--latest", "2027-03-09", "--note", "calm", "--away", "2027-03-04"}).code ==
            cli::kDone);
    const Outcome edited =
        order(workspace, {"edit", "JB-1", "--latest", "", "--away", "", "--mass-g", "8", "--note", "shy"});
    CAPTURE(edited.err);
    CHECK(edited.code == cli::kDone);
    CHECK(edited.out ==
          "JB-1 changed:\n  latest: 2027-03-09 -> (none)\n  away: 2027-03-04 -> (none)\n  note: calm -> shy\n"
          "  animals: 1 -> 8 g\n");
    CHECK(order(workspace, {"edit", "JB-1", "--note", "shy"}).out == "JB-1: nothing was different.\n");
    const Outcome json = order(workspace, {"edit", "JB-1", "--number", "JB-2", "--json"});
    CHECK(json.json().at("document") == "mildway order edit");
    CHECK(json.json().at("changes").at(0).at("after") == "JB-2");
    CHECK(order(workspace, {"show", "JB-2"}).code == cli::kDone);
    const Outcome none = order(workspace, {"edit", "JB-9", "--note", "x"});
    CHECK(none.code == cli::kWrongUsage);
    CHECK_THAT(none.err, Contains("JB-2"));
    CHECK(order(workspace, {"edit", "JB-2", "--to", ""}).code == cli::kWrongUsage);
}

TEST_CASE("an edit that the plan does not stand opens the order again and needs a person") {
    TempWorkspace workspace;
    REQUIRE(add(workspace).code == cli::kDone);
    choose(workspace, "JB-1");
    CHECK(order(workspace, {"edit", "JB-1", "--note", "calm", "--latest", "2027-03-03"}).code == cli::kDone);
    CHECK(order(workspace, {"show", "JB-1", "--json"}).json().at("state") == "planned");
    const Outcome edited = order(workspace, {"edit", "JB-1", "--latest", "2027-03-02"});
    CHECK(edited.code == cli::kNeedsPerson);
    CHECK_THAT(on_one_line(edited.out),
               Contains("open again: it arrives Wed 3 Mar: after the latest day, Tue 2 Mar."));
    const auto shown = order(workspace, {"show", "JB-1", "--json"}).json();
    CHECK(shown.at("state") == "open");
    CHECK(shown.at("choice").is_null());
}

TEST_CASE("another address does not rename its buyer") {
    TempWorkspace workspace;
    REQUIRE(add(workspace, {"--buyer", "Ada", "--email", "a@example.org"}).code == cli::kDone);
    REQUIRE(order(workspace, {"add", "--number", "JB-2", "--to", "Tampa FL", "--species", "dart-frog",
                              "--buyer", "Ben", "--email", "b@example.org"})
                .code == cli::kDone);
    CHECK(order(workspace, {"edit", "JB-2", "--email", "A@example.org"}).code == cli::kDone);
    CHECK(order(workspace, {"show", "JB-1", "--json"}).json().at("buyer").at("name") == "Ada");
    CHECK(order(workspace, {"show", "JB-2", "--json"}).json().at("buyer").at("name") == "Ada");
    const Outcome moved = order(workspace, {"edit", "JB-2", "--email", "c@example.org"});
    CHECK_THAT(moved.err, Contains("note: 1 other order of"));
    CHECK(order(workspace, {"show", "JB-1", "--json"}).json().at("buyer").at("email") != "c@example.org");
}

TEST_CASE("add and edit say which other orders of the buyer change") {
    TempWorkspace workspace;
    REQUIRE(add(workspace, {"--buyer", "Ada", "--email", "a@example.org"}).code == cli::kDone);
    const Arguments second{"add",       "--number", "JB-2",    "--to",    "Tampa FL",     "--species",
                           "dart frog", "--buyer",  "Ada Two", "--email", "a@example.org"};
    CHECK(order(workspace, second).out ==
          "JB-2: 1 x green-and-black dart frog to Tampa FL, any day; entered as open\n"
          "The buyer's other orders changed with it:\n  JB-1 (open): buyer: Ada -> Ada Two\n");
    CHECK_THAT(order(workspace, {"edit", "JB-1", "--buyer", "Eve"}).out,
               Contains("changed with it:\n  JB-2 (open): buyer: Ada Two -> Eve\n"));
    const auto json = order(workspace, {"edit", "JB-1", "--buyer", "Ada", "--json"}).json();
    CHECK(json.at("shared").at(0).at("number") == "JB-2");
    CHECK(order(workspace, {"edit", "JB-1", "--note", "x", "--json"}).json().at("shared").empty());
}

TEST_CASE("a further animal gets the mass of alike ones and else must be told") {
    TempWorkspace workspace;
    REQUIRE(add(workspace, {"--animal", "Ash, 31 g, 40 mm"}).code == cli::kDone);
    CHECK_THAT(order(workspace, {"edit", "JB-1", "--count", "2"}).out,
               Contains("animals: Ash 31 g shell 40 mm -> Ash 31 g shell 40 mm, 31 g"));
    const Outcome unlike = order(workspace, {"edit", "JB-1", "--count", "3"});
    CHECK(unlike.code == cli::kWrongUsage);
    CHECK_THAT(on_one_line(unlike.err),
               Contains("--count: the animals so far are not alike (Ash 31 g shell 40 "
                        "mm, 31 g); tell each with --animal"));
    CHECK(order(workspace, {"edit", "JB-1", "--count", "3", "--mass-g", "9"}).code == cli::kDone);
}

TEST_CASE("a figure in an option that may be a thousand times larger is refused") {
    TempWorkspace workspace;
    for (const Arguments& doubtful :
         {Arguments{"--mass-g", "1,200"}, Arguments{"--mass-g", "1.200"},
          Arguments{"--animal", "Ash, 1.200 g"}, Arguments{"--value-usd", "1.200"}}) {
        const Outcome outcome = add(workspace, doubtful);
        CHECK(outcome.code == cli::kWrongUsage);
        CHECK_THAT(on_one_line(outcome.err), Contains("may be 1200 or 1.2; write 1200 or 1.2"));
    }
    const Outcome comma = add(workspace, {"--animal", "1,200 g"});
    CHECK(comma.code == cli::kWrongUsage);
    CHECK_THAT(on_one_line(comma.err), Contains("'1,200 g': a decimal comma"));
    CHECK_THAT(order(workspace, {"list"}).out, Contains("No such orders."));
}

TEST_CASE("an order goes from planned to arrived") {
    TempWorkspace workspace;
    REQUIRE(add(workspace, {"--count", "2"}).code == cli::kDone);
    CHECK(order(workspace, {"hand-over", "JB-1"}).code == cli::kWrongUsage);
    choose(workspace, "JB-1");
    const Outcome planned = order(workspace, {"show", "JB-1"});
    for (const char* part :
         {"Plan 1, chosen Mon 1 Mar 06:00 by 'week'", "Tue 2 Mar, Night (Northline Parcel), 38 mm +",
          "close the box Tue 2 Mar 15:10, hand over 16:30, at the latest 17:30", "by Wed 3 Mar 10:30 there",
          "tight, cold; 0.4 h expected", "$53.10"})
        CHECK_THAT(on_one_line(planned.out), Contains(part));
    no_line_is_wide(planned.out);
    const Outcome handed = order(workspace, {"hand-over", "JB-1"}, kTuesdayNight);
    CHECK(handed.out == "JB-1 was handed over Tue 2 Mar 17:10.\n");
    CHECK(handed.err.empty());
    CHECK_THAT(order(workspace, {"list"}).out, Contains("Handed over") && Contains("Wed 3 Mar"));
    const Outcome early = order(
        workspace, {"arrive", "JB-1", "--alive", "2", "--well", "2", "--at", "2027-03-02 18:00"}, kWednesday);
    CHECK(early.code == cli::kWrongUsage);
    CHECK_THAT(early.err, Contains("is before it was handed over, Tue 2 Mar 18:10 there"));
    const Outcome late = order(
        workspace, {"arrive", "JB-1", "--alive", "2", "--well", "2", "--at", "2027-03-04 10:00"}, kWednesday);
    CHECK_THAT(late.err, Contains("is in the future: it is Wed 3 Mar 11:00 now"));
    const Outcome arrived = order(workspace,
                                  {"arrive", "JB-1", "--alive", "2", "--well", "1", "--at", "10:05",
                                   "--inside-c", "18.5", "--note", "ok"},
                                  kWednesday);
    CHECK(arrived.out == "JB-1 arrived Wed 3 Mar 10:05 there: 2 of 2 alive, 1 of them well.\n");
    const auto outcome = order(workspace, {"show", "JB-1", "--json"}).json().at("outcome");
    CHECK(outcome.at("arrived") == "2027-03-03T16:05:00Z");
    CHECK(outcome.at("inside_c") == 18.5);
    CHECK_THAT(order(workspace, {"show", "JB-1"}).out,
               Contains("2 of 2 alive, 1 of them well") && Contains("18.5 °C"));
    CHECK_THAT(order(workspace, {"list"}).out, Contains("No such orders."));
    CHECK_THAT(order(workspace, {"list", "--all"}).out, Contains("2 of 2 alive"));
    CHECK_THAT(order(workspace, {"list", "--state", "arrived"}).out, Contains("1 order: 1 arrived."));
}

TEST_CASE("a hand-over at another time than planned is noted and one in the future refused") {
    TempWorkspace workspace;
    REQUIRE(add(workspace).code == cli::kDone);
    choose(workspace, "JB-1");
    CHECK_THAT(order(workspace, {"hand-over", "JB-1", "--at", "18:00"}, kTuesdayNight).err,
               Contains("in the future"));
    CHECK_THAT(order(workspace, {"hand-over", "JB-1", "--at", "noon"}, kTuesdayNight).err,
               Contains("--at 'noon' is not a time like"));
    CHECK_THAT(order(workspace, {"hand-over", "JB-1", "--at", "2027-02-28 16:00"}, kTuesdayNight).err,
               Contains("before its plan was made"));
    const Outcome late = order(workspace, {"hand-over", "JB-1"}, "2027-03-03T00:40:00Z");
    CHECK(late.code == cli::kDone);
    CHECK_THAT(late.err, Contains("note: that is after the cut-off at 17:30"));
    TempWorkspace other;
    REQUIRE(add(other).code == cli::kDone);
    choose(other, "JB-1");
    CHECK_THAT(order(other, {"hand-over", "JB-1"}, kWednesday).err,
               Contains("note: it was planned for Tue 2 Mar"));
}

TEST_CASE("more animals alive or well than there are is refused") {
    TempWorkspace workspace;
    REQUIRE(add(workspace).code == cli::kDone);
    choose(workspace, "JB-1");
    REQUIRE(order(workspace, {"hand-over", "JB-1"}, kTuesdayNight).code == cli::kDone);
    CHECK_THAT(order(workspace, {"arrive", "JB-1", "--alive", "2", "--well", "1"}, kWednesday).err,
               Contains("--alive 2 is more than were sent: JB-1 has 1"));
    CHECK_THAT(order(workspace, {"arrive", "JB-1", "--alive", "0", "--well", "1"}, kWednesday).err,
               Contains("--well 1 is more than are alive, 0"));
}

TEST_CASE("the logger of a parcel is kept when it can be read") {
    TempWorkspace workspace;
    REQUIRE(add(workspace).code == cli::kDone);
    choose(workspace, "JB-1");
    REQUIRE(order(workspace, {"hand-over", "JB-1"}, kTuesdayNight).code == cli::kDone);
    const std::string file = (workspace.path() / "box.csv").string();
    const Arguments arrive{"arrive", "JB-1", "--alive", "1", "--well", "1", "--logger", file};
    testing::spill(file, "no log at all\n");
    CHECK(order(workspace, arrive, kWednesday).code == cli::kWrongInput);
    CHECK(order(workspace, {"show", "JB-1", "--json"}).json().at("state") == "handed-over");
    const std::string log = "Time,Temperature (C)\n2027-03-02 16:00,21.0\n2027-03-02 16:10,21.5\n";
    testing::spill(file, log);
    const Outcome arrived = order(workspace, arrive, kWednesday);
    CAPTURE(arrived.err);
    CHECK(arrived.code == cli::kDone);
    CHECK_THAT(arrived.err, Contains("holds 2 readings"));
    const orders::OrderBook book(workspace.path() / orders::kBookFile);
    const auto outcome = book.outcome(book.order("JB-1").id);
    CHECK(outcome->logger_name == "box.csv");
    CHECK(outcome->logger_bytes == log);
}

TEST_CASE("cancel and take-back") {
    TempWorkspace workspace;
    REQUIRE(add(workspace).code == cli::kDone);
    choose(workspace, "JB-1");
    CHECK(order(workspace, {"take-back", "JB-1", "--why", "snow"}).out ==
          "JB-1 is open again: its plan is taken back.\n");
    CHECK(order(workspace, {"take-back", "JB-1"}).code == cli::kWrongUsage);
    CHECK(
        order(workspace, {"cancel", "JB-1", "--why", "sold here", "--json"}).json().at("order").at("state") ==
        "cancelled");
    CHECK_THAT(order(workspace, {"show", "JB-1"}).out, Contains("snow") && Contains("sold here"));
    CHECK(order(workspace, {"edit", "JB-1", "--note", "x"}).code == cli::kWrongUsage);
}

TEST_CASE("order list has a section for each state and lines of 80 columns") {
    TempWorkspace workspace;
    REQUIRE(add(workspace, {"--buyer", std::string(90, 'W'), "--latest", "2027-03-05"}).code == cli::kDone);
    REQUIRE(order(workspace, {"add", "--number", std::string(40, '9'), "--to", "Sacramento CA", "--species",
                              "hermanns-tortoise", "--count", "12", "--earliest", "2027-03-30", "--latest",
                              "2027-04-12"})
                .code == cli::kDone);
    choose(workspace, "JB-1");
    const Outcome listed = order(workspace, {"list"});
    CHECK_THAT(listed.out, Contains("Open\n") && Contains("Planned\n") && Contains("tight, cold") &&
                               Contains("Tue 2 Mar") && Contains("2 orders: 1 open, 1 planned."));
    no_line_is_wide(listed.out);
    const auto json = order(workspace, {"list", "--json"}).json();
    CHECK(json.at("document") == "mildway order list");
    CHECK(json.at("orders").size() == 2);
}

TEST_CASE("order list marks what a check has flagged") {
    TempWorkspace workspace;
    REQUIRE(add(workspace).code == cli::kDone);
    choose(workspace, "JB-1");
    {
        orders::OrderBook book(workspace.path() / orders::kBookFile, orders::OrderBook::Access::write);
        orders::Change change(book, parse_instant(testing::kMonday).value());
        orders::Reassessment found;
        found.choice_version = 1;
        found.verdict = found.standing = Verdict::unsafe;
        found.flagged = true;
        found.sentence = "it is unsafe now";
        REQUIRE(change.reassess(book.order("JB-1"), found));
        change.commit();
    }
    CHECK_THAT(order(workspace, {"list"}).out,
               Contains("\n! JB-1") && Contains("unsafe, cold") && Contains("1 marked ! by the last check"));
}

TEST_CASE("order list is there beside a config at fault but wants a workspace") {
    TempWorkspace workspace;
    REQUIRE(order(workspace, {"add", "--to", "Tampa FL", "--species", "dart-frog"}).code == cli::kDone);
    CHECK_THAT(order(workspace, {"list"}).out, Contains("1 x green-and-black dart"));
    workspace.edit("services.json", "{", "{{");
    workspace.edit("species.json", "{", "{{");
    const Outcome list = order(workspace, {"list"});
    CHECK(list.code == cli::kDone);
    CHECK_THAT(list.out, Contains("1 x dart frog"));
    CHECK_THAT(list.err, Contains("species.json"));
    const testing::TempFolder empty;
    const Outcome nowhere = testing::run_bare({"--workspace", empty.path().string(), "order", "list"});
    CHECK(nowhere.code == cli::kWrongInput);
    CHECK_THAT(nowhere.err, Contains("workspace.json: there is no such file; expected a workspace"));
}

TEST_CASE("order show needs no config but workspace.json and the names of species") {
    TempWorkspace workspace;
    REQUIRE(add(workspace).code == cli::kDone);
    workspace.edit_json("rules.json", [](nlohmann::ordered_json& json) { json = {{"broken", true}}; });
    const Outcome outcome = order(workspace, {"show", "JB-1"});
    CHECK(outcome.code == cli::kDone);
    CHECK_THAT(outcome.out, Contains("JB-1: open"));
    workspace.edit_json("species.json", [](nlohmann::ordered_json& json) { json = {{"broken", true}}; });
    CHECK(order(workspace, {"show", "JB-1"}).code == cli::kDone);
}

TEST_CASE("order list does not tell a day for a parcel that was handed over off plan") {
    TempWorkspace workspace;
    REQUIRE(add(workspace).code == cli::kDone);
    choose(workspace, "JB-1");
    REQUIRE(
        order(workspace, {"hand-over", "JB-1", "--at", "2027-03-03 16:00"}, "2027-03-05T13:00:00Z").code ==
        cli::kDone);  // planned for 2 March
    CHECK_THAT(order(workspace, {"list"}).out, Contains("off plan") && !Contains("Wed 3 Mar"));
}

TEST_CASE("a reason that is no text is wrong usage and JSON of the order stays whole") {
    TempWorkspace workspace;
    REQUIRE(add(workspace).code == cli::kDone);
    const Outcome refused = order(workspace, {"cancel", "JB-1", "--why", "sold\xff"});
    CHECK(refused.code == cli::kWrongUsage);
    CHECK_THAT(refused.err, Contains("is not text in UTF-8"));
    CHECK(order(workspace, {"show", "JB-1", "--json"}).code == cli::kDone);
}
