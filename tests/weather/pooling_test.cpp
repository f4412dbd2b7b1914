#include "mildway/weather/pooling.hpp"

#include "catch.hpp"
#include "made_outlook.hpp"

#include <cmath>
#include <limits>

using namespace mildway;
using namespace mildway::weather;
using testing::made_issue;
using testing::made_place;
using testing::steady;

namespace {

constexpr double kUnknown = std::numeric_limits<double>::quiet_NaN();

Outlook pooled(std::vector<Outlook> outlooks) {
    return pool(std::move(outlooks), made_place());
}

Outlook with_factor(Outlook outlook, double factor) {
    outlook.error_factor = factor;
    return outlook;
}

Outlook ensemble(const std::vector<double>& members_c) {
    Outlook outlook = steady("an ensemble", 0);
    outlook.basis = Basis::ensemble;
    outlook.temp_c.clear();
    for (const double c : members_c) outlook.temp_c.emplace_back(144, c);
    return outlook;
}

}  // namespace

TEST_CASE("one outlook alone stays as it is") {
    const Outlook one = pooled({steady("A", 5)});
    CHECK(one.source == "A");
    CHECK(one.temp_c.front().front() == 5);
    CHECK(one.voices.empty());
    CHECK(one.extra_error_k.empty());
}

TEST_CASE("two outlooks of the same error meet in the middle") {
    const Outlook both = pooled({steady("A", 4), steady("B", 7)});
    CHECK(both.source == "A and B");
    CHECK(both.temp_c.front()[50] == Approx(5.5).margin(1e-9));
}

TEST_CASE("the better known source weighs more by the square of its error") {
    const Outlook both = pooled({steady("A", 0), with_factor(steady("B", 5), 2)});
    CHECK(both.temp_c.front()[50] == Approx(1.0).margin(1e-9));
    CHECK(both.voices[0].weight == Approx(0.8).margin(1e-9));
    CHECK(both.error_factor == Approx(1.2).margin(1e-9));
}

TEST_CASE("sources that disagree widen the error by their spread") {
    CHECK(pooled({steady("A", 5), steady("B", 5)}).extra_error_k[50] == Approx(0).margin(1e-9));
    CHECK(pooled({steady("A", 4), steady("B", 7)}).extra_error_k[50] == Approx(1.5).margin(1e-9));
}

TEST_CASE("errors that the sources bring along are kept") {
    Outlook coarse = steady("B", 5);
    coarse.extra_error_k.assign(coarse.hour_count(), 2.0);
    CHECK(pooled({steady("A", 5), coarse}).extra_error_k[50] == Approx(std::sqrt(2.0)).margin(1e-9));
}

TEST_CASE("a source that ends fades out and leaves no step") {
    const Outlook both = pooled({steady("A", 5, 144), steady("B", 11, 72)});
    const auto& temp_c = both.temp_c.front();
    CHECK(temp_c[50] == Approx(8).margin(1e-9));
    CHECK(temp_c[100] == Approx(5).margin(1e-9));
    for (std::size_t hour = 1; hour < temp_c.size(); ++hour)
        CHECK(std::abs(temp_c[hour] - temp_c[hour - 1]) < 0.6);
}

TEST_CASE("an hour only one source knows is that source's") {
    Outlook holed = steady("A", 5);
    holed.temp_c.front()[30] = kUnknown;
    CHECK(pooled({holed, steady("B", 9)}).temp_c.front()[30] == Approx(9).margin(1e-9));
}

TEST_CASE("an hour no source knows stays unknown") {
    Outlook holed = steady("A", 5);
    holed.temp_c.front()[30] = kUnknown;
    CHECK(std::isnan(pooled({holed, holed}).temp_c.front()[30]));
}

TEST_CASE("members of an ensemble are kept about the pooled mean") {
    const Outlook both = pooled({steady("A", 5), ensemble({5, 9})});
    CHECK(both.basis == Basis::ensemble);
    REQUIRE(both.temp_c.size() == 2);
    CHECK(both.temp_c[0][50] == Approx(4).margin(1e-9));
    CHECK(both.temp_c[1][50] == Approx(8).margin(1e-9));
}

TEST_CASE("of snow and ice and thunder and fog and gusts the largest known value is taken") {
    Outlook calm = steady("A", 0);
    Outlook rough = steady("B", 0);
    calm.snow_mm_per_h.assign(144, 0.0);
    rough.snow_mm_per_h.assign(144, 2.0);
    rough.thunder_probability.assign(144, 0.4);
    calm.fog_probability.assign(144, 0.25);
    rough.fog_probability.assign(144, 0.1);
    const Outlook both = pooled({calm, rough});
    CHECK(both.fog_probability[10] == 0.25);
    CHECK(both.snow_mm_per_h[10] == 2);
    CHECK(both.thunder_probability[10] == 0.4);
    CHECK(std::isnan(both.gust_m_per_s[10]));
}

TEST_CASE("of clouds the preferred known value is taken") {
    Outlook first = steady("A", 0);
    Outlook second = steady("B", 0);
    first.cloud_fraction.assign(144, 0.2);
    first.cloud_fraction[10] = kUnknown;
    second.cloud_fraction.assign(144, 0.9);
    const Outlook both = pooled({first, second});
    CHECK(both.cloud_fraction[9] == 0.2);
    CHECK(both.cloud_fraction[10] == 0.9);
}

TEST_CASE("the pooled outlook is as old as its oldest part") {
    Outlook older = steady("B", 5);
    older.issued -= hours(6);
    CHECK(pooled({steady("A", 5), older}).issued == made_issue() - hours(6));
}

TEST_CASE("sources far apart at some hour are told with the hour") {
    Outlook other = steady("B", 5);
    other.temp_c.front()[20] = 11;
    const Outlook both = pooled({steady("A", 5), other});
    REQUIRE(both.findings.size() == 1);
    CHECK(both.findings.front() ==
          "B says up to 6 K warmer than A (Tue 2 Mar 00:00), 0.1 K warmer on average");
    CHECK(both.doubt.empty());
}

TEST_CASE("degrees Fahrenheit taken for Celsius are found out by a second source") {
    // 20 degF is -6.7 degC: a cold series whose numbers alone look like Celsius
    const Outlook both = pooled({steady("A", 20), steady("B", -6.7)});
    CHECK_THAT(both.doubt, Catch::Contains("A and B cannot both be right about Duluth MN"));
}

TEST_CASE("a doubtful outlook is left out while another can be used") {
    Outlook doubtful = steady("A", 30);
    doubtful.doubt = "A is for a point far away";
    const Outlook left = pooled({doubtful, steady("B", 5)});
    CHECK(left.source == "B");
    REQUIRE(left.findings.size() == 1);
    CHECK(left.findings.front() == "not used: A is for a point far away");
}

TEST_CASE("warnings of an outlook that is left out still hold") {
    Outlook doubtful = steady("A", 5);
    doubtful.doubt = "A is stale";
    doubtful.alerts_known = true;
    doubtful.alerts = {{"Hurricane Warning", "HU", "Extreme", made_issue(), {}, ""}};
    const Outlook left = pooled({doubtful, steady("B", 5)});
    CHECK(left.alerts_known);
    REQUIRE(left.alerts.size() == 1);
    CHECK(left.alerts.front().phenomenon == "HU");
}

TEST_CASE("a short overlap is enough to find out sources very far apart") {
    CHECK_THAT(pooled({steady("A", 5, 20), steady("B", 32)}).doubt, Catch::Contains("cannot both be right"));
    CHECK(pooled({steady("A", 5, 20), steady("B", 15)}).doubt.empty());
}

TEST_CASE("where the worse source is alone its own error counts") {
    const Outlook both = pooled({steady("A", 5, 72), with_factor(steady("B", 5), 2)});
    CHECK(both.error_factors[10] == Approx(1.2).margin(1e-9));
    CHECK(both.error_factors[100] == Approx(2).margin(1e-9));
}

TEST_CASE("when all are doubtful the preferred one keeps its doubt") {
    Outlook a = steady("A", 5);
    Outlook b = steady("B", 5);
    a.doubt = "one";
    b.doubt = "two";
    CHECK(pooled({a, b}).doubt == "one");
}

TEST_CASE("the climate is laid behind the last known hour and marked") {
    Outlook outlook = steady("A", 5, 100);
    outlook.temp_c.front()[99] = kUnknown;
    Outlook climate = steady("normals", 3, 240);
    climate.basis = Basis::climate;
    extend_with_climate(outlook, climate, made_place());
    CHECK(outlook.hour_count() == 240);
    CHECK(outlook.temp_c.front()[98] == 5);
    CHECK(outlook.temp_c.front()[99] == 3);
    REQUIRE(outlook.climate_from);
    CHECK(*outlook.climate_from == made_issue() + hours(99));
}

TEST_CASE("layers the climate does not have are unknown behind the forecast") {
    Outlook outlook = steady("A", 5, 100);
    outlook.snow_mm_per_h.assign(100, 0.0);
    extend_with_climate(outlook, steady("normals", 3, 240), made_place());
    REQUIRE(outlook.snow_mm_per_h.size() == 240);
    CHECK(std::isnan(outlook.snow_mm_per_h[150]));
}

TEST_CASE("a climate of several years gives the outlook as many members") {
    Outlook outlook = steady("A", 5, 100);
    Outlook years = steady("years", 1, 240);
    years.temp_c.emplace_back(240, 7.0);
    extend_with_climate(outlook, years, made_place());
    REQUIRE(outlook.temp_c.size() == 2);
    CHECK(outlook.temp_c[0][50] == 5);
    CHECK(outlook.temp_c[1][50] == 5);
    CHECK(outlook.temp_c[0][150] == 1);
    CHECK(outlook.temp_c[1][150] == 7);
}

TEST_CASE("a forecast that cannot be of this time of the year is doubted") {
    Outlook outlook = steady("A", 40, 144);
    extend_with_climate(outlook, steady("normals", 5, 240), made_place());
    CHECK_THAT(outlook.doubt, Catch::Contains("35 K warmer than normals says this time of the year is"));
}

TEST_CASE("a climate that must not be used is told and left out") {
    Outlook outlook = steady("A", 5, 100);
    Outlook climate = steady("normals", 3, 240);
    climate.doubt = "the station lies elsewhere";
    extend_with_climate(outlook, climate, made_place());
    CHECK(outlook.hour_count() == 100);
    CHECK(outlook.findings ==
          std::vector<std::string>{"no climate behind the forecast: the station lies elsewhere"});
}

TEST_CASE("what is said of the climate is carried on") {
    Outlook outlook = steady("A", 5, 100);
    Outlook climate = steady("normals", 3, 240);
    climate.findings = {"the climate is that of a station 80 km away"};
    extend_with_climate(outlook, climate, made_place());
    CHECK(outlook.findings == climate.findings);
}

TEST_CASE("a forecast that reaches as far as the climate stays as it is") {
    Outlook outlook = steady("A", 5, 144);
    extend_with_climate(outlook, steady("normals", 3, 100), made_place());
    CHECK(outlook.hour_count() == 144);
    CHECK_FALSE(outlook.climate_from);
}
