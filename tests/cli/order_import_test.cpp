// order import and export, and the demo's table of orders.
#include "mildway/orders/order_book.hpp"

#include "catch.hpp"
#include "command.hpp"

#include <sstream>

#include <sys/stat.h>

using namespace mildway;
using Catch::Contains;
using testing::Arguments;
using testing::Outcome;
using testing::TempWorkspace;

namespace {

constexpr const char* kDemo = MILDWAY_SOURCE_DIR "/fixtures/demo/orders.csv";

Outcome order(const TempWorkspace& workspace, Arguments arguments) {
    arguments.insert(arguments.begin(), "order");
    return testing::run_in(workspace, arguments);
}

/// With all blanks and line ends as one blank, as lines are broken at 80 columns.
std::string on_one_line(const std::string& text) {
    std::istringstream words(text);
    std::string all;
    for (std::string word; words >> word;) all += (all.empty() ? "" : " ") + word;
    return all;
}

}  // namespace

TEST_CASE("the demo orders are imported once and the same file changes nothing") {
    TempWorkspace workspace;
    const Outcome dry = order(workspace, {"import", kDemo});
    CAPTURE(dry.err);
    CHECK(dry.code == cli::kDone);
    CHECK_THAT(on_one_line(dry.out),
               Contains("8 new, 0 changed, 0 same. Nothing was") && Contains("--apply"));
    CHECK_THAT(dry.out,
               Contains("2 x Hermann's tortoise to") && Contains("3 x green-and-black dart frog to"));
    CHECK_FALSE(std::filesystem::exists(workspace.path() / orders::kBookFile));
    const Outcome applied = order(workspace, {"import", kDemo, "--apply"});
    CHECK(applied.code == cli::kDone);
    CHECK_THAT(on_one_line(applied.out), Contains("8 new, 0 changed, 0 same. Written."));
    const Outcome again = order(workspace, {"import", kDemo, "--apply"});
    CHECK_THAT(on_one_line(again.out), Contains("0 new, 0 changed, 8 same. There is nothing to write."));
    const auto tortoises = order(workspace, {"show", "JB-1043", "--json"}).json();
    CHECK(tortoises.at("species") == "hermanns-tortoise");
    CHECK(tortoises.at("animals").size() == 2);
    CHECK(tortoises.at("animals").at(1).at("mark") == "Birch");
    CHECK(order(workspace, {"show", "JB-1046", "--json"}).json().at("buyer").at("address") ==
          "12 Invented Street\nAlbany NY 12207");
}

TEST_CASE("faults of a table come with exit code 4 and leave no book") {
    TempWorkspace workspace;
    const std::string file = (workspace.path() / "bad.csv").string();
    testing::spill(file, "number,to,species\nN-1,Duluth MN,corn snak\nN-2,Dulut MN,corn snake\n");
    const Outcome outcome = order(workspace, {"import", file, "--apply", "--offline"});
    CHECK(outcome.code == cli::kWrongInput);
    CHECK(outcome.out.empty());
    CHECK_THAT(outcome.err, Contains("2 things are wrong; nothing was written") &&
                                Contains("bad.csv:2: species: no species is called 'corn snak'") &&
                                Contains("bad.csv:3: to: no place is called 'Dulut MN'"));
    CHECK_THAT(order(workspace, {"list"}).out, Contains("No such orders."));
}

TEST_CASE("changes of a table are shown before and after") {
    TempWorkspace workspace;
    REQUIRE(order(workspace, {"import", kDemo, "--apply"}).code == cli::kDone);
    const std::string file = (workspace.path() / "new.csv").string();
    testing::spill(file, "number,latest,note\nJB-1041,2027-03-05,-\nJB-1042,-,\n");
    const Outcome dry = order(workspace, {"import", file});
    CHECK_THAT(dry.out,
               Contains("changed JB-1041  is open") && Contains("latest: 2027-03-06 -> 2027-03-05") &&
                   Contains("latest: 2027-03-12 -> (none)") && Contains("0 new, 2 changed, 0 same."));
    const auto json = order(workspace, {"import", file, "--json"}).json();
    CHECK(json.at("document") == "mildway order import");
    CHECK(json.at("applied") == false);
    CHECK(json.at("counts").at("changed") == 2);
    CHECK(json.at("orders").at(1).at("changes").at(0).at("before") == "2027-03-12");
}

TEST_CASE("a dry run shows each order that changes with a buyer") {
    TempWorkspace workspace;
    REQUIRE(order(workspace, {"import", kDemo, "--apply"}).code == cli::kDone);
    const std::string file = (workspace.path() / "new.csv").string();
    testing::spill(
        file, "number,to,species,buyer,email\nJB-1050,Tampa FL,dart frog,Ada Two,buyer-01@example.org\n");
    CHECK_THAT(
        order(workspace, {"import", file}).out,
        Contains("the buyer is known, and changes:\n                   buyer: Ada Sample -> Ada Two\n") &&
            Contains("changed JB-1041  is open; shares the buyer with JB-1050\n"
                     "                   buyer: Ada Sample -> Ada Two\n") &&
            Contains("changed JB-1046") && Contains("1 new, 2 changed, 0 same."));
    const auto json = order(workspace, {"import", file, "--json"}).json();
    CHECK(json.at("orders").at(0).at("along_with").is_null());
    CHECK(json.at("orders").at(1).at("along_with") == "JB-1050");
    CHECK(json.at("orders").at(1).at("line").is_null());
}

TEST_CASE("a handed-over order that differs is refused and needs a person") {
    TempWorkspace workspace;
    REQUIRE(order(workspace, {"import", kDemo, "--apply"}).code == cli::kDone);
    {
        orders::OrderBook book(workspace.path() / orders::kBookFile, orders::OrderBook::Access::write);
        orders::Change change(book, parse_instant(testing::kMonday).value());
        orders::Choice choice;
        choice.ship_date = choice.delivery_date = parse_date("2027-03-02").value();
        (void)change.choose(book.order("JB-1041"), choice);
        change.hand_over(book.order("JB-1041"), parse_instant(testing::kMonday).value());
        change.commit();
    }
    CHECK_THAT(order(workspace, {"import", kDemo}).out, Contains("8 same"));
    const std::string file = (workspace.path() / "new.csv").string();
    testing::spill(file, "number,note\nJB-1041,late\n");
    const Outcome dry = order(workspace, {"import", file});
    CHECK(dry.code == cli::kNeedsPerson);
    CHECK_THAT(dry.out,
               Contains("refused JB-1041  line 2: is handed over") && Contains("note: (none) -> late"));
    CHECK(order(workspace, {"import", file, "--apply"}).code == cli::kWrongInput);
}

TEST_CASE("an export goes into another workspace and comes out the same") {
    TempWorkspace first;
    TempWorkspace second;
    REQUIRE(order(first, {"import", kDemo, "--apply"}).code == cli::kDone);
    REQUIRE(order(first, {"edit", "JB-1044", "--note", "=1+1", "--buyer", "-Dan", "--count", "2"}).code ==
            cli::kDone);
    const std::string file = (second.path() / "all.csv").string();
    const Outcome written = order(first, {"export", "--all", "--out", file});
    CHECK(written.out.empty());
    CHECK_THAT(written.err, Contains("note: 8 orders written to " + file));
    struct stat info {};
    REQUIRE(stat(file.c_str(), &info) == 0);
    CHECK((info.st_mode & 0777U) == 0600U);
    CHECK_THAT(testing::slurp(file), Contains(",\"'=1+1\",") && Contains(",\"'-Dan\","));
    REQUIRE(order(second, {"import", file, "--apply"}).code == cli::kDone);
    CHECK(order(second, {"export", "--csv"}).out == testing::slurp(file));
    CHECK(order(second, {"show", "JB-1044", "--json"}).json().at("note") == "=1+1");
}

TEST_CASE("an export as JSON holds what happened but no documents") {
    TempWorkspace workspace;
    REQUIRE(order(workspace, {"import", kDemo, "--apply"}).code == cli::kDone);
    REQUIRE(order(workspace, {"cancel", "JB-1041", "--why", "sold here"}).code == cli::kDone);
    CHECK(order(workspace, {"export", "--json"}).json().at("orders").size() == 7);
    const auto json = order(workspace, {"export", "--json", "--all"}).json();
    CHECK(json.at("document") == "mildway order export");
    CHECK(json.at("version") == 1);
    REQUIRE(json.at("orders").size() == 8);
    CHECK(json.at("orders").at(0).at("events").back().at("text") == "sold here");
    CHECK_FALSE(json.at("orders").at(0).contains("choice_document"));
    CHECK(order(workspace, {"export", "--json", "--csv"}).code == cli::kWrongUsage);
}

TEST_CASE("each order command names its options") {
    const std::vector<std::pair<const char*, std::vector<const char*>>> all{
        {"add",
         {"--number", "--to", "--zone", "--species", "--buyer", "--email", "--address", "--scale",
          "--value-usd", "--earliest", "--latest", "--away", "--service", "--note", "--count", "--mass-g",
          "--animal"}},
        {"list", {"--all", "--state"}},
        {"cancel", {"--why"}},
        {"take-back", {"--why"}},
        {"hand-over", {"--at"}},
        {"arrive", {"--alive", "--well", "--at", "--inside-c", "--logger", "--note"}},
        {"import", {"--apply"}},
        {"export", {"--csv", "--all", "--out"}}};
    for (const auto& [command, options] : all) {
        const std::string help = testing::run_bare({"order", command, "--help"}).out;
        for (const char* option : options) {
            CAPTURE(command, option);
            CHECK_THAT(help, Contains(std::string("\n  ") + option + " "));
        }
    }
}
