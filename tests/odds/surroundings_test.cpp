#include "mildway/odds/surroundings.hpp"

#include "mildway/odds/low_pass.hpp"
#include "mildway/weather/sun.hpp"

#include "catch.hpp"
#include "room_world.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

using namespace mildway;
using namespace mildway::odds;
using mildway::testing::at;
using mildway::testing::made_air;
using mildway::testing::RoomWorld;

namespace {

const Instant kFirst = at("2027-06-20T00:00:00Z");
const Instant kSampled = kFirst + hours(48);

double wavy_c(double hour) {
    return 20 + 8 * std::sin(hour / 24 * 2 * std::numbers::pi);
}

/// A hall with a memory and sun, a yard with sun on the box; weather from kFirst, sampled from kSampled on.
RoomWorld::Options hall_and_yard(double lag_hours) {
    const auto air = made_air(kFirst, 200, wavy_c);
    return {
        {{"hall", R"("hold_c": 20, "follow": 0.5, "sun_lift_k": 5, "air_speed_m_per_s": 0.3, "lag_hours": )" +
                      std::to_string(lag_hours)},
         {"yard", R"("hold_c": 20, "follow": 1, "sun_on_box_w_per_m2": 300, "air_speed_m_per_s": 1)"}},
        air,
        air,
        kSampled,
        kFirst + hours(190)};
}

float air_of(const RoomWorld& rooms, double lag_hours, std::size_t hour, std::size_t scenario) {
    return rooms.surroundings().air(0, lag_hours)[hour * rooms.sampled().scenarios() + scenario];
}

/// dy/dt = (x - y) / lag by small steps, x straight between the hours.
double stepped(const std::vector<double>& hourly, double start, double lag_hours) {
    constexpr int kSteps = 2000;
    double y = start;
    for (std::size_t hour = 0; hour + 1 < hourly.size(); ++hour) {
        for (int i = 0; i < kSteps; ++i) {
            const double x = hourly[hour] + (i + 0.5) / kSteps * (hourly[hour + 1] - hourly[hour]);
            y += (x - y) / lag_hours / kSteps;
        }
    }
    return y;
}

std::vector<double> sampled_c(const RoomWorld& rooms, std::uint32_t hour_count, std::size_t scenario) {
    std::vector<double> series;
    for (std::uint32_t hour = 0; hour < hour_count; ++hour)
        series.push_back(static_cast<double>(rooms.sampled().hour(0, hour)[scenario]));
    return series;
}

/// What the outlook says up to the first sampled hour.
std::vector<double> hours_before(const weather::Outlook& outlook) {
    return {outlook.temp_c[0].begin(), outlook.temp_c[0].begin() + (kSampled - kFirst) / hours(1) + 1};
}

}  // namespace

TEST_CASE("remembered air is that of a lump that lags behind the sampled air in each scenario") {
    const RoomWorld rooms(hall_and_yard(2.5));
    for (const std::size_t scenario : {0u, 7u, 255u}) {
        const double start = static_cast<double>(air_of(rooms, 2.5, 0, scenario));
        const double expected = stepped(sampled_c(rooms, 31, scenario), start, 2.5);
        CHECK(static_cast<double>(air_of(rooms, 2.5, 30, scenario)) == Approx(expected).margin(0.005));
    }
}

TEST_CASE("a memory holds what the outlook knows of the hours before the first sampled one") {
    const RoomWorld::Options options = hall_and_yard(4);
    const RoomWorld rooms(options);
    const auto before = hours_before(options.near);
    const double apart_k = stepped(before, before.front(), 4) - before.back();
    REQUIRE(std::abs(apart_k) > 2);
    for (const std::size_t scenario : {0u, 100u}) {
        const float here = rooms.sampled().hour(0, 0)[scenario];
        CHECK(static_cast<double>(air_of(rooms, 4, 0, scenario) - here) == Approx(apart_k).margin(0.05));
    }
}

TEST_CASE("before what the outlook knows its first value counts as if it had lasted") {
    auto options = hall_and_yard(4);
    options.near.first_hour = options.far.first_hour = kSampled;
    const RoomWorld rooms(options);
    for (const std::size_t scenario : {0u, 100u})
        CHECK(air_of(rooms, 4, 0, scenario) == rooms.sampled().hour(0, 0)[scenario]);
}

TEST_CASE("a gap before the first sampled hour restarts the memory behind it") {
    auto options = hall_and_yard(4);
    options.near.temp_c[0][44] = std::numeric_limits<double>::quiet_NaN();
    const RoomWorld rooms(options);
    const std::vector<double> after_gap(options.near.temp_c[0].begin() + 45,
                                        options.near.temp_c[0].begin() + 49);
    const double apart_k = stepped(after_gap, after_gap.front(), 4) - after_gap.back();
    const float here = rooms.sampled().hour(0, 0)[3];
    CHECK(static_cast<double>(air_of(rooms, 4, 0, 3) - here) == Approx(apart_k).margin(0.01));
}

TEST_CASE("a sampled hour that is unknown makes the memory unknown as far as it reaches") {
    auto options = hall_and_yard(1.5);
    const std::size_t gap = 10;
    options.near.temp_c[0][48 + gap] = std::numeric_limits<double>::quiet_NaN();
    const RoomWorld rooms(options);
    REQUIRE(reach_hours(1.5) == 8);
    for (std::size_t hour = 0; hour < 40; ++hour) {
        CAPTURE(hour);
        CHECK(std::isnan(air_of(rooms, 1.5, hour, 5)) == (hour >= gap && hour <= gap + 8));
    }
}

TEST_CASE("an outlook without its first hours is remembered from its first known one") {
    auto options = hall_and_yard(1);
    for (std::size_t hour = 0; hour < 52; ++hour)
        options.near.temp_c[0][hour] = std::numeric_limits<double>::quiet_NaN();
    const RoomWorld rooms(options);
    CHECK(std::isnan(air_of(rooms, 1, 3, 0)));
    CHECK(air_of(rooms, 1, 4, 0) == rooms.sampled().hour(0, 4)[0]);
}

TEST_CASE("a gap at the first sampled hour leaves the memory unknown at first") {
    auto options = hall_and_yard(1);
    for (std::size_t hour = 40; hour < 52; ++hour)
        options.near.temp_c[0][hour] = std::numeric_limits<double>::quiet_NaN();
    const RoomWorld rooms(options);
    CHECK(std::isnan(air_of(rooms, 1, 8, 0)));
    CHECK_FALSE(std::isnan(air_of(rooms, 1, 9, 0)));
}

TEST_CASE("sun of a place without memory is that of the moment") {
    const RoomWorld rooms(hall_and_yard(0));
    for (int quarter = 0; quarter < 96; ++quarter) {
        const Instant when = kSampled + quarter * minutes(15);
        CHECK(static_cast<double>(rooms.surroundings().sun(0, 0).at(when)) ==
              Approx(weather::sun_share(RoomWorld::near_place(), when, 0)).margin(1e-6));
    }
}

TEST_CASE("sun between two quarters lies on a straight line") {
    const RoomWorld rooms(hall_and_yard(0));
    const SunSeries& sun = rooms.surroundings().sun(0, 0);
    const Instant when = kSampled + hours(16);
    CHECK(sun.at(when + minutes(5)) ==
          Approx(sun.at(when) * 2 / 3 + sun.at(when + minutes(15)) / 3).epsilon(1e-5));
}

TEST_CASE("remembered sun reaches back before the first sampled hour") {
    const double lag_h = 3;
    const RoomWorld rooms(hall_and_yard(lag_h));
    std::vector<double> shares;
    for (int hour = -40; hour <= 4; ++hour)
        shares.push_back(weather::sun_share(RoomWorld::near_place(), kSampled + hours(hour), 0));
    const double expected = stepped(shares, 0, lag_h);
    CHECK(static_cast<double>(rooms.surroundings().sun(0, lag_h).at(kSampled + hours(4))) ==
          Approx(expected).margin(0.01));
}

TEST_CASE("a longer memory never widens the daily swing of the sun") {
    double before = 2;
    for (const double lag_h : {0.0, 0.5, 1.0, 3.0, 6.0, 12.0, 48.0}) {
        const RoomWorld rooms(hall_and_yard(lag_h));
        float low = 1, high = 0;
        for (int quarter = 0; quarter < 96; ++quarter) {
            const float share =
                rooms.surroundings().sun(0, lag_h).at(kSampled + hours(72) + quarter * minutes(15));
            low = std::min(low, share);
            high = std::max(high, share);
        }
        CAPTURE(lag_h);
        CHECK(static_cast<double>(high - low) < before);
        before = static_cast<double>(high - low);
    }
}

TEST_CASE("a box catches twice the level share and never more than clear sky lets through") {
    auto options = hall_and_yard(0);
    std::fill(options.near.cloud_fraction.begin(), options.near.cloud_fraction.end(), 0.6);
    const RoomWorld rooms(options);
    const double through = 1 - 0.75 * std::pow(0.6, 3.4);
    for (int quarter = 0; quarter < 96; ++quarter) {
        const Instant when = kSampled + quarter * minutes(15);
        const double sine = std::max(0.0, weather::sun_elevation_sine(RoomWorld::near_place(), when));
        CHECK(static_cast<double>(rooms.surroundings().sun_on_box(0).at(when)) ==
              Approx(through * std::min(1.0, 2 * sine)).margin(1e-6));
    }
}

TEST_CASE("sun outside the time of the trips is an error of the program") {
    const RoomWorld rooms(hall_and_yard(0));
    CHECK_THROWS_AS(rooms.surroundings().sun(0, 0).at(kSampled - hours(1)), std::logic_error);
    CHECK_THROWS_AS(rooms.surroundings().sun(0, 0).at(kFirst + hours(195)), std::logic_error);
}

TEST_CASE("surroundings that no trip meets are an error of the program") {
    auto options = hall_and_yard(2);
    options.rooms.pop_back();
    const RoomWorld rooms(options);
    CHECK_NOTHROW(rooms.surroundings().sun(1, 2));
    CHECK_THROWS_AS(rooms.surroundings().sun(1, 0), std::logic_error);
    CHECK_THROWS_AS(rooms.surroundings().air(0, 3), std::logic_error);
    CHECK_THROWS_AS(rooms.surroundings().sun_on_box(0), std::logic_error);
}
