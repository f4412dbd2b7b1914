// Lists that begin with the same places share their draws, and nobody can tell from the numbers.
#include "mildway/weather/shared_draws.hpp"

#include "mildway/weather/sampled_weather.hpp"

#include "catch.hpp"

#include <algorithm>
#include <limits>
#include <vector>

using namespace mildway;
using namespace mildway::weather;

namespace {

const Place kHome{"Las Cruces NM", 32.3199, -106.7637, "America/Denver", Climate::western_plain};
const Place kHub{"Memphis TN", 35.1495, -90.0490, "America/Chicago"};
const Place kDuluth{"Duluth MN", 46.7867, -92.1005, "America/Chicago"};
const Place kSacramento{"Sacramento CA", 38.5816, -121.4944, "America/Los_Angeles", Climate::pacific_coast};
const Place kNearHub{"Memphis depot", 35.1530, -90.0490, "America/Chicago"};

Instant at(int hour) {
    return date::sys_days(date::year(2027) / 3 / 1) + hours(hour);
}

PlaceOutlook waves(const Place& place, int first_hour = 6, std::size_t members = 1) {
    Outlook outlook;
    outlook.issued = at(first_hour);
    outlook.first_hour = at(first_hour);
    for (std::size_t m = 0; m < members; ++m) {
        outlook.temp_c.emplace_back();
        for (int i = 0; i < 160; ++i)
            outlook.temp_c.back().push_back(5 + 0.3 * (i % 24) + 2.0 * static_cast<double>(m));
    }
    return {place, outlook};
}

constexpr SamplingOptions kOptions{.scenarios = 200, .seed = 3, .threads = 2};

SampledWeather drawn(const std::vector<PlaceOutlook>& places, SharedDraws* shared, std::size_t common = 2,
                     SamplingOptions options = kOptions) {
    return SampledWeather(places, at(12), at(90), options, shared, common);
}

void check_same(const std::vector<PlaceOutlook>& places, SharedDraws& shared, std::size_t common = 2) {
    const SampledWeather alone = drawn(places, nullptr);
    const SampledWeather together = drawn(places, &shared, common);
    for (std::size_t i = 0; i < places.size(); ++i) {
        INFO(places[i].place.name);
        CHECK(std::ranges::equal(alone.block(i), together.block(i)));
    }
}

/// Whether two draws hold one and the same block of a place.
bool share_first(const SampledWeather& a, const SampledWeather& b) {
    return a.block(0).data() == b.block(0).data();
}

}  // namespace

TEST_CASE("a shared draw is the same to the last bit, whoever was first") {
    SharedDraws shared;
    for (const Place& destination : {kDuluth, kSacramento, kNearHub, kDuluth})
        check_same({waves(kHome), waves(kHub), waves(destination)}, shared);
}

TEST_CASE("a list whose last place knows earlier hours than the others is the same, too") {
    SharedDraws shared;
    check_same({waves(kHome), waves(kHub), waves(kDuluth)}, shared);
    check_same({waves(kHome), waves(kHub), waves(kSacramento, -40)}, shared);
}

TEST_CASE("ensembles are shared, too") {
    SharedDraws shared;
    check_same({waves(kHome, 6, 5), waves(kHub, 6, 5), waves(kDuluth, 6, 5)}, shared);
    check_same({waves(kHome, 6, 5), waves(kHub, 6, 5), waves(kSacramento, 6, 5)}, shared);
}

TEST_CASE("a list without a place of its own is shared wholly") {
    SharedDraws shared;
    check_same({waves(kHome), waves(kHub)}, shared, 2);
}

TEST_CASE("what two lists begin with is drawn and held once") {
    SharedDraws shared;
    const SampledWeather one = drawn({waves(kHome), waves(kHub), waves(kDuluth)}, &shared);
    const SampledWeather other = drawn({waves(kHome), waves(kHub), waves(kSacramento)}, &shared);
    CHECK(share_first(one, other));
}

TEST_CASE("another forecast, seed or number of scenarios is not shared") {
    SharedDraws shared;
    const SampledWeather first = drawn({waves(kHome), waves(kHub), waves(kDuluth)}, &shared);
    auto warmer = waves(kHome);
    warmer.outlook.temp_c.front()[100] += 0.1;
    CHECK_FALSE(share_first(first, drawn({warmer, waves(kHub), waves(kDuluth)}, &shared)));
    SamplingOptions options = kOptions;
    options.seed = 4;
    CHECK_FALSE(share_first(first, drawn({waves(kHome), waves(kHub), waves(kDuluth)}, &shared, 2, options)));
    options = kOptions;
    options.scenarios = 100;
    CHECK_FALSE(share_first(first, drawn({waves(kHome), waves(kHub), waves(kDuluth)}, &shared, 2, options)));
}

TEST_CASE("gaps in a forecast do not keep it from being shared") {
    SharedDraws shared;
    auto gappy = waves(kHome);
    gappy.outlook.temp_c.front()[20] = std::numeric_limits<double>::quiet_NaN();
    const SampledWeather one = drawn({gappy, waves(kHub), waves(kDuluth)}, &shared);
    CHECK(share_first(one, drawn({gappy, waves(kHub), waves(kSacramento)}, &shared)));
}
