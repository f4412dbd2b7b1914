#include "mildway/weather/outlook.hpp"

#include "catch.hpp"

#include <cmath>
#include <limits>

using namespace mildway;
using namespace mildway::weather;

namespace {

constexpr double kUnknown = std::numeric_limits<double>::quiet_NaN();

Instant at(int hour, int minute = 0) {
    return date::sys_days(date::year(2027) / 3 / 1) + hours(hour) + minutes(minute);
}

/// Values at 06:00, 07:00, ... of one member.
Outlook outlook_from_six(std::vector<double> temp_c) {
    Outlook outlook;
    outlook.first_hour = at(6);
    outlook.temp_c.push_back(std::move(temp_c));
    return outlook;
}

}  // namespace

TEST_CASE("temperature is linear between the hours") {
    const Outlook outlook = outlook_from_six({2, 4, 8});
    CHECK(outlook.temp_at(at(7)) == Approx(4).margin(1e-12));
    CHECK(outlook.temp_at(at(7, 15)) == Approx(5).margin(1e-12));
    CHECK(outlook.temp_at(at(8)) == Approx(8).margin(1e-12));
}

TEST_CASE("temperature is unknown outside the series and beside an unknown hour") {
    const Outlook outlook = outlook_from_six({2, kUnknown, 8, 9});
    CHECK(std::isnan(outlook.temp_at(at(5, 59))));
    CHECK(std::isnan(outlook.temp_at(at(6, 30))));
    CHECK(std::isnan(outlook.temp_at(at(7, 30))));
    CHECK(std::isnan(outlook.temp_at(at(9, 1))));
    CHECK(outlook.temp_at(at(8, 30)) == Approx(8.5).margin(1e-12));
}

TEST_CASE("a fully known window has no unknown hour") {
    CHECK_FALSE(outlook_from_six({1, 2, 3}).first_unknown(at(6), at(8)).has_value());
}

TEST_CASE("an instant between two hours needs the later one as well") {
    const Outlook outlook = outlook_from_six({1, 2, kUnknown});
    CHECK_FALSE(outlook.first_unknown(at(6), at(7)).has_value());
    CHECK(outlook.first_unknown(at(6), at(7, 1)) == at(8));
}

TEST_CASE("hours before and after the series count as unknown") {
    const Outlook outlook = outlook_from_six({1, 2, 3});
    CHECK(outlook.first_unknown(at(5, 30), at(7)) == at(5));
    CHECK(outlook.first_unknown(at(7), at(12)) == at(9));
    CHECK(Outlook{}.first_unknown(at(6), at(7)) == at(6));
}

TEST_CASE("one member that does not know an hour is enough for unknown") {
    Outlook outlook = outlook_from_six({1, 2, 3});
    outlook.temp_c.push_back({1, kUnknown, 3});
    CHECK(outlook.first_unknown(at(6), at(8)) == at(7));
}

TEST_CASE("every basis has a name") {
    CHECK(basis_name(Basis::forecast) == "forecast");
    CHECK(basis_name(Basis::ensemble) == "ensemble");
    CHECK(basis_name(Basis::climate) == "climate");
    CHECK(basis_name(Basis::observed) == "observed");
}
