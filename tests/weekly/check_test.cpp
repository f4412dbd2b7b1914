// Planned orders under a morning's weather.
#include "mildway/weekly/check.hpp"

#include "catch.hpp"
#include "plan_world.hpp"

#include <map>
#include <mutex>

using namespace mildway;
using namespace mildway::weekly;
namespace ship = mildway::testing;
using ship::demo_monday;
using ship::demo_now;
using ship::demo_weather;
using ship::starter;

namespace {

Date day_of_week(int days_after_monday) {
    return Date{date::sys_days(demo_monday()) + date::days(days_after_monday)};
}

/// A corn snake planned for Tuesday, comfortable to Albany by the demo's weather.
Planned planned_order(const std::string& number = "JB-1", const std::string& to = "Albany NY") {
    Planned planned;
    planned.order.number = number;
    planned.order.state = orders::State::planned;
    planned.order.place = *starter().find_place(to);
    planned.order.species = "corn-snake";
    planned.order.animals = {{}};
    orders::Choice choice;
    choice.version = 1;
    choice.ship_date = day_of_week(1);
    choice.service = "night-air+held";
    choice.packing = "small-19-1s";
    choice.verdict = Verdict::comfortable;
    choice.hours_outside = 0.1;
    planned.order.choice = choice;
    return planned;
}

CheckRequest quick_request() {
    CheckRequest request;
    request.scenarios = 512;
    request.threads = 2;
    request.now = demo_now();
    request.days_ahead = 4;
    return request;
}

Checked check_one(const Planned& planned, const weather::ForecastSource& source = demo_weather()) {
    return check_orders(starter(), {}, source, {&planned, 1}, quick_request()).orders.front();
}

/// The option that the order is planned with, as a plan of its own sees it.
planning::Option own_option(const Planned& planned, const weather::ForecastSource& source = demo_weather()) {
    const orders::Choice& choice = *planned.order.choice;
    auto request = ship::request_for({.to = planned.order.place.name,
                                      .services = {choice.service},
                                      .packings = {choice.packing},
                                      .days = 1,
                                      .scenarios = 512});
    request.from = choice.ship_date;
    return planning::make_plan(starter(), source, request).options.front();
}

/// The choice's figures are those of the weather as it is.
Planned as_it_is(Planned planned, const weather::ForecastSource& source = demo_weather()) {
    const planning::Option option = own_option(planned, source);
    planned.order.choice->verdict = option.verdict;
    planned.order.choice->hours_outside = option.assessment.all->hours_outside.value;
    return planned;
}

/// Counts how often each place is asked about.
class CountingSource : public weather::ForecastSource {
public:
    [[nodiscard]] std::string name() const override { return "the demo's weather"; }
    [[nodiscard]] weather::Outlook outlook(const Place& place) const override {
        {
            const std::lock_guard lock(counting_);
            ++asked_[place.name];
        }
        return demo_weather().outlook(place);
    }
    [[nodiscard]] const std::map<std::string, int>& asked() const { return asked_; }

private:
    mutable std::mutex counting_;
    mutable std::map<std::string, int> asked_;
};

}  // namespace

TEST_CASE("A planned order under the same weather has the figures of its own plan") {
    const Planned planned = planned_order();
    const planning::Option own = own_option(planned);
    const Checked checked = check_one(planned);
    REQUIRE(checked.found.hours_outside.has_value());
    CHECK(*checked.found.hours_outside == Approx(own.assessment.all->hours_outside.value)
                                              .margin(1e-6 + 4 * own.assessment.all->hours_outside.error));
    CHECK(checked.found.verdict == own.verdict);
    CHECK(checked.found.choice_version == 1);
}

TEST_CASE("An order whose weather did not change is neither flagged nor talked about") {
    Planned planned = as_it_is(planned_order());
    REQUIRE(planned.order.choice->verdict == Verdict::comfortable);
    const Checked checked = check_one(planned);
    CHECK_FALSE(checked.found.flagged);
    CHECK(checked.found.sentence.empty());
}

TEST_CASE("An order that a colder forecast makes risky is flagged with its side and leg") {
    const auto colder = ship::warmed(-25);
    const Planned planned = as_it_is(planned_order());
    const Checked checked = check_one(planned, colder);
    CHECK(checked.found.flagged);
    CHECK(checked.found.standing == Verdict::unsafe);
    CHECK(checked.found.side == Side::cold);
    CHECK_FALSE(checked.found.worst_leg.empty());
    CHECK_THAT(checked.found.sentence, Catch::Contains("unsafe (cold) now, comfortable before") &&
                                           Catch::Contains(checked.found.worst_leg));
}

TEST_CASE("A tight order that was chosen as tight is not flagged for it") {
    Planned planned = planned_order();
    planned.order.choice->ship_date = day_of_week(2);
    planned = as_it_is(planned);
    REQUIRE(planned.order.choice->verdict == Verdict::tight);
    const Checked checked = check_one(planned);
    REQUIRE(checked.found.standing == Verdict::tight);
    CHECK_FALSE(checked.found.flagged);
    planned.order.choice->verdict = Verdict::comfortable;
    CHECK(check_one(planned).found.flagged);
}

TEST_CASE("An order whose day is past and that was not handed over is flagged") {
    Planned planned = planned_order();
    planned.order.choice->ship_date = day_of_week(-1);
    const Checked checked = check_one(planned);
    CHECK(checked.found.flagged);
    CHECK_THAT(checked.found.sentence, Catch::Contains("is past and it was not handed over"));
}

TEST_CASE("An order whose packing or service is gone from the workspace is flagged by its name") {
    Planned planned = planned_order();
    planned.order.choice->packing = "old-box";
    CHECK_THAT(check_one(planned).found.sentence, Catch::Contains("packings.json has no 'old-box'"));
    planned = planned_order();
    planned.order.choice->service = "old-service";
    CHECK_THAT(check_one(planned).found.sentence, Catch::Contains("services.json has no 'old-service'"));
}

TEST_CASE("An order whose species or permitted service is gone is flagged and the others are checked") {
    Planned no_species = planned_order();
    no_species.order.species = "old-species";
    Planned no_service = planned_order();
    no_service.order.services.push_back("old-service");
    const std::vector<Planned> planned{no_species, no_service, planned_order()};
    const CheckResult result = check_orders(starter(), {}, demo_weather(), planned, quick_request());
    CHECK_THAT(result.orders.at(0).found.sentence, Catch::Contains("species.json has no 'old-species'"));
    CHECK_THAT(result.orders.at(1).found.sentence, Catch::Contains("services.json has no 'old-service'"));
    CHECK(result.orders.at(0).found.standing == Verdict::unknown);
    CHECK(result.orders.at(0).found.flagged);
    CHECK(result.orders.at(1).found.flagged);
    CHECK(result.orders.at(2).found.hours_outside.has_value());
}

TEST_CASE("An order on a day when the service is closed is flagged with the reason") {
    Planned planned = planned_order();
    planned.order.choice->ship_date = day_of_week(5);
    const Checked checked = check_one(planned);
    CHECK(checked.found.flagged);
    CHECK_FALSE(checked.trouble.empty());
}

TEST_CASE("An order without a forecast is unknown and flagged, never fine") {
    const ship::WithoutPlace source("Albany NY");
    const Checked checked = check_one(planned_order(), source);
    CHECK(checked.found.standing == Verdict::unknown);
    CHECK(checked.found.flagged);
    CHECK_FALSE(checked.found.hours_outside.has_value());
    CHECK_THAT(checked.found.sentence, Catch::Contains("no forecast for Albany NY"));
}

TEST_CASE("Another day that saves much is told with its figures") {
    // Tuesday and Wednesday are made bitter everywhere, Thursday is left mild
    const ship::ChangedWeather bitter([](const Place&, weather::Outlook& outlook) {
        const Instant from = date::sys_days(day_of_week(1));
        const Instant until = from + hours(60);
        for (auto& member : outlook.temp_c) {
            for (std::size_t i = 0; i < member.size(); ++i) {
                const Instant hour = outlook.first_hour + hours(static_cast<int>(i));
                if (hour >= from && hour < until) member[i] -= 25;
            }
        }
    });
    Planned planned = planned_order("JB-1", "Sacramento CA");
    planned.order.choice->packing = "small-19";
    const Checked checked = check_one(planned, bitter);
    REQUIRE(checked.found.better_day.has_value());
    REQUIRE(checked.better.has_value());
    CHECK(checked.found.flagged);
    CHECK(checked.found.better_by_hours >= 1.0);
    CHECK(*checked.found.better_day != planned.order.choice->ship_date);
    CHECK_THAT(checked.found.sentence, Catch::Contains("expected to save"));
}

TEST_CASE("Days on which the buyer is away are no better days") {
    const auto colder = ship::warmed(-25);
    Planned planned = planned_order("JB-1", "Sacramento CA");
    planned.order.choice->packing = "small-19";
    planned.order.buyer_away = {{day_of_week(0), day_of_week(30)}};
    const Checked checked = check_one(planned, colder);
    CHECK_FALSE(checked.found.better_day.has_value());
}

TEST_CASE("Days on which the breeder is away and verdicts worse than are planned with are no better days") {
    const auto colder = ship::warmed(-25);
    Planned planned = planned_order("JB-1", "Sacramento CA");
    planned.order.choice->packing = "small-19";
    Limits limits;
    limits.days_away = {{day_of_week(0), day_of_week(30)}};
    CHECK_FALSE(check_orders(starter(), limits, colder, {&planned, 1}, quick_request())
                    .orders.front()
                    .found.better_day.has_value());
    const Checked checked = check_one(planned, colder);
    if (checked.better) CHECK(checked.better->verdict <= Verdict::tight);
}

TEST_CASE("A better day that was told stays told on a morning without weather") {
    const ship::WithoutPlace source("Albany NY");
    Planned planned = planned_order();
    planned.before = orders::Reassessment{};
    planned.before->standing = Verdict::tight;
    planned.before->hours_outside = 2.0;
    planned.before->better_day = day_of_week(3);
    const Checked checked = check_one(planned, source);
    CHECK(checked.found.better_day == day_of_week(3));
    CHECK_THAT(checked.found.sentence, !Catch::Contains("no longer clearly better"));
}

TEST_CASE("A slow slide away from what was chosen is told once it is a step") {
    Planned planned = as_it_is(planned_order());
    const double now_h = *check_one(planned).found.hours_outside;
    planned.order.choice->hours_outside = now_h - 1.05;
    planned.before = orders::Reassessment{};
    planned.before->standing = planned.order.choice->verdict;
    planned.before->hours_outside = now_h - 0.1;
    CHECK_THAT(check_one(planned).found.sentence, Catch::Contains("so it was when it was chosen"));
    planned.before->hours_outside = now_h - 0.01;
    CHECK(check_one(planned).found.sentence.empty());
}

TEST_CASE("A check asks for the weather of each place once") {
    const CountingSource source;
    std::vector<Planned> planned;
    for (int i = 0; i < 6; ++i)
        planned.push_back(planned_order("JB-" + std::to_string(i), i % 2 == 0 ? "Duluth MN" : "Albany NY"));
    (void)check_orders(starter(), {}, source, planned, quick_request());
    for (const auto& [place, times] : source.asked()) {
        INFO(place);
        CHECK(times == 1);
    }
    CHECK(source.asked().contains("Duluth MN"));
}

TEST_CASE("A check gives the same on one thread and on two") {
    std::vector<Planned> planned{planned_order("JB-1"), planned_order("JB-2", "Albany NY"),
                                 planned_order("JB-3", "Tampa FL"), planned_order("JB-4")};
    planned[3].order.species = "crested-gecko";
    CheckRequest request = quick_request();
    request.threads = 1;
    const CheckResult one = check_orders(starter(), {}, demo_weather(), planned, request);
    request.threads = 2;
    const CheckResult two = check_orders(starter(), {}, demo_weather(), planned, request);
    REQUIRE(one.orders.size() == two.orders.size());
    for (std::size_t i = 0; i < one.orders.size(); ++i) {
        CHECK(one.orders[i].found.hours_outside == two.orders[i].found.hours_outside);
        CHECK(one.orders[i].found.sentence == two.orders[i].found.sentence);
    }
    CHECK(one.flagged == two.flagged);
}

TEST_CASE("Nothing is asked and nothing flagged without planned orders") {
    const CountingSource source;
    CHECK(check_orders(starter(), {}, source, {}, quick_request()).flagged == 0);
    CHECK(source.asked().empty());
}
