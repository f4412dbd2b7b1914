// The demo week's stories, as fixtures/README.md tells them, come out of the plan.
#include "catch.hpp"
#include "command.hpp"

#include <algorithm>

using namespace mildway;
using testing::Arguments;
using testing::Outcome;
using testing::TempWorkspace;

namespace {

/// A plan with the default 2000 scenarios.
Outcome demo_plan(const std::string& to, const std::string& species, const Arguments& more = {}) {
    const TempWorkspace workspace;
    Arguments arguments{"plan", "--to", to, "--species", species, "--json"};
    arguments.insert(arguments.end(), more.begin(), more.end());
    return testing::run_in(workspace, arguments);
}

/// Whether any option has this verdict.
bool any(const nlohmann::json& plan, const std::string& verdict) {
    const auto& options = plan.at("options");
    return std::any_of(options.begin(), options.end(),
                       [&](const auto& option) { return option.at("verdict") == verdict; });
}

/// The fewest expected hours outside on a ship date.
double best_hours(const nlohmann::json& plan, const std::string& day) {
    double best_h = 1e9;
    for (const auto& option : plan.at("options")) {
        if (option.at("ship_date") == day && !option.at("figures").is_null())
            best_h = std::min(best_h, option.at("figures").at("outside_h").get<double>());
    }
    return best_h;
}

}  // namespace

TEST_CASE("to Duluth at the door waiting for the thaw of Wednesday wins") {
    for (const char* species : {"corn snake", "hermanns-tortoise"}) {
        CAPTURE(species);
        const auto plan = demo_plan("Duluth MN", species, {"--service", "night-air"}).json();
        CHECK(plan.at("options").at(0).at("ship_date") >= "2027-03-03");
        CHECK(best_hours(plan, "2027-03-03") + 1 < best_hours(plan, "2027-03-01"));
        CHECK(best_hours(plan, "2027-03-03") + 1 < best_hours(plan, "2027-03-02"));
    }
}

TEST_CASE("to Duluth at the door a tortoise's plan says that holding at the counter would help most") {
    const auto plan = demo_plan("Duluth MN", "hermanns-tortoise",
                                {"--count", "2", "--service", "night-air", "--packing", "small-38-1s"})
                          .json();
    CHECK_THAT(plan.at("reasons").dump(),
               Catch::Contains("The best single change to #1 is holding at the counter"));
}

TEST_CASE("to Duluth at the door before the thaw nothing is fit and the risk is cold") {
    const auto plan =
        demo_plan("Duluth MN", "hermanns-tortoise", {"--count", "2", "--service", "night-air", "--days", "2"})
            .json();
    CHECK_FALSE(any(plan, "comfortable"));
    CHECK_FALSE(any(plan, "tight"));
    CHECK(plan.at("options").at(0).at("side") == "cold");
}

TEST_CASE("to Duluth held at the counter a warmer makes it comfortable") {
    const Outcome outcome = demo_plan("Duluth MN", "corn snake");
    const auto plan = outcome.json();
    CHECK(outcome.code == cli::kDone);
    CHECK(plan.at("options").at(0).at("verdict") == "comfortable");
    CHECK(plan.at("options").at(0).at("service") == "night-air+held");
}

TEST_CASE("to Albany with its frosty nights a packing with a warmer is first") {
    const TempWorkspace workspace;
    const auto packings = nlohmann::json::parse(testing::slurp(workspace.path() / "packings.json"));
    for (const char* species : {"corn snake", "dart-frog", "hermanns-tortoise", "crested-gecko"}) {
        CAPTURE(species);
        const auto plan = demo_plan("Albany NY", species).json();
        const auto& first = plan.at("options").at(0).at("packing");
        const auto found = std::find_if(packings.at("packings").begin(), packings.at("packings").end(),
                                        [&](const auto& packing) { return packing.at("id") == first; });
        REQUIRE(found != packings.at("packings").end());
        CHECK(found->contains("warmers"));
    }
}

TEST_CASE("to Tampa with its heat nothing is comfortable for crested geckos and frogs") {
    for (const char* species : {"crested-gecko", "dart-frog"}) {
        CAPTURE(species);
        const Outcome outcome = demo_plan("Tampa FL", species);
        const auto plan = outcome.json();
        CHECK(outcome.code == cli::kNeedsPerson);
        CHECK_FALSE(any(plan, "comfortable"));
        CHECK_FALSE(any(plan, "tight"));
        CHECK_THAT(plan.at("reasons").dump(), Catch::Contains("keep it home"));
    }
}

TEST_CASE("to Tampa at the door a late gecko is far too warm") {
    const auto plan = demo_plan("Tampa FL", "crested-gecko",
                                {"--service", "night-air", "--packing", "small-38", "--days", "1"})
                          .json();
    const auto& late = plan.at("options").at(0).at("if_late_one_day");
    CHECK(late.at("outside_warm_h") > late.at("outside_cold_h"));
    CHECK(late.at("chance_harm") > 0.5);
}

TEST_CASE("to Bozeman at the door nothing is comfortable") {
    for (const char* species : {"corn snake", "hermanns-tortoise", "dart-frog", "crested-gecko"}) {
        CAPTURE(species);
        const Outcome outcome = demo_plan("Bozeman MT", species, {"--service", "night-air"});
        CHECK(outcome.code == cli::kNeedsPerson);
        CHECK_FALSE(any(outcome.json(), "comfortable"));
    }
}

TEST_CASE("to Sacramento with its mild days a hardy tortoise travels in comfort") {
    const Outcome outcome = demo_plan("Sacramento CA", "hermanns-tortoise", {"--count", "2"});
    CHECK(outcome.code == cli::kDone);
    CHECK(any(outcome.json(), "comfortable"));
}
