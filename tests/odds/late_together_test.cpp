#include "mildway/odds/late_together.hpp"

#include "catch.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <vector>

using namespace mildway;
using namespace mildway::odds;
using transit::LateOdds;

namespace {

constexpr std::uint32_t kMany = 1'000'000;
constexpr LateOdds kOrdinary{0.028, 0.007};

std::vector<std::uint8_t> draw(const LateDraws& draws, LateOdds odds, std::uint32_t count = kMany) {
    std::vector<std::uint8_t> days(count);
    draws.days(odds, 0, days);
    return days;
}

std::vector<std::uint8_t> draw(const char* night, const char* parcel, double together,
                               LateOdds odds = kOrdinary, std::uint32_t count = kMany) {
    return draw(LateDraws(11, night, parcel, together), odds, count);
}

/// The share of scenarios for which it holds.
template <class Holds>
double share_of(std::size_t count, Holds holds) {
    std::size_t yes = 0;
    for (std::size_t s = 0; s < count; ++s) yes += holds(s) ? 1u : 0u;
    return static_cast<double>(yes) / static_cast<double>(count);
}

double standard_error(double chance) {
    return std::sqrt(chance * (1 - chance) / kMany);
}

double both_late(const std::vector<std::uint8_t>& a, const std::vector<std::uint8_t>& b) {
    return share_of(a.size(), [&](std::size_t s) { return a[s] > 0 && b[s] > 0; });
}

double normal_cdf(double z) {
    return 0.5 * std::erfc(-z / std::numbers::sqrt2);
}

/// By bisection, so that nothing of the code under test is used.
double normal_exceeded_with(double p) {
    double low = -9;
    double high = 9;
    for (int i = 0; i < 200; ++i) (1 - normal_cdf((low + high) / 2) > p ? low : high) = (low + high) / 2;
    return low;
}

/// That parcels of chances a and b are both late in a night at least as bad as `from`: the definition of the
/// model, integrated over the badness of the night by the trapezoidal rule.
double both_by_nights(double a, double b, double r, double from = -9) {
    const double h = normal_exceeded_with(a);
    const double k = normal_exceeded_with(b);
    const auto late = [&](double limit, double z) {
        return normal_cdf((std::sqrt(r) * z - limit) / std::sqrt(1 - r));
    };
    constexpr int kSteps = 200'000;
    const double step = (9 - from) / kSteps;
    double sum = 0;
    for (int i = 0; i <= kSteps; ++i) {
        const double z = from + i * step;
        const double density = std::exp(-z * z / 2) / std::sqrt(2 * std::numbers::pi);
        sum += (i == 0 || i == kSteps ? 0.5 : 1) * density * late(h, z) * late(k, z);
    }
    return sum * step;
}

}  // namespace

TEST_CASE("drawn lateness comes as often as the odds say") {
    const LateOdds odds = GENERATE(LateOdds{0.028, 0.007}, LateOdds{0.2, 0.1}, LateOdds{0.001, 0.0002},
                                   LateOdds{0.3, 0.6}, LateOdds{0.0, 0.04});
    const double together = GENERATE(0.0, 0.5, 1.0);
    const auto days = draw("Hub, 2027-03-03", "a parcel", together, odds);
    const auto frequency = [&](int count) {
        return share_of(days.size(), [&](std::size_t s) { return days[s] == count; });
    };
    INFO(odds.one_day << " and " << odds.more_days << " together by " << together);
    CHECK(std::abs(frequency(1) - odds.one_day) <= 3 * standard_error(odds.one_day));
    CHECK(std::abs(frequency(2) - odds.more_days) <= 3 * standard_error(odds.more_days));
    CHECK(std::abs(frequency(0) - odds.on_time()) <= 3 * standard_error(odds.on_time()));
}

TEST_CASE("a parcel that is never late is never drawn late and one that always is always") {
    const auto never = draw("n", "p", 0.5, {0, 0}, 100'000);
    CHECK(std::all_of(never.begin(), never.end(), [](int days) { return days == 0; }));
    const auto always = draw("n", "p", 0.5, {0, 1}, 100'000);
    CHECK(std::all_of(always.begin(), always.end(), [](int days) { return days == 2; }));
}

TEST_CASE("draws do not depend on how the scenarios are cut into pieces") {
    const LateDraws draws(5, "n", "p", 0.5);
    const auto whole = draw(draws, {0.3, 0.2}, 1502);
    std::vector<std::uint8_t> pieces(whole.size());
    for (std::size_t at = 0; at < pieces.size();) {
        const std::size_t count = std::min<std::size_t>(at % 3 == 0 ? 12 : 620, pieces.size() - at);
        draws.days({0.3, 0.2}, static_cast<std::uint32_t>(at), std::span(pieces).subspan(at, count));
        at += count;
    }
    CHECK(pieces == whole);
}

TEST_CASE("seed night and parcel each give other draws") {
    const LateOdds often{0.3, 0.2};
    const auto base = draw(LateDraws(1, "n", "p", 0.5), often, 64);
    CHECK(draw(LateDraws(1, "n", "p", 0.5), often, 64) == base);
    CHECK(draw(LateDraws(2, "n", "p", 0.5), often, 64) != base);
    CHECK(draw(LateDraws(1, "m", "p", 0.5), often, 64) != base);
    CHECK(draw(LateDraws(1, "n", "q", 0.5), often, 64) != base);
}

TEST_CASE("nights are told apart by hub and date") {
    const Date third = date::year(2027) / 3 / 3;
    CHECK(night_key("St. Louis MO", third) == "St. Louis MO, 2027-03-03");
    CHECK(night_key("St. Louis MO", third) != night_key("Columbus OH", third));
}

TEST_CASE("parcels of one night are late together as often as computed") {
    const auto [a, b, r] =
        GENERATE(table<LateOdds, LateOdds, double>({{kOrdinary, kOrdinary, 0.5},
                                                    {kOrdinary, LateOdds{0.2, 0.1}, 0.5},
                                                    {LateOdds{0.2, 0.1}, LateOdds{0.1, 0.1}, 0.2},
                                                    {kOrdinary, LateOdds{0.05, 0.01}, 0.9}}));
    const double expected = chance_both_late(a, b, r);
    INFO(a.late() << ", " << b.late() << ", " << r);
    CHECK(std::abs(both_late(draw("n", "one", r, a), draw("n", "two", r, b)) - expected) <=
          3 * standard_error(expected));
}

TEST_CASE("the correlation of drawn lateness is the one computed") {
    const double r = GENERATE(0.2, 0.5, 0.8);
    const auto one = draw("n", "one", r);
    const auto two = draw("n", "two", r);
    const double p = kOrdinary.late();
    const double spread = std::sqrt(p * (1 - p));
    const double expected = lateness_correlation(kOrdinary, kOrdinary, r);
    // with u and v scaled to mean 0 and sd 1, the estimate errs by the mean of uv - rho (u^2 + v^2) / 2
    double sum = 0;
    double squares = 0;
    for (std::size_t s = 0; s < one.size(); ++s) {
        const double u = ((one[s] > 0 ? 1 : 0) - p) / spread;
        const double v = ((two[s] > 0 ? 1 : 0) - p) / spread;
        const double influence = u * v - expected * (u * u + v * v) / 2;
        sum += influence;
        squares += influence * influence;
    }
    const double error = std::sqrt(squares / kMany) / std::sqrt(static_cast<double>(kMany));
    INFO(r);
    CHECK(std::abs(sum / kMany) <= 3 * error);
    CHECK(error < 0.1 * expected);  // so that the check above can fail
}

TEST_CASE("parcels of different nights are late independently of each other") {
    const double p = kOrdinary.late();
    CHECK(std::abs(both_late(draw("n", "one", 0.5), draw("m", "two", 0.5)) - p * p) <=
          3 * standard_error(p * p));
    CHECK(std::abs(both_late(draw("n", "one", 0.5), draw("m", "one", 0.5)) - p * p) <=
          3 * standard_error(p * p));
}

TEST_CASE("parcels that nothing holds together are late independently of each other") {
    const double p = kOrdinary.late();
    CHECK(std::abs(both_late(draw("n", "one", 0), draw("n", "two", 0)) - p * p) <= 3 * standard_error(p * p));
    CHECK(chance_both_late(kOrdinary, {0.2, 0.1}, 0) == Approx(p * 0.3).margin(1e-12));
    CHECK(lateness_correlation(kOrdinary, kOrdinary, 0) == Approx(0).margin(1e-12));
}

TEST_CASE("parcels wholly held together are late in order of their chances") {
    const auto often = draw("n", "one", 1, {0.2, 0.1});
    const auto seldom = draw("n", "two", 1, kOrdinary);
    CHECK(share_of(often.size(), [&](std::size_t s) { return seldom[s] > often[s]; }) == 0);
    CHECK(chance_both_late(kOrdinary, {0.2, 0.1}, 1) == kOrdinary.late());
    CHECK(lateness_correlation(kOrdinary, kOrdinary, 1) == Approx(1).margin(1e-12));
}

TEST_CASE("for parcels late every other time Sheppard's formula holds") {
    // both of two standard normals of correlation r are above 0 with 1/4 + asin(r) / (2 pi) (Sheppard 1899)
    const double r = GENERATE(0.0, 0.1, 0.5, 0.9, 0.999, 0.999999);
    CHECK(chance_both_late({0.3, 0.2}, {0.5, 0}, r) ==
          Approx(0.25 + std::asin(r) / (2 * std::numbers::pi)).margin(1e-9));
}

TEST_CASE("the chance of both is the model's integrated over the nights") {
    const auto [a, b] = GENERATE(table<double, double>(
        {{0.035, 0.035}, {0.035, 0.3}, {0.001, 0.9}, {0.0002, 0.0003}, {0.5, 0.036}, {0.035, 0.03501}}));
    const double r = GENERATE(0.01, 0.3, 0.5, 0.9, 0.99, 0.9999);
    INFO(a << ", " << b << ", " << r);
    CHECK(chance_both_late({a, 0}, {b, 0}, r) == Approx(both_by_nights(a, b, r)).margin(1e-9));
}

TEST_CASE("how days are shared between one and two does not change whether parcels are late") {
    CHECK(chance_both_late({0.01, 0.025}, {0.3, 0}, 0.5) == chance_both_late({0.035, 0}, {0, 0.3}, 0.5));
}

TEST_CASE("that another is late makes a parcel no less likely to be and at most certain") {
    double before = 0;
    for (int tenth = 0; tenth <= 10; ++tenth) {
        const double now = chance_late_given_other(kOrdinary, {0.2, 0.1}, tenth / 10.0);
        CHECK(now >= std::max(before, kOrdinary.late() - 1e-12));
        before = now;
    }
    CHECK(chance_late_given_other({0.2, 0.1}, kOrdinary, 1) == 1);
    CHECK(chance_late_given_other(kOrdinary, {0, 0}, 0.5) == kOrdinary.late());
}

TEST_CASE("lateness hangs together by 0 to 1") {
    CHECK_THROWS_AS(LateDraws(1, "n", "p", 1.01), std::invalid_argument);
    CHECK_THROWS_AS(chance_both_late(kOrdinary, kOrdinary, -0.1), std::invalid_argument);
    CHECK_THROWS_AS(chance_both_late(kOrdinary, kOrdinary, std::nan("")), std::invalid_argument);
}

TEST_CASE("the usual value is the one that gives the worst nights their part of all lateness") {
    // the worst 5 % of days held 81 % of a year's weather cancellations at one large airport (published);
    // half of lateness is the weather's (judgement)
    const double share = 0.5 * 0.81 + 0.5 * 0.05;
    const double worst = normal_exceeded_with(0.05);
    double low = 0;
    double high = 0.99;
    for (int i = 0; i < 30; ++i) {
        const double r = (low + high) / 2;
        // of one parcel: b late for certain
        (both_by_nights(0.035, 1 - 1e-15, r, worst) / 0.035 < share ? low : high) = r;
    }
    CHECK(low == Approx(0.471).margin(0.001));
    CHECK(std::round(10 * low) / 10 == transit::kUsuallyTogether);
}

TEST_CASE("how parcels hang together is told of one that is late") {
    CHECK(late_together_sentence(kOrdinary, 0.5) ==
          "if this parcel is late, another of the same night is late, too, with a chance of 21 in 100");
}
