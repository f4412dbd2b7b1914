// The first look at a week's options must not lose a day that is fit.
#include "mildway/weekly/week.hpp"

#include "catch.hpp"
#include "plan_world.hpp"

#include <set>

using namespace mildway;
namespace ship = mildway::testing;

namespace {

constexpr int kDays = 4;
constexpr std::uint32_t kScenarios = 512;

/// Days that a plan of the order alone finds fit.
std::set<Date> fit_days(const std::string& to, const std::string& species, int count) {
    const planning::Plan plan = ship::plan_for(
        {.to = to, .species = species, .count = count, .days = kDays, .scenarios = kScenarios});
    std::set<Date> days;
    for (const planning::Option& option : plan.options) {
        if (option.verdict <= Verdict::tight) days.insert(option.ship_date);
    }
    return days;
}

orders::Order order_to(const std::string& to, const std::string& species, int count) {
    orders::Order order;
    order.number = to + " " + species;
    order.place = *ship::starter().find_place(to);
    order.species = ship::starter().species.find(species).id;
    order.animals.resize(static_cast<std::size_t>(count));
    return order;
}

}  // namespace

TEST_CASE("A week finds each day fit that a plan of the order alone finds fit") {
    std::vector<orders::Order> orders;
    std::vector<std::set<Date>> expected;
    for (const char* to : {"Albany NY", "Duluth MN", "Sacramento CA", "Bozeman MT"}) {
        for (const char* species : {"corn snake", "leopard gecko", "ball python"}) {
            orders.push_back(order_to(to, species, 1));
            expected.push_back(fit_days(to, species, 1));
        }
    }
    weekly::WeekRequest request;
    request.from = ship::demo_monday();
    request.days = kDays;
    request.scenarios = kScenarios;
    request.threads = 2;
    request.now = ship::demo_now();
    const weekly::Week week =
        weekly::plan_week(ship::starter(), weekly::Limits{}, ship::demo_weather(), orders, request);
    std::size_t fit = 0;
    for (std::size_t i = 0; i < orders.size(); ++i) {
        std::set<Date> found;
        for (const planning::Option& option : week.orders[i].best_of_days) found.insert(option.ship_date);
        INFO(orders[i].number);
        CHECK(found == expected[i]);
        fit += expected[i].size();
    }
    CHECK(fit > orders.size());
}
