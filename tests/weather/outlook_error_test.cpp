#include "mildway/weather/outlook_error.hpp"

#include "catch.hpp"

#include <cmath>
#include <limits>
#include <vector>

using namespace mildway;
using namespace mildway::weather;

namespace {

Instant at(int hour) {
    return date::sys_days(date::year(2027) / 3 / 1) + hours(hour);
}

Outlook members_at(const std::vector<double>& temps_c) {
    Outlook outlook;
    outlook.basis = temps_c.size() > 1 ? Basis::ensemble : Basis::forecast;
    outlook.issued = at(0);
    outlook.first_hour = at(0);
    for (const double temp_c : temps_c) outlook.temp_c.emplace_back(200, temp_c);
    return outlook;
}

double low_sd_k(const Outlook& outlook, int hour) {
    return drawn_sd_k(outlook, Climate::elsewhere, Phase::low, Season::spring, at(hour));
}

double plain_sd_k(int lead) {
    return error_sd_k(Phase::low, Season::spring, Climate::elsewhere, lead);
}

}  // namespace

TEST_CASE("a plain forecast errs as the model says to the last bit") {
    CHECK(low_sd_k(members_at({5}), 30) == plain_sd_k(30));
}

TEST_CASE("three members leave what they do not scatter themselves") {
    // -1, 0 and 1 have a variance of 1 (n - 1); 150 h ahead the whole is 0.8 of a single forecast's error
    CHECK(low_sd_k(members_at({-1, 0, 1}), 150) ==
          Approx(std::sqrt(std::pow(0.8 * plain_sd_k(150), 2) - 1)).margin(1e-12));
}

TEST_CASE("with one member unknown nothing is taken off the error") {
    Outlook outlook = members_at({-1, 0, 1});
    outlook.temp_c[1][150] = std::numeric_limits<double>::quiet_NaN();
    CHECK(low_sd_k(outlook, 150) == plain_sd_k(150));
}

TEST_CASE("before its first hour an ensemble scatters as at it") {
    Outlook outlook = members_at({-30, 30});
    CHECK(low_sd_k(outlook, -5) == Approx(kEnsembleDressK).margin(1e-12));
}

TEST_CASE("a further error adds as independent errors do") {
    Outlook outlook = members_at({5});
    outlook.extra_error_k.assign(200, 2);
    CHECK(low_sd_k(outlook, 30) == Approx(std::hypot(plain_sd_k(30), 2)).margin(1e-12));
}

TEST_CASE("a further error counts at the low or high it is nearest to") {
    Outlook outlook = members_at({5});
    outlook.extra_error_k.assign(200, 0);
    outlook.extra_error_k[24] = 3;  // midnight, between the high at 16:00 and the low at 06:00
    CHECK(low_sd_k(outlook, 30) == Approx(std::hypot(plain_sd_k(30), 3)).margin(1e-12));
    CHECK(low_sd_k(outlook, 31) == plain_sd_k(31));
}

TEST_CASE("the error factor is that of the hour where it differs from hour to hour") {
    Outlook outlook = members_at({5});
    outlook.error_factors.assign(200, 1.1);
    outlook.error_factors[40] = 1.3;
    CHECK(low_sd_k(outlook, 30) == Approx(1.1 * plain_sd_k(30)).margin(1e-12));
    CHECK(low_sd_k(outlook, 40) == Approx(1.3 * plain_sd_k(40)).margin(1e-12));
}

TEST_CASE("a worse source is not made worse where it is the climate that speaks") {
    Outlook outlook = members_at({5});
    outlook.error_factor = 1.5;
    outlook.climate_from = at(100);
    CHECK(low_sd_k(outlook, 120) == climate_spread_k(Phase::low, Season::spring, Climate::elsewhere));
}

TEST_CASE("the climate has no lead") {
    Outlook outlook = members_at({5});
    outlook.climate_from = at(100);
    CHECK(lead_h(outlook, at(99)) == 99);
    CHECK(std::isinf(lead_h(outlook, at(100))));
    outlook.basis = Basis::climate;
    CHECK(std::isinf(lead_h(outlook, at(0))));
}
