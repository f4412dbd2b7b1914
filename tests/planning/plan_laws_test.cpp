// Laws that hold for every option of a plan, whatever the figures are.
#include "catch.hpp"
#include "plan_world.hpp"
#include "small_world.hpp"

#include <cmath>
#include <map>

using namespace mildway;
using namespace mildway::planning;
using testing::Order;

namespace {

const odds::Figures& figures(const Option& option) {
    return option.assessment.all.value();
}

bool same_estimate(const odds::Estimate& a, const odds::Estimate& b) {
    return a.value == b.value && a.error == b.error;
}

bool same_figures(const odds::Figures& a, const odds::Figures& b) {
    return same_estimate(a.hours_outside, b.hours_outside) &&
           same_estimate(a.chance_outside, b.chance_outside) && same_estimate(a.chance_harm, b.chance_harm) &&
           a.hours_cold == b.hours_cold && a.hours_warm == b.hours_warm && a.hours_p90 == b.hours_p90 &&
           a.coldest_c.p5 == b.coldest_c.p5 && a.warmest_c.p95 == b.warmest_c.p95;
}

/// Calls check(option of a, the same option of b) for all options that both have figures for.
template <class Check>
void compare(const Plan& a, const Plan& b, Check check) {
    std::map<std::string, const Option*> in_b;
    for (const Option& option : b.options) in_b[testing::key_of(option)] = &option;
    std::size_t compared = 0;
    for (const Option& option : a.options) {
        const auto other = in_b.find(testing::key_of(option));
        if (other == in_b.end() || !option.assessment.all || !other->second->assessment.all) continue;
        CAPTURE(testing::key_of(option));
        check(option, *other->second);
        ++compared;
    }
    REQUIRE(compared >= 9);
}

Plan plan_with_band(const care::Species& species, const Order& order = {}) {
    PlanRequest request = testing::request_for(order);
    request.species = &species;
    return make_plan(testing::starter(), testing::demo_weather(), request);
}

/// A service from the starter's breeder to a place.
transit::Route route_to(const transit::Service& service, const Place& destination) {
    const Workspace& workspace = testing::starter();
    return {service, workspace.settings,
            transit::lane_of(service, {workspace.origin, workspace.counter}, destination),
            workspace.hand_over};
}

/// The expected length of an option's trip, h, by the odds of its weather; a lasting leg's mean is its median
/// times e^(sd^2 / 2).
double expected_trip_h(const Option& option, const Place& destination) {
    const auto cases = std::get<odds::TripCases>(
        odds::lay_cases(route_to(*option.service, destination), option.ship_date, testing::demo_now()));
    const auto length_h = [](const transit::Trip& trip) {
        const transit::LegEnd& last = trip.legs.back().rule;
        const double sd = std::log(last.spread_factor);
        const double mean_excess = last.kind == transit::LegEnd::Kind::lasts ? std::exp(sd * sd / 2) - 1 : 0;
        return in_hours(trip.end() - trip.packed) + mean_excess * in_hours(last.length);
    };
    const transit::LateOdds odds = option.assessment.late;
    double expected_h = odds.on_time() * length_h(cases.on_time);
    for (std::size_t wait = 0; wait < cases.wait_shares.size(); ++wait) {
        expected_h +=
            option.lateness.wait_shares.at(wait) *
            (odds.one_day * length_h(cases.one_late[wait]) + odds.more_days * length_h(cases.two_late[wait]));
    }
    return expected_h;
}

}  // namespace

TEST_CASE("five kelvins more never make an option colder nor less warm") {
    const auto warmer = testing::warmed(5);
    for (const char* to : {"Duluth MN", "Albany NY", "Tampa FL"}) {
        const PlanRequest request = testing::request_for({.to = to, .days = 3});
        compare(make_plan(testing::starter(), testing::demo_weather(), request),
                make_plan(testing::starter(), warmer, request), [](const Option& now, const Option& then) {
                    CHECK(figures(then).hours_cold <= figures(now).hours_cold + 1e-4);
                    CHECK(figures(then).hours_warm >= figures(now).hours_warm - 1e-4);
                });
    }
}

TEST_CASE("five kelvins more do warm the animals where they ride in the open air") {
    const PlanRequest request = testing::request_for({.services = {"two-day"}, .days = 2});
    constexpr double kRoom_c = 20;  // where it is packed: what stays warmer was at its coldest there
    int covered = 0;
    compare(make_plan(testing::starter(), testing::demo_weather(), request),
            make_plan(testing::starter(), testing::warmed(5), request),
            [&](const Option& now, const Option& then) {
                CHECK(figures(then).coldest_c.p50 > figures(now).coldest_c.p50);
                if (figures(then).coldest_c.p50 > kRoom_c) return;
                ++covered;
                CHECK(figures(then).coldest_c.p50 > figures(now).coldest_c.p50 + 1);
                CHECK(figures(then).coldest_c.p50 < figures(now).coldest_c.p50 + 5);
            });
    CHECK(covered >= 20);  // of 22
}

TEST_CASE("a wider safe band never means more hours outside") {
    const auto narrow = testing::species_with({16, 27}, {8, 33});
    const auto wide = testing::species_with({14, 29}, {8, 33});
    compare(plan_with_band(narrow), plan_with_band(wide), [](const Option& strict, const Option& lax) {
        CHECK(figures(lax).hours_cold <= figures(strict).hours_cold + 1e-6);
        CHECK(figures(lax).hours_warm <= figures(strict).hours_warm + 1e-6);
        CHECK(figures(lax).chance_outside.value <= figures(strict).chance_outside.value + 1e-9);
    });
}

TEST_CASE("wider harm limits are never crossed more often") {
    const auto narrow = testing::species_with({16, 27}, {12, 30});
    const auto wide = testing::species_with({16, 27}, {10, 32});
    compare(plan_with_band(narrow), plan_with_band(wide), [](const Option& strict, const Option& lax) {
        CHECK(figures(lax).chance_harm.value <= figures(strict).chance_harm.value + 1e-9);
        CHECK(same_estimate(figures(lax).hours_outside, figures(strict).hours_outside));
    });
}

TEST_CASE("an animal that is never inside its band is outside for the whole expected trip") {
    const auto never = testing::species_with({-60, -50}, {-70, 90});
    const Order order{.days = 3, .scenarios = 2048};
    const Place& destination = *testing::starter().find_place(order.to);
    const Plan plan = plan_with_band(never, order);
    int covered = 0;
    for (const Option& option : plan.options) {
        if (!option.assessment.late_unknown_reason.empty()) continue;  // `all` is without the late ones then
        CAPTURE(testing::key_of(option));
        CHECK(figures(option).hours_outside.value ==
              Approx(expected_trip_h(option, destination)).margin(0.1));
        CHECK(figures(option).hours_cold == 0);
        ++covered;
    }
    CHECK(covered >= 7 * 9);
}

TEST_CASE("no animal is outside for longer than one that is never inside") {
    const auto never = testing::species_with({-60, -50}, {-70, 90});
    compare(plan_with_band(never), testing::plan_for({.species = "dart-frog"}),
            [](const Option& all, const Option& frog) {
                CHECK(figures(frog).hours_outside.value <= figures(all).hours_outside.value + 1e-6);
                CHECK(figures(frog).hours_p90 <= figures(all).hours_p90 + 1e-6);
            });
}

TEST_CASE("hours outside are the cold and the warm ones and fall on the legs") {
    const Plan plan = testing::plan_for({.species = "dart-frog"});
    for (const Option& option : plan.options) {
        CAPTURE(testing::key_of(option));
        const double all_h = figures(option).hours_outside.value;
        double on_legs_h = 0;
        for (const odds::LegShare& share : option.assessment.legs) on_legs_h += share.hours();
        CHECK(figures(option).hours_cold + figures(option).hours_warm == Approx(all_h).margin(1e-4));
        CHECK(on_legs_h == Approx(all_h).margin(1e-3));
    }
}

TEST_CASE("chances are chances and spreads are in order") {
    const Plan plan = testing::plan_for({.to = "Tampa FL"});
    for (const Option& option : plan.options) {
        const auto& f = figures(option);
        CAPTURE(testing::key_of(option));
        for (const double chance : {f.chance_outside.value, f.chance_harm.value, f.chance_harm_cold}) {
            CHECK(chance >= 0);
            CHECK(chance <= 1 + 1e-9);
        }
        CHECK(f.chance_harm_cold <= f.chance_harm.value + 1e-9);
        CHECK(f.coldest_c.p5 <= f.coldest_c.p95);
        CHECK(f.coldest_c.p95 <= f.warmest_c.p95);
        CHECK(f.hours_outside.error >= 0);
    }
}

TEST_CASE("a packing under another id has the very same figures") {
    box::Packing twin = testing::starter().packings.find("small-38-1w");
    twin.id = "twin";
    PlanRequest request = testing::request_for({.packings = {"small-38-1w", "small-19"}});
    request.packings.push_back(&twin);
    const Plan plan = make_plan(testing::starter(), testing::demo_weather(), request);
    for (const Option& option : plan.options) {
        if (option.packing->id != "twin") continue;
        const std::string original =
            format_date(option.ship_date) + " " + option.service->id + " small-38-1w";
        CAPTURE(original);
        CHECK(same_figures(figures(option), figures(testing::find_option(plan, original))));
        CHECK(option.cost.total_usd() == testing::find_option(plan, original).cost.total_usd());
    }
}

TEST_CASE("an option's figures do not depend on what else is asked about") {
    const auto same = [](const Option& alone, const Option& among) {
        CHECK(same_figures(figures(alone), figures(among)));
    };
    const Plan all = testing::plan_for({.days = 9});
    for (const char* service : {"night-air", "night-air+held", "two-day"}) {
        PlanRequest request = testing::request_for({.services = {service}, .days = 3});
        compare(make_plan(testing::starter(), testing::demo_weather(), request), all, same);
        request.from = Date{date::sys_days(request.from) + date::days(2)};
        compare(make_plan(testing::starter(), testing::demo_weather(), request), all, same);
    }
}

TEST_CASE("one two and three threads give the same options and figures") {
    const Plan one = testing::plan_for({.threads = 1});
    for (const unsigned threads : {2u, 3u}) {
        const Plan more = testing::plan_for({.threads = threads});
        REQUIRE(more.options.size() == one.options.size());
        for (std::size_t i = 0; i < one.options.size(); ++i) {
            CAPTURE(threads, i);
            REQUIRE(testing::key_of(more.options[i]) == testing::key_of(one.options[i]));
            CHECK(same_figures(figures(more.options[i]), figures(one.options[i])));
        }
    }
}

TEST_CASE("another seed changes figures only within a few standard errors") {
    const Plan one = testing::plan_for({.scenarios = 2048, .seed = 1});
    const Plan other = testing::plan_for({.scenarios = 2048, .seed = 20270301});
    int changed = 0;
    compare(one, other, [&](const Option& a, const Option& b) {
        const auto close = [](const odds::Estimate& x, const odds::Estimate& y, double unseen) {
            return std::abs(x.value - y.value) <= 5 * std::hypot(x.error, y.error) + unseen;
        };
        CHECK(close(figures(a).hours_outside, figures(b).hours_outside, 0.005));
        CHECK(close(figures(a).chance_outside, figures(b).chance_outside, 0.002));
        CHECK(close(figures(a).chance_harm, figures(b).chance_harm, 0.002));
        changed += figures(a).hours_outside.value != figures(b).hours_outside.value;
    });
    CHECK(changed > 60);
}

TEST_CASE("the sampling error stated is the scatter between seeds") {
    constexpr int kSeeds = 60;  // a standard deviation known to one part in eleven
    double sum = 0;
    double squares = 0;
    double stated = 0;
    for (int seed = 1; seed <= kSeeds; ++seed) {
        const Plan plan = testing::plan_for({.services = {"two-day"},
                                             .packings = {"small-38"},
                                             .days = 1,
                                             .scenarios = 256,
                                             .seed = static_cast<std::uint64_t>(seed)});
        const odds::Estimate hours = figures(plan.options.front()).hours_outside;
        sum += hours.value;
        squares += hours.value * hours.value;
        stated += hours.error / kSeeds;
    }
    const double mean = sum / kSeeds;
    const double scatter = std::sqrt((squares - kSeeds * mean * mean) / (kSeeds - 1));
    CAPTURE(mean, scatter, stated);
    CHECK(scatter / stated < 1.35);
    CHECK(scatter / stated > 0.65);
}
