#include "mildway/weather/sampled_weather.hpp"

#include "mildway/base/errors.hpp"
#include "mildway/weather/forecast_error.hpp"

#include "catch.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <stdexcept>
#include <vector>

using namespace mildway;
using namespace mildway::weather;

namespace {

const Place kDuluth{"Duluth MN", 46.7867, -92.1005, "America/Chicago"};
const Place kNextDoor{"Duluth depot", 46.7900, -92.1005, "America/Chicago"};  // 370 m north
const Place kTampa{"Tampa FL", 27.9506, -82.4572, "America/New_York", Climate::warm_coast_east};
const Place kAlbany{"Albany NY", 42.6526, -73.7562, "America/New_York"};

Instant at(int hour) {
    return date::sys_days(date::year(2027) / 3 / 1) + hours(hour);
}

/// A forecast of the same temperature from 06:00Z on 1 March, issued at 10:00Z.
PlaceOutlook flat(const Place& place, double temp_c, std::size_t hour_count = 180) {
    Outlook outlook;
    outlook.issued = at(10);
    outlook.first_hour = at(6);
    outlook.temp_c.emplace_back(hour_count, temp_c);
    return {place, outlook};
}

std::vector<float> copy(std::span<const float> values) {
    return {values.begin(), values.end()};
}

double mean(std::span<const float> values) {
    double sum = 0;
    for (const float v : values) sum += static_cast<double>(v);
    return sum / static_cast<double>(values.size());
}

double sd(std::span<const float> values) {
    const double middle = mean(values);
    double sum = 0;
    for (const float v : values) sum += (static_cast<double>(v) - middle) * (static_cast<double>(v) - middle);
    return std::sqrt(sum / static_cast<double>(values.size()));
}

}  // namespace

TEST_CASE("the window is widened to whole hours") {
    const std::vector places{flat(kDuluth, 0)};
    const SampledWeather sampled(places, at(12) + minutes(20), at(14) + minutes(5), {.scenarios = 8});
    CHECK(sampled.first_hour() == at(12));
    CHECK(sampled.hour_count() == 4);
    CHECK(sampled.hour(0, 3).size() == 8);
    CHECK(sampled.block(0).size() == 32);
}

TEST_CASE("an hour of the weather is a row of its block") {
    const std::vector places{flat(kDuluth, 0)};
    const SampledWeather sampled(places, at(12), at(14), {.scenarios = 8});
    CHECK(copy(sampled.hour(0, 1)) == copy(sampled.block(0).subspan(8, 8)));
}

TEST_CASE("the same draws come out on any number of threads") {
    const std::vector places{flat(kDuluth, -10), flat(kTampa, 25)};
    const SampledWeather one(places, at(12), at(60), {.scenarios = 300, .threads = 1});
    const SampledWeather three(places, at(12), at(60), {.scenarios = 300, .threads = 3});
    CHECK(copy(one.block(0)) == copy(three.block(0)));
    CHECK(copy(one.block(1)) == copy(three.block(1)));
}

TEST_CASE("a draw does not depend on the window") {
    const std::vector places{flat(kDuluth, -10), flat(kTampa, 25)};
    const SampledWeather wide(places, at(6), at(180), {.scenarios = 132});
    const SampledWeather narrow(places, at(70), at(80), {.scenarios = 132});
    CHECK(copy(narrow.hour(1, 3)) == copy(wide.hour(1, 67)));
}

TEST_CASE("a draw does not depend on the number of scenarios") {
    const std::vector places{flat(kDuluth, -10)};
    const SampledWeather many(places, at(12), at(20), {.scenarios = 400});
    const SampledWeather few(places, at(12), at(20), {.scenarios = 100});
    CHECK(copy(few.hour(0, 5)) == copy(many.hour(0, 5).first(100)));
}

TEST_CASE("the first place draws as if it were alone") {
    const std::vector alone{flat(kDuluth, -10)};
    const std::vector together{flat(kDuluth, -10), flat(kTampa, 25, 300)};
    const SampledWeather a(alone, at(12), at(100), {.scenarios = 64});
    const SampledWeather b(together, at(12), at(100), {.scenarios = 64});
    CHECK(copy(a.block(0)) == copy(b.block(0)));
}

TEST_CASE("another seed draws another world") {
    const std::vector places{flat(kDuluth, -10)};
    const SampledWeather a(places, at(12), at(12), {.scenarios = 4, .seed = 1});
    const SampledWeather b(places, at(12), at(12), {.scenarios = 4, .seed = 2});
    CHECK(copy(a.hour(0, 0)) != copy(b.hour(0, 0)));
}

TEST_CASE("places on one spot share their error") {
    const std::vector places{flat(kDuluth, 0), flat(kAlbany, 0), flat(kNextDoor, 0)};
    const SampledWeather sampled(places, at(12), at(60), {.scenarios = 64});
    CHECK(copy(sampled.block(0)) == copy(sampled.block(2)));
    CHECK(copy(sampled.block(0)) != copy(sampled.block(1)));
}

TEST_CASE("the mean is the forecast and its correction") {
    const std::vector places{flat(kDuluth, -10)};
    const SampledWeather sampled(places, at(40), at(40), {.scenarios = 20000});
    // standard error 2 K / sqrt(20,000) = 0.014 K
    CHECK(mean(sampled.hour(0, 0)) == Approx(-10 + kMeanCorrectionK).margin(0.05));
}

TEST_CASE("at the low and the high the spread is that of the model and the residual") {
    const std::vector places{flat(kDuluth, 0)};
    // 06:00 in Duluth is 12:00Z, 16:00 is 22:00Z; 2 March and 7 March
    const auto [hour, phase] = GENERATE(
        table<int, Phase>({{36, Phase::low}, {46, Phase::high}, {156, Phase::low}, {166, Phase::high}}));
    INFO(hour);
    const SampledWeather sampled(places, at(hour), at(hour), {.scenarios = 40000});
    const double expected =
        std::hypot(error_sd_k(phase, Season::spring, kDuluth.climate, hour - 10), kResidualSdK);
    CHECK(sd(sampled.hour(0, 0)) == Approx(expected).epsilon(0.025));
}

TEST_CASE("the fast residual is there between the low and the high") {
    // midway the two errors average out; what one hour adds to the next is mostly the residual
    const std::vector places{flat(kDuluth, 0)};
    const SampledWeather sampled(places, at(40), at(41), {.scenarios = 20000});
    std::vector<float> step = copy(sampled.hour(0, 1));
    for (std::size_t s = 0; s < step.size(); ++s) step[s] -= sampled.hour(0, 0)[s];
    // residual step: 0.6 sqrt(2 (1 - exp(-1/3))) = 0.452; the lows and highs add a tenth of their difference,
    // some 2 K
    CHECK(sd(step) > 0.45);
    CHECK(sd(step) < 0.55);
}

TEST_CASE("errors below three days have heavier tails than the normal") {
    const std::vector places{flat(kDuluth, 0)};
    const auto share_beyond_three_sd = [&](int hour) {
        const SampledWeather sampled(places, at(hour), at(hour), {.scenarios = 100000});
        const double limit = 3 * sd(sampled.hour(0, 0));
        const auto row = sampled.hour(0, 0);
        return static_cast<double>(
                   std::count_if(row.begin(), row.end(),
                                 [&](float t) { return std::abs(static_cast<double>(t) - 0.15) > limit; })) /
               static_cast<double>(row.size());
    };
    // Student-t of 6 df in units of its sd: 0.0103; normal: 0.0027; the residual takes a little of the first
    CHECK(share_beyond_three_sd(46) > 0.006);
    CHECK(share_beyond_three_sd(166) < 0.004);
}

TEST_CASE("hours the outlook does not know are unknown in every scenario") {
    PlaceOutlook place = flat(kDuluth, 0, 10);
    place.outlook.temp_c.front()[4] = std::numeric_limits<double>::quiet_NaN();
    const std::vector places{place};
    const SampledWeather sampled(places, at(4), at(18), {.scenarios = 8});
    const auto known = [&](std::uint32_t hour) {
        const auto row = sampled.hour(0, hour);
        return std::count_if(row.begin(), row.end(), [](float t) { return !std::isnan(t); });
    };
    CHECK(known(1) == 0);   // 05:00Z, before the first
    CHECK(known(2) == 8);   // 06:00Z
    CHECK(known(6) == 0);   // 10:00Z, the gap
    CHECK(known(11) == 8);  // 15:00Z, the last
    CHECK(known(12) == 0);  // after the last
}

TEST_CASE("the clock change of a place does not upset the errors") {
    // Duluth skips 02:00 on 14 March 2027; the low is at 11:00Z from then on
    PlaceOutlook place = flat(kDuluth, 0, 360);
    const std::vector places{place};
    const int low_hour = 13 * 24 + 11;
    const SampledWeather sampled(places, at(low_hour), at(low_hour), {.scenarios = 40000});
    const double expected =
        std::hypot(error_sd_k(Phase::low, Season::spring, kDuluth.climate, low_hour - 10), kResidualSdK);
    CHECK(sd(sampled.hour(0, 0)) == Approx(expected).epsilon(0.025));
}

TEST_CASE("questions without sense are refused") {
    const std::vector places{flat(kDuluth, 0)};
    CHECK_THROWS_AS(SampledWeather({}, at(6), at(9), {}), std::invalid_argument);
    CHECK_THROWS_AS(SampledWeather(places, at(9), at(6), {}), std::invalid_argument);
    CHECK_THROWS_AS(SampledWeather(places, at(6), at(9), {.scenarios = 6}), std::invalid_argument);
    CHECK_THROWS_AS(SampledWeather(places, at(6), at(9), {.scenarios = 0}), std::invalid_argument);
    const std::vector empty{PlaceOutlook{kDuluth, Outlook{}}};
    CHECK_THROWS_AS(SampledWeather(empty, at(6), at(9), {}), std::invalid_argument);
}

TEST_CASE("a place without a time zone cannot be sampled") {
    Place nowhere = kDuluth;
    nowhere.zone = "";
    const std::vector places{flat(nowhere, 0)};
    CHECK_THROWS_AS(SampledWeather(places, at(6), at(9), {}), UsageError);
}
