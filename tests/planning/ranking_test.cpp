#include "mildway/planning/ranking.hpp"

#include "box_fixtures.hpp"
#include "catch.hpp"
#include "made_options.hpp"

#include <algorithm>
#include <cmath>
#include <memory>
#include <set>
#include <vector>

using namespace mildway;
using namespace mildway::planning;
using testing::make_option;
using testing::make_unknown;

namespace {

const transit::Service kAir = testing::named_service("air");
const transit::Service kRoad = testing::named_service("road");
const box::Packing kThin = testing::named_packing("thin");
const box::Packing kThick = testing::named_packing("thick");

std::string key(const Option& option) {
    return format_date(option.ship_date) + option.service->id + option.packing->id;
}

std::vector<std::string> ranked(std::vector<Option> options) {
    rank(options);
    std::vector<std::string> keys;
    for (const Option& option : options) keys.push_back(key(option));
    return keys;
}

/// Two options that differ in nothing but `a` and `b`; true when the first is ranked first from either order.
bool first_wins(const testing::MadeOption& a, const testing::MadeOption& b) {
    const Option first = make_option(a);
    const Option second = make_option(b);
    const std::vector<std::string> wanted{key(first), key(second)};
    return ranked({first, second}) == wanted && ranked({second, first}) == wanted;
}

/// Up to thirty options, no two of one date, service and packing. Values are coarse, so that ties of all
/// kinds happen.
std::vector<Option> random_options(testing::Dice& dice) {
    std::vector<Option> options;
    for (int day = 1; day <= 8; ++day) {
        for (const auto* service : {&kAir, &kRoad}) {
            for (const auto* packing : {&kThin, &kThick}) {
                if (dice.below(10) == 0) continue;
                testing::MadeOption made{.day = day, .service = service, .packing = packing};
                made.hours_cold = 0.05 * static_cast<double>(dice.below(12));
                made.hours_error = 0.02 * static_cast<double>(dice.below(4));
                made.harm = 0.01 * static_cast<double>(dice.below(4));
                made.harm_error = 0.004 * static_cast<double>(dice.below(3));
                made.cost_usd = 40 + static_cast<double>(dice.below(3));
                options.push_back(dice.below(8) == 0 ? make_unknown(made, "no forecast") : make_option(made));
            }
        }
    }
    return options;
}

void shuffle(std::vector<Option>& options, testing::Dice& dice) {
    for (std::size_t i = options.size(); i > 1; --i) std::swap(options[i - 1], options[dice.below(i)]);
}

}  // namespace

TEST_CASE("fewer hours outside come first whatever the cost") {
    CHECK(first_wins({.day = 2, .service = &kAir, .packing = &kThick, .hours_cold = 0.2, .cost_usd = 99},
                     {.day = 1, .service = &kRoad, .packing = &kThin, .hours_cold = 0.5, .cost_usd = 20}));
}

TEST_CASE("an hour too warm counts as much as an hour too cold") {
    CHECK(first_wins({.service = &kRoad, .packing = &kThin, .hours_warm = 1.0},
                     {.service = &kAir, .packing = &kThin, .hours_cold = 2.0}));
    CHECK(first_wins({.service = &kRoad, .packing = &kThin, .hours_cold = 1.0},
                     {.service = &kAir, .packing = &kThin, .hours_warm = 2.0}));
}

TEST_CASE("a tenth of an hour is a tie and the lesser harm wins it") {
    CHECK(first_wins({.service = &kRoad, .packing = &kThin, .hours_cold = 0.1, .harm = 0.01, .cost_usd = 90},
                     {.service = &kAir, .packing = &kThin, .hours_cold = 0.0, .harm = 0.05, .cost_usd = 40}));
}

TEST_CASE("more than a tenth of an hour is no tie") {
    CHECK(first_wins({.service = &kAir, .packing = &kThin, .hours_cold = 0.0, .harm = 0.05},
                     {.service = &kRoad, .packing = &kThin, .hours_cold = 0.11, .harm = 0.01}));
}

TEST_CASE("hours within twice their sampling error are a tie") {
    const double error = 0.2;  // of the difference: 0.283, twice that 0.566
    CHECK(first_wins(
        {.service = &kRoad, .packing = &kThin, .hours_cold = 1.5, .hours_error = error, .cost_usd = 40},
        {.service = &kAir, .packing = &kThin, .hours_cold = 1.0, .hours_error = error, .cost_usd = 50}));
    CHECK(first_wins(
        {.service = &kAir, .packing = &kThin, .hours_cold = 1.0, .hours_error = error, .cost_usd = 50},
        {.service = &kRoad, .packing = &kThin, .hours_cold = 1.6, .hours_error = error, .cost_usd = 40}));
}

TEST_CASE("harm within its sampling error is a tie and the lower cost wins it") {
    CHECK(first_wins(
        {.service = &kRoad, .packing = &kThin, .harm = 0.012, .harm_error = 0.004, .cost_usd = 40},
        {.service = &kAir, .packing = &kThin, .harm = 0.010, .harm_error = 0.004, .cost_usd = 50}));
}

TEST_CASE("harm beyond its sampling error outweighs the cost") {
    CHECK(first_wins(
        {.service = &kAir, .packing = &kThin, .harm = 0.010, .harm_error = 0.001, .cost_usd = 50},
        {.service = &kRoad, .packing = &kThin, .harm = 0.014, .harm_error = 0.001, .cost_usd = 40}));
}

TEST_CASE("at the same hours harm and cost the earlier day comes first") {
    CHECK(first_wins({.day = 2, .service = &kRoad, .packing = &kThin},
                     {.day = 3, .service = &kAir, .packing = &kThin}));
}

TEST_CASE("unknown options come last by date however cheap they are") {
    const Option known = make_option({.day = 8, .service = &kAir, .packing = &kThin, .hours_cold = 20});
    const Option late =
        make_unknown({.day = 6, .service = &kAir, .packing = &kThin, .cost_usd = 1}, "no forecast");
    const Option early =
        make_unknown({.day = 5, .service = &kAir, .packing = &kThin, .cost_usd = 9}, "no forecast");
    CHECK(ranked({late, early, known}) == std::vector<std::string>{key(known), key(early), key(late)});
}

TEST_CASE("ranks count from one without a gap") {
    testing::Dice dice(3);
    std::vector<Option> options = random_options(dice);
    rank(options);
    for (std::size_t i = 0; i < options.size(); ++i) CHECK(options[i].rank == static_cast<int>(i) + 1);
}

TEST_CASE("the order does not depend on the order given") {
    testing::Dice dice(20270301);
    for (int set = 0; set < 200; ++set) {
        std::vector<Option> options = random_options(dice);
        const auto wanted = ranked(options);
        for (int again = 0; again < 5; ++again) {
            shuffle(options, dice);
            REQUIRE(ranked(options) == wanted);
        }
    }
}

TEST_CASE("ranking neither loses nor doubles an option") {
    testing::Dice dice(5);
    for (int set = 0; set < 50; ++set) {
        const std::vector<Option> options = random_options(dice);
        const auto keys = ranked(options);
        std::set<std::string> before;
        for (const Option& option : options) before.insert(key(option));
        CHECK(keys.size() == options.size());
        CHECK(std::set<std::string>(keys.begin(), keys.end()) == before);
    }
}

TEST_CASE("no option stands before one that beats it beyond every tie") {
    testing::Dice dice(7);
    constexpr double kLargestError = 0.06;
    const double beyond = std::max(kTieHours, 2 * std::hypot(kLargestError, kLargestError));
    for (int set = 0; set < 50; ++set) {
        std::vector<Option> options = random_options(dice);
        rank(options);
        double most_h = 0;
        for (const Option& option : options) {
            if (!option.assessment.all) break;
            const double hours = option.assessment.all->hours_outside.value;
            CHECK(hours >= most_h - beyond);
            most_h = std::max(most_h, hours);
        }
    }
}

TEST_CASE("by cost and loss the verdict comes first and the sum of both second and hours never") {
    const auto made = [](const char* id, Verdict verdict, double cost_usd, double loss_usd, double hours) {
        static std::vector<std::unique_ptr<box::Packing>> packings;
        packings.push_back(std::make_unique<box::Packing>(testing::named_packing(id)));
        Option option = make_option(
            {.service = &kAir, .packing = packings.back().get(), .hours_cold = hours, .cost_usd = cost_usd});
        option.verdict = verdict;
        option.expected_loss_usd = loss_usd;
        return option;
    };
    std::vector<Option> options{made("unsafe", Verdict::unsafe, 10, 0, 0),
                                made("tight-dear", Verdict::tight, 30, 15, 0),
                                made("tight-lossy", Verdict::tight, 20, 24, 9),
                                made("comfortable-dear", Verdict::comfortable, 99, 1, 0.1),
                                made("comfortable", Verdict::comfortable, 90, 9, 0.2)};
    rank(options, RankBy::cost_and_loss);
    std::vector<std::string> ids;
    for (const Option& option : options) ids.push_back(option.packing->id);
    CHECK(ids ==
          std::vector<std::string>{"comfortable", "comfortable-dear", "tight-lossy", "tight-dear", "unsafe"});
}

TEST_CASE("by cost and loss the order is the same whatever the order given and unknown ones come last") {
    testing::Dice dice(11);
    for (int set = 0; set < 100; ++set) {
        std::vector<Option> options = random_options(dice);
        for (Option& option : options) {
            if (!option.assessment.all) continue;
            option.verdict = static_cast<Verdict>(dice.below(3));
            option.expected_loss_usd = static_cast<double>(dice.below(3));
        }
        const auto order = [&] {
            rank(options, RankBy::cost_and_loss);
            std::vector<std::string> keys;
            for (const Option& option : options) keys.push_back(key(option));
            return keys;
        };
        const auto wanted = order();
        for (std::size_t i = 1; i < options.size(); ++i)
            REQUIRE(options[i - 1].verdict <= options[i].verdict);  // unknown is the last verdict
        shuffle(options, dice);
        REQUIRE(order() == wanted);
    }
}

TEST_CASE("the worst leg is the one with most hours outside") {
    odds::Assessment assessment;
    assessment.legs = {{"packed", 0, 0.1}, {"van", 0.3, 0.3}, {"doorstep", 0.5, 0}};
    REQUIRE(worst_leg(assessment) != nullptr);
    CHECK(worst_leg(assessment)->leg == "van");
}

TEST_CASE("there is no worst leg when nothing is outside or nothing is known") {
    odds::Assessment assessment;
    CHECK(worst_leg(assessment) == nullptr);
    assessment.legs = {{"packed", 0, 0}, {"van", 0.001, 0}};
    CHECK(worst_leg(assessment) == nullptr);
}
