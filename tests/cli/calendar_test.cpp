// plan --calendar, --value-usd and --rank-by.
#include "catch.hpp"
#include "command.hpp"

#include <algorithm>

using namespace mildway;
using testing::Arguments;
using testing::Outcome;
using testing::plan_in;
using testing::TempWorkspace;

namespace {

double cost_and_loss(const nlohmann::json& option) {
    return option.at("cost_usd").get<double>() + option.at("expected_loss_usd").get<double>();
}

}  // namespace

TEST_CASE("option --calendar shows a grid instead of the ranking") {
    TempWorkspace workspace;
    const Outcome outcome = plan_in(workspace, {"--calendar", "--days", "7"});
    CHECK_THAT(outcome.out, Catch::Contains("\nMarch 2027\n  Mon      Tue ") &&
                                Catch::Contains("Sat 6, Sun 7 Mar: no parcels accepted") &&
                                !Catch::Contains("Ship day"));
    CHECK_THAT(plan_in(workspace, {"--days", "7"}).out,
               Catch::Contains("Ship day") && !Catch::Contains("\nMarch 2027\n"));
}

TEST_CASE("option --calendar looks at four weeks and --days at as many as are asked") {
    TempWorkspace workspace;
    const auto days_in = [&](const Arguments& arguments) {
        return plan_in(workspace, arguments).json().at("days").size();
    };
    CHECK(days_in({"--calendar", "--json", "--scenarios", "16"}) == 28);
    CHECK(days_in({"--calendar", "--json", "--days", "3"}) == 3);
    CHECK(days_in({"--json"}) == 7);
}

TEST_CASE("a calendar as JSON is the plan's document") {
    TempWorkspace workspace;
    CHECK(plan_in(workspace, {"--calendar", "--json", "--days", "3"}).out ==
          plan_in(workspace, {"--json", "--days", "3"}).out);
}

TEST_CASE("a calendar's exit code follows its best day") {
    TempWorkspace workspace;
    CHECK(testing::run_in(workspace,
                          {"plan", "--to", "Sacramento CA", "--species", "hermanns-tortoise", "--calendar"})
              .code == cli::kDone);
    CHECK(plan_in(workspace, {"--calendar", "--packing", "small-19", "--days", "1"}).code ==
          cli::kNeedsPerson);
    CHECK(plan_in(workspace, {"--calendar"}, "2027-03-02T13:00:00Z").code == cli::kNoWeather);
}

TEST_CASE("option --value-usd gives the expected loss beside the cost and changes no rank") {
    TempWorkspace workspace;
    CHECK_THAT(plan_in(workspace, {"--value-usd", "150", "--days", "2"}).out,
               Catch::Contains("Apart from that, the expected loss:"));
    CHECK_THAT(plan_in(workspace, {"--days", "2"}).out, !Catch::Contains("expected loss"));
    auto with = plan_in(workspace, {"--value-usd", "150", "--days", "2", "--json"}).json().at("options");
    const auto without = plan_in(workspace, {"--days", "2", "--json"}).json().at("options");
    for (auto& option : with) option["expected_loss_usd"] = nullptr;
    CHECK(with == without);
}

TEST_CASE("option --rank-by cost-and-loss ranks by their sum within each verdict") {
    TempWorkspace workspace;
    const Arguments common{"--value-usd", "150", "--days", "3", "--json", "--rank-by"};
    const auto ranked_by = [&](const char* what) {
        Arguments arguments = common;
        arguments.emplace_back(what);
        return plan_in(workspace, arguments).json().at("options");
    };
    const auto options = ranked_by("cost-and-loss");
    const std::vector<std::string> verdicts{"comfortable", "tight", "unsafe", "unknown"};
    const auto place = [&](const nlohmann::json& option) {
        return std::find(verdicts.begin(), verdicts.end(), option.at("verdict"));
    };
    for (std::size_t i = 1; i < options.size(); ++i) {
        CHECK(place(options.at(i - 1)) <= place(options.at(i)));
        if (options.at(i - 1).at("verdict") == options.at(i).at("verdict"))
            CHECK(cost_and_loss(options.at(i - 1)) <= cost_and_loss(options.at(i)));
    }
    CHECK(ranked_by("hours") != options);
}

TEST_CASE("option --rank-by hours is what is done without it") {
    TempWorkspace workspace;
    CHECK(plan_in(workspace, {"--rank-by", "hours", "--days", "2"}).out ==
          plan_in(workspace, {"--days", "2"}).out);
}
