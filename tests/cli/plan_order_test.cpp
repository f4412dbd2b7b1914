// mildway plan --order: an order of the book in place of a parcel described in full.
#include "mildway/orders/order_book.hpp"

#include "catch.hpp"
#include "command.hpp"

using namespace mildway;
using testing::Arguments;
using testing::Outcome;
using testing::run_in;
using testing::TempWorkspace;

namespace {

void add_order(const TempWorkspace& workspace, const Arguments& more = {}) {
    Arguments words{"order",     "add",        "--number", "JB-1", "--to",    "Albany NY",
                    "--species", "corn snake", "--buyer",  "Ada",  "--email", "ada@example.org"};
    words.insert(words.end(), more.begin(), more.end());
    REQUIRE(run_in(workspace, words).code == cli::kDone);
}

Outcome plan_order(const TempWorkspace& workspace, const Arguments& more = {}) {
    Arguments words{"plan", "--order", "JB-1", "--scenarios", "128", "--days", "3"};
    words.insert(words.end(), more.begin(), more.end());
    return run_in(workspace, words);
}

orders::Order stored(const TempWorkspace& workspace) {
    return orders::OrderBook(workspace.path() / orders::kBookFile).order("JB-1");
}

}  // namespace

TEST_CASE("plan --order plans the very parcel that the order describes") {
    const TempWorkspace workspace;
    add_order(workspace);
    const Outcome by_order = plan_order(workspace, {"--json"});
    const Outcome in_full = run_in(workspace, {"plan", "--to", "Albany NY", "--species", "corn snake",
                                               "--scenarios", "128", "--days", "3", "--json"});
    CHECK(by_order.out == in_full.out);
    CHECK(stored(workspace).state == orders::State::open);
}

TEST_CASE("plan --order keeps to the services that the order allows") {
    const TempWorkspace workspace;
    add_order(workspace, {"--service", "night-air+held"});
    for (const auto& option : plan_order(workspace, {"--json"}).json().at("options"))
        CHECK(option.at("service") == "night-air+held");
}

TEST_CASE("plan --choose writes the option of that rank with its whole assessment") {
    const TempWorkspace workspace;
    add_order(workspace);
    const Outcome outcome = plan_order(workspace, {"--json", "--choose", "2"});
    const auto second = outcome.json().at("options").at(1);
    REQUIRE(second.at("rank") == 2);
    const orders::Order order = stored(workspace);
    CHECK(order.state == orders::State::planned);
    REQUIRE(order.choice.has_value());
    CHECK(format_date(order.choice->ship_date) == second.at("ship_date").get<std::string>());
    CHECK(order.choice->service == second.at("service").get<std::string>());
    CHECK(order.choice->packing == second.at("packing").get<std::string>());
    CHECK(order.choice->chosen_by == "plan");
    CHECK(nlohmann::json::parse(order.choice->document).at("figures") == second.at("figures"));
    CHECK_THAT(outcome.err, Catch::Contains("note: JB-1 is planned for"));
}

TEST_CASE("plan --choose refuses a rank that is not there and a day the buyer cannot") {
    const TempWorkspace workspace;
    add_order(workspace);
    CHECK_THAT(plan_order(workspace, {"--choose", "9999"}).err,
               Catch::Contains("--choose 9999: the plan has"));
    REQUIRE(run_in(workspace, {"order", "edit", "JB-1", "--earliest", "2027-03-20"}).code == cli::kDone);
    const Outcome early = plan_order(workspace, {"--choose", "1"});
    CHECK(early.code == cli::kWrongUsage);
    CHECK_THAT(early.err, Catch::Contains("before the earliest day"));
    CHECK(stored(workspace).state == orders::State::open);
}

TEST_CASE("plan --order goes with no description of a parcel and --choose with no plan without an order") {
    const TempWorkspace workspace;
    add_order(workspace);
    CHECK(plan_order(workspace, {"--to", "Tampa FL"}).code == cli::kWrongUsage);
    const Outcome outcome =
        run_in(workspace, {"plan", "--to", "Tampa FL", "--species", "corn snake", "--choose", "1"});
    CHECK(outcome.code == cli::kWrongUsage);
    CHECK_THAT(outcome.err, Catch::Contains("give --order"));
}

TEST_CASE("plan --order of a number that is not there names the nearest") {
    const TempWorkspace workspace;
    add_order(workspace);
    const Outcome outcome = run_in(workspace, {"plan", "--order", "JB-2"});
    CHECK(outcome.code == cli::kWrongUsage);
    CHECK_THAT(outcome.err, Catch::Contains("JB-1"));
}

TEST_CASE("plan --choose says how the choice stands and which of the breeder's limits it breaks") {
    TempWorkspace workspace;
    add_order(workspace);
    const Outcome first = plan_order(workspace, {"--choose", "1"});
    CHECK(first.code == cli::kDone);
    CHECK_THAT(first.err, Catch::Contains("note: JB-1 is planned for") && Catch::Contains(": comfortable\n"));
    workspace.edit("week.json", "\"days_away\": []",
                   R"("days_away": [{"from": "2027-03-01", "until": "2027-03-31"}])");
    const Outcome away = plan_order(workspace, {"--choose", "1"});
    CHECK(away.code == cli::kNeedsPerson);
    CHECK_THAT(away.err, Catch::Contains("note: JB-1: you are away on"));
    CHECK(stored(workspace).choice.value().version == 2);
}

TEST_CASE("plan --choose of anything but a comfortable choice needs a person") {
    TempWorkspace workspace;
    add_order(workspace);
    const auto options = plan_order(workspace, {"--json"}).json().at("options");
    for (const auto& option : options) {
        if (option.at("verdict") != "unsafe") continue;
        const Outcome unsafe =
            plan_order(workspace, {"--choose", std::to_string(option.at("rank").get<int>())});
        CHECK(unsafe.code == cli::kNeedsPerson);
        CHECK_THAT(unsafe.err, Catch::Contains(": unsafe\n"));
        return;
    }
    FAIL("no unsafe option to choose");
}
