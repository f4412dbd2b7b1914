// What the first option costs, and what its animals stand for.
#include "catch.hpp"
#include "plan_best.hpp"
#include "plan_world.hpp"
#include "report_text.hpp"

using namespace mildway;
using planning::Plan;

namespace {

/// A plan whose first option costs and endangers what a test wants.
struct Priced {
    planning::Cost cost{13, 44, 0, 4.13};
    double harm = 0.008;
    std::optional<double> value_usd{};
    planning::RankBy rank_by = planning::RankBy::hours_outside;
    std::string packing = "small-38-1w";
    std::string late_unknown{};
};

std::string text_of(const Priced& priced) {
    Plan plan = testing::plan_for(
        {.services = {"night-air"}, .packings = {priced.packing}, .days = 1, .scenarios = 16});
    plan.request.value_usd = priced.value_usd;
    plan.request.rank_by = priced.rank_by;
    planning::Option& best = plan.options.front();
    best.cost = priced.cost;
    best.assessment.all->chance_harm.value = priced.harm;
    best.assessment.late_unknown_reason = priced.late_unknown;
    if (priced.value_usd) best.expected_loss_usd = *priced.value_usd * priced.harm;
    return testing::flat(reports::plan_best(testing::starter(), plan));
}

}  // namespace

TEST_CASE("the cost is told in parts with the mass that is billed") {
    CHECK_THAT(text_of({}), Catch::Contains("$57: $13 box and warmers, $44 carriage (billed 4.1 kg)."));
}

TEST_CASE("extras are told where there are any with their sign") {
    CHECK_THAT(text_of({.cost = {13, 44, -2, 4}}),
               Catch::Contains("$55: $13 box and warmers, $44 carriage (billed 4.0 kg), -$2 extras."));
    CHECK_THAT(text_of({.cost = {13, 44, 3.5, 4}}),
               Catch::Contains("$60.50: ") && Catch::Contains(", $3.50 extras."));
    CHECK_THAT(text_of({}), !Catch::Contains("extras"));
}

TEST_CASE("the box is priced with what lies in it") {
    CHECK_THAT(text_of({.packing = "small-38"}), Catch::Contains("$13 box, "));
    CHECK_THAT(text_of({.packing = "small-38-1g"}), Catch::Contains("$13 box and cold packs, "));
}

TEST_CASE("without a value no loss is spoken of") {
    CHECK_THAT(text_of({}), !Catch::Contains("expected loss"));
}

TEST_CASE("with a value the expected loss stands apart from the cost") {
    const std::string text = text_of({.value_usd = 150});
    CHECK_THAT(text, Catch::Contains("$57: ") &&
                         Catch::Contains("Apart from that, the expected loss: $1.20 (value $150 x 8 in 1000 "
                                         "harmed).") &&
                         !Catch::Contains("Together") && !Catch::Contains("$58.20"));
}

TEST_CASE("a chance of harm that the scenarios cannot tell is no loss of nothing") {
    CHECK_THAT(text_of({.harm = 0, .value_usd = 150}),
               Catch::Contains("the expected loss: under $0.15 (value $150 x under 1 in 1000 harmed)."));
}

TEST_CASE("an expected loss without the late arrivals says so") {
    CHECK_THAT(text_of({.value_usd = 150, .late_unknown = "the forecast ends"}),
               Catch::Contains("harmed), late arrivals left out."));
}

TEST_CASE("cost and loss are added up only when they decide the ranking") {
    CHECK_THAT(text_of({.value_usd = 150, .rank_by = planning::RankBy::cost_and_loss}),
               Catch::Contains("harmed). Together $58.20, by which it was ranked."));
}
