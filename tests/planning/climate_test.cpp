// Trips that outlast the forecast rest on the climate, and say so.
#include "mildway/planning/plan.hpp"

#include "catch.hpp"
#include "plan_world.hpp"

#include <algorithm>
#include <set>

using namespace mildway;
using planning::Plan;
using planning::Verdict;
using testing::demo_weather;

namespace {

/// The demo's forecasts with a climate behind them: mild, the same at every hour.
class WithClimate : public weather::ForecastSource {
public:
    /// The forecasts end after `forecast_hours`, if they reach as far.
    explicit WithClimate(double climate_c, std::size_t forecast_hours = 1000)
        : climate_c_(climate_c), forecast_hours_(forecast_hours) {}
    [[nodiscard]] std::string name() const override { return "the demo's weather and a climate"; }
    [[nodiscard]] weather::Outlook outlook(const Place& place) const override {
        weather::Outlook outlook = demo_weather().outlook(place);
        const std::size_t keep = std::min(forecast_hours_, outlook.hour_count());
        outlook.temp_c.front().resize(keep);
        for (auto* series :
             {&outlook.cloud_fraction, &outlook.wind_m_per_s, &outlook.gust_m_per_s, &outlook.snow_mm_per_h,
              &outlook.ice_mm_per_h, &outlook.thunder_probability, &outlook.fog_probability}) {
            if (!series->empty()) series->resize(keep);
        }
        return outlook;
    }
    [[nodiscard]] std::vector<weather::Reading> climate(std::span<const Place> places, Instant from,
                                                        Instant to) const override {
        std::vector<weather::Reading> readings;
        for (std::size_t i = 0; i < places.size(); ++i) {
            weather::Outlook outlook;
            outlook.source = "a climate";
            outlook.basis = weather::Basis::climate;
            outlook.issued = from;
            outlook.first_hour = date::floor<hours>(from);
            const auto count = static_cast<std::size_t>((to - outlook.first_hour) / hours(1)) + 2;
            outlook.temp_c = {std::vector<double>(count, climate_c_)};
            readings.push_back({outlook, ""});
        }
        return readings;
    }

private:
    double climate_c_;
    std::size_t forecast_hours_;
};

Plan days_of(const weather::ForecastSource& source, int days) {
    testing::Order order;
    order.to = "Albany NY";
    order.services = {"night-air"};
    order.days = days;
    order.scenarios = 256;
    return planning::make_plan(testing::starter(), source, testing::request_for(order));
}

Plan two_weeks(const weather::ForecastSource& source) {
    return days_of(source, 12);
}

std::set<Date> days_by_basis(const Plan& plan, weather::Basis basis) {
    std::set<Date> days;
    for (const auto& option : plan.options) {
        if (option.basis == basis) days.insert(option.ship_date);
    }
    return days;
}

}  // namespace

TEST_CASE("days beyond the forecast are known by the climate and early days by the forecast") {
    const Plan plan = two_weeks(WithClimate(12));
    const auto monday = date::sys_days(testing::demo_monday());
    CHECK(days_by_basis(plan, weather::Basis::forecast).contains(Date{monday}));
    CHECK(days_by_basis(plan, weather::Basis::climate).contains(Date{monday + date::days(10)}));
    for (const auto& option : plan.options) CHECK(option.verdict != Verdict::unknown);
}

TEST_CASE("an option that rests on the climate is never better than tight") {
    const Plan plan = two_weeks(WithClimate(18));
    int by_climate = 0;
    for (const auto& option : plan.options) {
        if (option.basis != weather::Basis::climate) continue;
        ++by_climate;
        CHECK(option.verdict != Verdict::comfortable);
    }
    CHECK(by_climate > 0);
}

TEST_CASE("without a climate days beyond the forecast stay unknown") {
    const Plan plan = two_weeks(demo_weather());
    CHECK(days_by_basis(plan, weather::Basis::climate).empty());
    CHECK(std::any_of(plan.options.begin(), plan.options.end(),
                      [](const auto& option) { return option.verdict == Verdict::unknown; }));
}

TEST_CASE("the weather of a place says from when on it is the climate") {
    const Plan plan = two_weeks(WithClimate(12));
    for (const auto& there : plan.weather) {
        REQUIRE(there.climate_from);
        CHECK(there.known_until < *there.climate_from);
    }
}

TEST_CASE("a forecast that cannot be of the season makes every option unknown") {
    const Plan plan = two_weeks(WithClimate(45));
    for (const auto& option : plan.options) {
        CHECK(option.verdict == Verdict::unknown);
        CHECK_THAT(option.assessment.unknown_reason, Catch::Contains("this time of the year"));
    }
}

TEST_CASE("days that rest on the climate do not change the figures of those before") {
    const WithClimate source(12, 120);  // Monday's parcel is there by Thursday, however late
    const Plan alone = days_of(source, 1);
    const Plan among = two_weeks(source);
    REQUIRE(days_by_basis(among, weather::Basis::climate).size() > 3);
    REQUIRE(days_by_basis(alone, weather::Basis::climate).empty());
    for (const auto& option : alone.options) {
        CAPTURE(testing::key_of(option));
        const auto& other = testing::find_option(among, testing::key_of(option));
        CHECK(option.assessment.all.value().hours_outside.value ==
              other.assessment.all.value().hours_outside.value);
        CHECK(option.assessment.all->coldest_c.p50 == other.assessment.all->coldest_c.p50);
    }
}

TEST_CASE("a change to a service that was not asked about rests on as much climate as if it were") {
    const WithClimate source(6);
    const auto plan_of_thursday = [&](std::vector<std::string> services) {
        testing::Order order;
        order.to = "Albany NY";
        order.services = std::move(services);
        order.packings = {"small-38-1s"};
        order.days = 1;
        order.scenarios = 256;
        auto request = testing::request_for(order);
        request.from = Date{date::year{2027} / 3 / 4};  // two-day comes on Monday, when the forecasts end
        return planning::make_plan(testing::starter(), source, request);
    };
    const Plan asked = plan_of_thursday({"night-air", "two-day"});
    const Plan narrow = plan_of_thursday({"night-air"});
    const auto change =
        std::find_if(narrow.changes.begin(), narrow.changes.end(),
                     [](const planning::Change& one) { return one.option.service->id == "two-day"; });
    REQUIRE(change != narrow.changes.end());
    const auto& figures = change->option.assessment;
    const auto& expected = testing::find_option(asked, "2027-03-04 two-day small-38-1s").assessment;
    REQUIRE(expected.late_unknown_reason.empty());
    CHECK(figures.late_unknown_reason.empty());
    CHECK(figures.all->hours_outside.value == expected.all->hours_outside.value);
    CHECK(figures.all->chance_harm.value == expected.all->chance_harm.value);
}
