// The first look at a week's options must not lose a day that is fit.
#include "week_screening.hpp"

#include "mildway/weekly/week.hpp"

#include "catch.hpp"
#include "plan_world.hpp"

#include <algorithm>
#include <set>

using namespace mildway;
namespace ship = mildway::testing;

namespace {

constexpr int kDays = 4;
constexpr std::uint32_t kScenarios = 512;

/// Days that a plan of the order alone finds no worse than that, in that box if one is named.
std::set<Date> fit_days(const planning::Workspace& workspace, const std::string& to,
                        const std::string& species, Verdict worst = Verdict::tight,
                        const std::string& box = "") {
    const planning::Plan plan = planning::make_plan(
        workspace, ship::demo_weather(),
        ship::request_for({.to = to, .species = species, .days = kDays, .scenarios = kScenarios}, workspace));
    std::set<Date> days;
    for (const planning::Option& option : plan.options) {
        if (option.verdict <= worst && (box.empty() || option.packing->box == box))
            days.insert(option.ship_date);
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

weekly::WeekRequest week_request() {
    weekly::WeekRequest request;
    request.from = ship::demo_monday();
    request.days = kDays;
    request.scenarios = kScenarios;
    request.threads = 2;
    request.now = ship::demo_now();
    return request;
}

/// A shelf with one kind of box only.
weekly::Limits only_box(const std::string& box, Verdict worst) {
    weekly::Limits limits;
    limits.worst_verdict = worst;
    limits.stock.emplace();
    for (const box::Packing& packing : ship::starter().packings.all())
        limits.stock->boxes[packing.box] = packing.box == box ? 100 : 0;
    return limits;
}

/// Expects that a week of one day ships the order exactly on the days of `fit`.
void check_shipped(const planning::Workspace& workspace, const weekly::Limits& limits,
                   const orders::Order& order, const std::set<Date>& fit) {
    for (int i = 0; i < kDays; ++i) {
        weekly::WeekRequest request = week_request();
        request.from = Date{date::sys_days(ship::demo_monday()) + date::days(i)};
        request.days = 1;
        const weekly::Week week = weekly::plan_week(workspace, limits, ship::demo_weather(),
                                                    std::vector<orders::Order>{order}, request);
        INFO(order.number << " on " << format_date(request.from));
        CHECK(week.orders[0].chosen.has_value() == fit.contains(request.from));
    }
}

planning::SketchedOption sketched(const char* packing, double hours) {
    planning::SketchedOption option;
    option.ship_date = ship::demo_monday();
    option.packing = &ship::starter().packings.find(packing);
    option.sketch.hours_outside = hours;
    option.sketch.chance_outside = hours;
    option.sketch.chance_harm = hours;
    return option;
}

}  // namespace

TEST_CASE("A week finds each day fit that a plan of the order alone finds fit") {
    std::vector<orders::Order> orders;
    std::vector<std::set<Date>> expected;
    for (const char* to : {"Albany NY", "Duluth MN", "Sacramento CA", "Bozeman MT"}) {
        for (const char* species : {"corn snake", "leopard gecko", "ball python"}) {
            orders.push_back(order_to(to, species, 1));
            expected.push_back(fit_days(ship::starter(), to, species));
        }
    }
    const weekly::Week week =
        weekly::plan_week(ship::starter(), weekly::Limits{}, ship::demo_weather(), orders, week_request());
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

TEST_CASE("A week finds each day fit in the one box that is on the shelf and with the verdict asked for") {
    std::size_t fit = 0;
    for (const Verdict worst : {Verdict::comfortable, Verdict::tight}) {
        for (const char* box : {"small-19", "small-38"}) {
            for (const char* species : {"corn snake", "ball python"}) {
                const auto days = fit_days(ship::starter(), "Bozeman MT", species, worst, box);
                INFO(box << ", " << verdict_name(worst));
                check_shipped(ship::starter(), only_box(box, worst), order_to("Bozeman MT", species, 1),
                              days);
                fit += days.size();
            }
        }
    }
    CHECK(fit > 4);
}

TEST_CASE("A week finds a day that is just within a limit of the breeder's own") {
    auto workspace = planning::Workspace::load(MILDWAY_SOURCE_DIR "/config");
    weekly::WeekRequest monday = week_request();
    monday.days = 1;
    monday.scenarios = 2048;
    for (const char* to : {"Albany NY", "Duluth MN", "Tampa FL"}) {
        const planning::Plan plan = planning::make_plan(
            workspace, ship::demo_weather(),
            ship::request_for({.to = to, .species = "dart-frog", .days = 1, .scenarios = 2048}, workspace));
        double least = 1;
        for (const planning::Option& option : plan.options)
            least = std::min(least, option.assessment.all.value().chance_harm.value);
        REQUIRE(least > 0.1);  // a limit of which a first look knows little
        REQUIRE(least < 1);
        workspace.verdicts.tight = {1, least};
        const weekly::Week week =
            weekly::plan_week(workspace, {}, ship::demo_weather(),
                              std::vector<orders::Order>{order_to(to, "dart-frog", 1)}, monday);
        INFO(to << ", least chance of harm " << least);
        CHECK(week.orders[0].chosen);
    }
}

TEST_CASE("Options of a box that has nothing fit are in doubt though another box of the day is fit") {
    // one packing of the first box; of the second a best one and one that is worse by the first look
    const std::vector<planning::SketchedOption> looks{
        sketched("small-19-1s", 0.1), sketched("small-38-1s", 0.2), sketched("small-38-1w", 1.0)};
    std::vector<weekly::StockItem> stock;
    for (const char* box : {"small-19", "small-38"})
        stock.push_back({weekly::StockItem::Kind::box, box, 9, 0, 0, 0});
    const weekly::Worthwhile first(looks, ship::starter(), stock, Verdict::tight);
    const weekly::Worthwhile::Key passed_over{looks[2].ship_date, nullptr, looks[2].packing};
    REQUIRE_FALSE(first.has(passed_over));
    planning::ParcelOptions assessed;
    for (const auto& [look, verdict] :
         {std::pair{looks[0], Verdict::comfortable}, {looks[1], Verdict::unsafe}}) {
        planning::Option option;
        option.ship_date = look.ship_date;
        option.packing = look.packing;
        option.verdict = verdict;
        assessed.options.push_back(option);
    }
    const weekly::Doubtful second(looks, first, assessed, ship::starter(), stock, Verdict::tight);
    CHECK(second.has(passed_over));
    assessed.options[1].verdict = Verdict::tight;
    CHECK_FALSE(
        weekly::Doubtful(looks, first, assessed, ship::starter(), stock, Verdict::tight).has(passed_over));
}
