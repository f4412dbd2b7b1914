#include "mildway/planning/plan.hpp"

#include "catch.hpp"

using namespace mildway;
using namespace mildway::planning;

namespace {

constexpr VerdictRules kRules{{0.05, 0.002}, {0.30, 0.02}};

odds::Assessment chances(double outside, double harm) {
    odds::Assessment assessment;
    assessment.all.emplace();
    assessment.all->chance_outside.value = outside;
    assessment.all->chance_harm.value = harm;
    return assessment;
}

}  // namespace

TEST_CASE("no risk at all is comfortable") {
    CHECK(judge(chances(0, 0), kRules) == Verdict::comfortable);
}

TEST_CASE("a chance exactly at its limit is still within it") {
    CHECK(judge(chances(0.05, 0.002), kRules) == Verdict::comfortable);
    CHECK(judge(chances(0.30, 0.02), kRules) == Verdict::tight);
}

TEST_CASE("either chance above its comfortable limit makes it tight") {
    CHECK(judge(chances(0.051, 0), kRules) == Verdict::tight);
    CHECK(judge(chances(0, 0.0021), kRules) == Verdict::tight);
}

TEST_CASE("either chance above its tight limit makes it unsafe") {
    CHECK(judge(chances(0.301, 0), kRules) == Verdict::unsafe);
    CHECK(judge(chances(0, 0.021), kRules) == Verdict::unsafe);
}

TEST_CASE("an unknown late arrival is never better than tight") {
    odds::Assessment assessment = chances(0, 0);
    assessment.late_unknown_reason = "the forecast ends before a late parcel arrives";
    CHECK(judge(assessment, kRules) == Verdict::tight);
}

TEST_CASE("an unknown late arrival does not make an unsafe option tight") {
    odds::Assessment assessment = chances(0.5, 0);
    assessment.late_unknown_reason = "the forecast ends before a late parcel arrives";
    CHECK(judge(assessment, kRules) == Verdict::unsafe);
}

TEST_CASE("weather that is only the climate's is never better than tight") {
    CHECK(judge(chances(0, 0), kRules, weather::Basis::climate) == Verdict::tight);
    CHECK(judge(chances(0.5, 0), kRules, weather::Basis::climate) == Verdict::unsafe);
}

TEST_CASE("an ensemble may be comfortable") {
    CHECK(judge(chances(0, 0), kRules, weather::Basis::ensemble) == Verdict::comfortable);
}

TEST_CASE("no figures are unknown") {
    odds::Assessment assessment;
    assessment.unknown_reason = "the forecast is stale";
    CHECK(judge(assessment, kRules) == Verdict::unknown);
}

TEST_CASE("each verdict and side has a word of its own") {
    CHECK(verdict_name(Verdict::comfortable) == "comfortable");
    CHECK(verdict_name(Verdict::tight) == "tight");
    CHECK(verdict_name(Verdict::unsafe) == "unsafe");
    CHECK(verdict_name(Verdict::unknown) == "unknown");
    CHECK(side_name(Side::cold) == "cold");
    CHECK(side_name(Side::warm) == "warm");
}
