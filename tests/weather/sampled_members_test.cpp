// What is drawn for outlooks that are more than one plain forecast: ensembles, sources that disagree,
// climate.
#include "mildway/weather/forecast_error.hpp"
#include "mildway/weather/sampled_weather.hpp"

#include "catch.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <set>
#include <vector>

using namespace mildway;
using namespace mildway::weather;

namespace {

const Place kDuluth{"Duluth MN", 46.7867, -92.1005, "America/Chicago"};
const Place kAlbany{"Albany NY", 42.6526, -73.7562, "America/New_York"};

constexpr int kLowHour = 36;     // 06:00 in Duluth on 2 March
constexpr int kHighHour = 46;    // 16:00
constexpr int kLaterHigh = 166;  // 16:00 on 7 March
constexpr int kIssueHour = 10;
constexpr std::size_t kHours = 180;
constexpr std::uint32_t kMany = 40000;  // standard error of a standard deviation 0.4 %, heavy tails 0.6 %

Instant at(int hour) {
    return date::sys_days(date::year(2027) / 3 / 1) + hours(hour);
}

/// Members that each stay at one temperature, issued at 10:00Z on 1 March.
PlaceOutlook members_at(const Place& place, const std::vector<double>& temps_c, Basis basis) {
    Outlook outlook;
    outlook.basis = basis;
    outlook.issued = at(kIssueHour);
    outlook.first_hour = at(0);
    for (const double temp_c : temps_c) outlook.temp_c.emplace_back(kHours, temp_c);
    return {place, outlook};
}

PlaceOutlook plain() {
    return members_at(kDuluth, {0}, Basis::forecast);
}

/// Members evenly spaced about 0 degC with this standard deviation.
std::vector<double> scattered(std::size_t count, double sd_k) {
    std::vector<double> temps_c;
    const auto n = static_cast<double>(count);
    const double step_k = sd_k / std::sqrt(n * (n + 1) / 12);  // variance with n - 1 of 1, 2, ..., n
    for (std::size_t m = 0; m < count; ++m)
        temps_c.push_back(step_k * (static_cast<double>(m) - (n - 1) / 2));
    return temps_c;
}

struct Moments {
    double mean = 0;
    double sd = 0;
};

Moments drawn(const PlaceOutlook& place, int hour) {
    const std::vector places{place};
    const SampledWeather sampled(places, at(hour), at(hour), {.scenarios = kMany, .threads = 2});
    double sum = 0, squares = 0;
    for (const float value : sampled.hour(0, 0)) {
        const auto temp_c = static_cast<double>(value);
        sum += temp_c;
        squares += temp_c * temp_c;
    }
    const double mean = sum / kMany;
    return {mean, std::sqrt(squares / kMany - mean * mean)};
}

/// What the draw of a node is at an hour, with the fast residual that every hour has.
double with_residual(double node_sd_k) {
    return std::hypot(node_sd_k, kResidualSdK);
}

double single_sd_k(Phase phase, int hour) {
    return error_sd_k(phase, Season::spring, Climate::elsewhere, hour - kIssueHour);
}

/// The member, by its temperature far from all others, that each scenario of a place rests on.
std::vector<int> members_dealt(const SampledWeather& sampled, std::size_t place) {
    std::vector<int> members;
    for (const float temp_c : sampled.hour(place, 0))
        members.push_back(static_cast<int>(std::lround(static_cast<double>(temp_c) / 100)));
    return members;
}

std::vector<double> hundreds(std::size_t count) {
    std::vector<double> temps_c;
    for (std::size_t m = 0; m < count; ++m) temps_c.push_back(100 * static_cast<double>(m));
    return temps_c;
}

std::vector<float> copy(std::span<const float> values) {
    return {values.begin(), values.end()};
}

}  // namespace

TEST_CASE("a source known to be worse has a larger error") {
    PlaceOutlook place = plain();
    place.outlook.error_factor = 1.3;
    CHECK(drawn(place, kHighHour).sd ==
          Approx(with_residual(1.3 * single_sd_k(Phase::high, kHighHour))).epsilon(0.025));
}

TEST_CASE("no source is thought worse than knowing the season") {
    PlaceOutlook place = plain();
    place.outlook.error_factor = 20;
    const double spread_k = climate_spread_k(Phase::high, Season::spring, Climate::elsewhere);
    CHECK(drawn(place, kHighHour).sd == Approx(with_residual(spread_k)).epsilon(0.025));
}

TEST_CASE("sources that disagree widen the error at the hour at which they do") {
    PlaceOutlook place = plain();
    place.outlook.extra_error_k.assign(kHours, 0);
    place.outlook.extra_error_k[kHighHour] = 3;
    const double single_k = single_sd_k(Phase::high, kHighHour);
    CHECK(drawn(place, kHighHour).sd == Approx(with_residual(std::hypot(single_k, 3))).epsilon(0.025));
    const double low_k = single_sd_k(Phase::low, kLowHour);
    CHECK(drawn(place, kLowHour).sd == Approx(with_residual(low_k)).epsilon(0.025));
}

TEST_CASE("a further error that is not known is not drawn") {
    PlaceOutlook place = plain();
    place.outlook.extra_error_k.assign(kHours, std::numeric_limits<double>::quiet_NaN());
    CHECK(drawn(place, kHighHour).sd == drawn(plain(), kHighHour).sd);
}

TEST_CASE("members are dressed by at least the floor") {
    CHECK(dressing_sd_k(2.0, 5.0, kEnsembleDressK) == Approx(std::sqrt(1.4)).margin(1e-4));
    CHECK(dressing_sd_k(1.0, 0.0, kEnsembleDressK) == Approx(std::sqrt(1.4)).margin(1e-4));
}

TEST_CASE("members that agree too well are dressed up to most of the error of a single forecast") {
    CHECK(std::hypot(dressing_sd_k(4, 1.2, kEnsembleDressK), 1.2) == Approx(0.8 * 4).margin(1e-12));
}

TEST_CASE("an ensemble that agrees scatters by most of the error of a single forecast") {
    const PlaceOutlook place = members_at(kDuluth, scattered(51, 1.0), Basis::ensemble);
    CHECK(drawn(place, kLaterHigh).sd ==
          Approx(with_residual(0.8 * single_sd_k(Phase::high, kLaterHigh))).epsilon(0.025));
}

TEST_CASE("an ensemble that disagrees scatters by its members and the floor") {
    const PlaceOutlook place = members_at(kDuluth, scattered(51, 5.0), Basis::ensemble);
    // 51 members as a whole population have sd 5 sqrt(50/51)
    const double members_k = 5 * std::sqrt(50.0 / 51);
    CHECK(drawn(place, kHighHour).sd ==
          Approx(with_residual(std::hypot(members_k, kEnsembleDressK))).epsilon(0.025));
}

TEST_CASE("members that all carry one forecast err like one forecast") {
    const PlaceOutlook place = members_at(kDuluth, std::vector<double>(31, 0.1), Basis::ensemble);
    CHECK(drawn(place, kHighHour).sd ==
          Approx(with_residual(single_sd_k(Phase::high, kHighHour))).epsilon(0.025));
}

TEST_CASE("a worse ensemble is dressed more") {
    PlaceOutlook place = members_at(kDuluth, scattered(51, 1.0), Basis::ensemble);
    place.outlook.error_factor = 1.3;
    CHECK(drawn(place, kLaterHigh).sd ==
          Approx(with_residual(0.8 * 1.3 * single_sd_k(Phase::high, kLaterHigh))).epsilon(0.025));
}

TEST_CASE("the mean correction of published forecasts is not for ensembles") {
    const PlaceOutlook place = members_at(kDuluth, scattered(8, 1.0), Basis::ensemble);
    CHECK(drawn(place, kLowHour).mean == Approx(0).margin(0.05));  // standard error 0.01 K
}

TEST_CASE("climate scatters as widely as the season does") {
    const PlaceOutlook place = members_at(kDuluth, {5}, Basis::climate);
    const Moments high = drawn(place, kHighHour);
    const double spread_k = climate_spread_k(Phase::high, Season::spring, Climate::elsewhere);
    CHECK(high.sd == Approx(with_residual(spread_k)).epsilon(0.025));
    CHECK(high.mean == Approx(5).margin(0.15));  // standard error 0.03 K
}

TEST_CASE("where a forecast ends and the climate goes on the error becomes that of the season") {
    PlaceOutlook place = plain();
    place.outlook.climate_from = at(100);
    const double spread_k = climate_spread_k(Phase::high, Season::spring, Climate::elsewhere);
    CHECK(drawn(place, kHighHour).sd ==
          Approx(with_residual(single_sd_k(Phase::high, kHighHour))).epsilon(0.025));
    CHECK(drawn(place, kLaterHigh).sd == Approx(with_residual(spread_k)).epsilon(0.025));
    CHECK(drawn(place, kLaterHigh).mean == Approx(0).margin(0.15));
}

TEST_CASE("spells of the climate last longer than errors of a forecast") {
    const auto day_to_day = [](Basis basis) {
        const std::vector places{members_at(kDuluth, {0}, basis)};
        const SampledWeather sampled(places, at(kHighHour), at(kHighHour + 24), {.scenarios = 20000});
        const auto today = sampled.hour(0, 0);
        const auto tomorrow = sampled.hour(0, 24);
        double ab = 0, aa = 0, bb = 0;
        for (std::size_t s = 0; s < today.size(); ++s) {
            const auto a = static_cast<double>(today[s]);
            const auto b = static_cast<double>(tomorrow[s]);
            ab += a * b, aa += a * a, bb += b * b;
        }
        return ab / std::sqrt(aa * bb);
    };
    // exp(-24 h / 30 h) = 0.45, less what the residual takes off and with what stays with the place
    CHECK(day_to_day(Basis::climate) == Approx(0.47).margin(0.04));
    CHECK(day_to_day(Basis::forecast) < 0.35);
}

TEST_CASE("past years bring their own spread and little is added") {
    const PlaceOutlook place = members_at(kDuluth, scattered(10, 6.0), Basis::climate);
    const double members_k = 6 * std::sqrt(9.0 / 10);
    CHECK(drawn(place, kHighHour).sd ==
          Approx(with_residual(std::hypot(members_k, kPastYearsDressK))).epsilon(0.025));
}

TEST_CASE("past years that happen to be alike do not make the climate certain") {
    const PlaceOutlook place = members_at(kDuluth, scattered(4, 0.5), Basis::climate);
    const double spread_k = climate_spread_k(Phase::high, Season::spring, Climate::elsewhere);
    CHECK(drawn(place, kHighHour).sd == Approx(with_residual(kLeastOfSingle * spread_k)).epsilon(0.025));
}

TEST_CASE("a scenario rests on the same member at every place") {
    const std::vector places{members_at(kDuluth, hundreds(31), Basis::ensemble),
                             members_at(kAlbany, hundreds(31), Basis::ensemble)};
    const SampledWeather sampled(places, at(40), at(40), {.scenarios = 512});
    CHECK(members_dealt(sampled, 0) == members_dealt(sampled, 1));
}

TEST_CASE("a scenario rests on the same member at every hour") {
    const std::vector places{members_at(kDuluth, hundreds(31), Basis::ensemble)};
    const SampledWeather today(places, at(40), at(40), {.scenarios = 512});
    const SampledWeather later(places, at(170), at(170), {.scenarios = 512});
    CHECK(members_dealt(today, 0) == members_dealt(later, 0));
}

TEST_CASE("as many scenarios as there are members rest on each of them once") {
    const std::vector places{members_at(kDuluth, hundreds(31), Basis::ensemble)};
    const SampledWeather sampled(places, at(40), at(40), {.scenarios = 31 * 8});
    const std::vector<int> dealt = members_dealt(sampled, 0);
    for (auto deck = dealt.begin(); deck != dealt.end(); deck += 31)
        CHECK(std::set<int>(deck, deck + 31).size() == 31);
}

TEST_CASE("every member meets every variant of a box") {
    // boxes change their walls every 16 scenarios, in eight variants (mildway/odds/box_model.hpp); 32 members
    // dealt in plain turns would each meet four of them
    const std::vector places{members_at(kDuluth, hundreds(32), Basis::ensemble)};
    const SampledWeather sampled(places, at(40), at(40), {.scenarios = 4096});
    const std::vector<int> dealt = members_dealt(sampled, 0);
    std::array<std::set<std::size_t>, 32> variants;
    for (std::size_t s = 0; s < dealt.size(); ++s)
        variants.at(static_cast<std::size_t>(dealt[s])).insert(s / 16 % 8);
    for (const auto& met : variants) CHECK(met.size() == 8);
}

TEST_CASE("an ensemble is drawn alike on any number of threads") {
    const std::vector places{members_at(kDuluth, scattered(51, 3), Basis::ensemble),
                             members_at(kAlbany, scattered(51, 2), Basis::ensemble)};
    const SampledWeather one(places, at(12), at(60), {.scenarios = 300, .threads = 1});
    const SampledWeather three(places, at(12), at(60), {.scenarios = 300, .threads = 3});
    CHECK(copy(one.block(0)) == copy(three.block(0)));
    CHECK(copy(one.block(1)) == copy(three.block(1)));
}

TEST_CASE("the members of an ensemble do not depend on the number of scenarios") {
    const std::vector places{members_at(kDuluth, scattered(51, 3), Basis::ensemble)};
    const SampledWeather many(places, at(12), at(20), {.scenarios = 400});
    const SampledWeather few(places, at(12), at(20), {.scenarios = 100});
    CHECK(copy(few.hour(0, 5)) == copy(many.hour(0, 5).first(100)));
}

TEST_CASE("a member that is unknown is unknown only in its own scenarios") {
    PlaceOutlook place = members_at(kDuluth, hundreds(4), Basis::ensemble);
    place.outlook.temp_c[2][40] = std::numeric_limits<double>::quiet_NaN();
    const std::vector places{place};
    const SampledWeather sampled(places, at(40), at(40), {.scenarios = 400});
    const auto row = sampled.hour(0, 0);
    CHECK(std::count_if(row.begin(), row.end(), [](float t) { return std::isnan(t); }) == 100);
}
