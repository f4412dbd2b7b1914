#include "mildway/weather/open_meteo.hpp"

#include "mildway/base/errors.hpp"

#include "catch.hpp"
#include "source_fixtures.hpp"

#include <cmath>
#include <vector>

#include <fmt/format.h>

using namespace mildway;
using namespace mildway::weather;
using namespace mildway::testing;
using Catch::Matchers::Contains;

namespace {

const std::string kForecast = weather_fixture("open-meteo/forecast.json");
const std::string kEnsemble = weather_fixture("open-meteo/ensemble.json");
const Instant kFetched = date::sys_days(date::year(2027) / 3 / 1) + hours(10);

Outlook parse(const std::string& text, Basis basis = Basis::forecast) {
    return parse_open_meteo("answer", text, basis, kFetched);
}

void approx_equal(const std::vector<double>& series, const std::vector<double>& expected) {
    REQUIRE(series.size() == expected.size());
    for (std::size_t i = 0; i < series.size(); ++i) {
        INFO("hour " << i);
        if (std::isnan(expected[i])) {
            CHECK(std::isnan(series[i]));
        } else {
            CHECK(series[i] == Approx(expected[i]).margin(1e-9));
        }
    }
}

constexpr double kNothing = std::numeric_limits<double>::quiet_NaN();

}  // namespace

TEST_CASE("an Open-Meteo answer says who made it and for which cell") {
    const Outlook outlook = parse(kForecast);
    CHECK(outlook.source == "Open-Meteo");
    CHECK(outlook.basis == Basis::forecast);
    CHECK(outlook.issued == kFetched);
    CHECK(outlook.cell_latitude_deg == 46.79);
    CHECK(outlook.cell_longitude_deg == -92.1);
    CHECK(outlook.cell_elevation_m == 214);
    CHECK(outlook.attributions ==
          std::vector<std::string>{"Weather data by Open-Meteo.com (CC BY 4.0), https://open-meteo.com/"});
}

TEST_CASE("times in seconds are UTC hours with their temperatures") {
    const Outlook outlook = parse(kForecast);
    CHECK(format_instant(outlook.first_hour) == "2027-03-01T06:00:00Z");
    REQUIRE(outlook.temp_c.size() == 1);
    approx_equal(outlook.temp_c.front(), {-1.5, -1.0, 0.5, 2.0, 3.5, 4.0});
}

TEST_CASE("cloud and wind hold at their label") {
    const Outlook outlook = parse(kForecast);
    approx_equal(outlook.cloud_fraction, {1, 0.9, 0.8, 0.4, 0.2, kNothing});
    approx_equal(outlook.wind_m_per_s, {3, 3.5, 4, 4.5, 5, 5.5});
}

TEST_CASE("snow and gusts are of the hour before their label and are put at its beginning") {
    const Outlook outlook = parse(kForecast);
    approx_equal(outlook.snow_mm_per_h, {14, 3.5, 0, 0, 0, kNothing});  // cm to mm
    approx_equal(outlook.gust_m_per_s, {8, 9, 10, 11, 12, kNothing});
}

TEST_CASE("glaze is the water under a code of freezing rain and otherwise none only when dry or warm") {
    // the hour from 08:00 ends at 09:00 with code 66; the one from 09:00 is dry, that from 10:00 warm
    approx_equal(parse(kForecast).ice_mm_per_h, {kNothing, kNothing, 0.8, 0, 0, 0});
}

TEST_CASE("a code of thunder is a chance and any other code says nothing of thunder") {
    approx_equal(parse(kForecast).thunder_probability,
                 {kNothing, kNothing, kNothing, kNothing, 0.5, kNothing});
}

TEST_CASE("units are taken from their texts") {
    const std::string fahrenheit =
        replaced(kForecast, R"("temperature_2m": "°C")", R"("temperature_2m": "°F")");
    CHECK(parse(fahrenheit).temp_c.front()[5] == Approx((4.0 - 32) / 1.8).margin(1e-9));
    // NIST SP 811 appendix B.8: 1 mi/h = 0.44704 m/s, 1 knot = 0.5144444 m/s, 1 km/h = 0.2777778 m/s
    const auto wind = [](const std::string& unit) {
        const std::string text =
            replaced(kForecast, R"("wind_speed_10m": "m/s")", fmt::format(R"("wind_speed_10m": "{}")", unit));
        return parse(text).wind_m_per_s[4];  // 5
    };
    CHECK(wind("mp/h") == Approx(5 * 0.44704).margin(1e-9));
    CHECK(wind("kn") == Approx(5 * 0.5144444).margin(1e-6));
    CHECK(wind("km/h") == Approx(5 * 0.2777778).margin(1e-6));
    // NIST SP 811 appendix B.8: 1 inch = 25.4 mm
    CHECK(parse(replaced(kForecast, R"("snowfall": "cm")", R"("snowfall": "inch")")).snow_mm_per_h[0] ==
          Approx(1.4 * 25.4).margin(1e-9));
}

TEST_CASE("old names of variables are known") {
    const std::string text =
        replaced(replaced(kForecast, "cloud_cover", "cloudcover"), "cloud_cover", "cloudcover");
    CHECK(parse(text).cloud_fraction[1] == Approx(0.9).margin(1e-12));
}

TEST_CASE("a column that was not sent is unknown") {
    const Outlook outlook = parse(replaced(kForecast, R"("snowfall": [)", R"("something_else": [)"));
    CHECK(std::isnan(outlook.at(outlook.snow_mm_per_h, outlook.first_hour)));
}

TEST_CASE("nulls in front inside and behind are unknown and a gap is told") {
    const std::string text =
        replaced(kForecast, "[-1.5, -1.0, 0.5, 2.0, 3.5, 4.0]", "[null, -1.0, null, 2.0, 3.5, null]");
    const Outlook outlook = parse(text);
    approx_equal(outlook.temp_c.front(), {kNothing, -1, kNothing, 2, 3.5, kNothing});
    CHECK(outlook.findings ==
          std::vector<std::string>{"no temperature from 2027-03-01T08:00:00Z to 2027-03-01T09:00:00Z"});
}

TEST_CASE("keys may all carry the name of one model") {
    std::string text = kForecast;
    for (const char* name : {"temperature_2m", "cloud_cover"}) {
        const std::string bare = fmt::format("\"{}\"", name);
        const std::string named = fmt::format("\"{}_gfs_seamless\"", name);
        text = replaced(replaced(text, bare + ": \"", named + ": \""), bare + ": [", named + ": [");
    }
    CHECK(parse(text).temp_c.front()[0] == -1.5);
    CHECK(parse(text).cloud_fraction[1] == Approx(0.9).margin(1e-12));
}

TEST_CASE("a variable whose name begins like another is not taken for it") {
    const std::string low = replaced(replaced(kForecast, "cloud_cover", "cloud_cover_low"), "\"cloud_cover\"",
                                     "\"cloud_cover_low\"");
    CHECK(parse(low).cloud_fraction.empty());
}

TEST_CASE("what was forecast on earlier days is not taken for the forecast") {
    const std::string text =
        replaced(kForecast, "\"temperature_2m\": [",
                 "\"temperature_2m_previous_day1\": [9, 9, 9, 9, 9, 9],\n\"temperature_2m\": [");
    CHECK(parse(text).temp_c.front()[0] == -1.5);
}

TEST_CASE("several models in one answer are refused") {
    std::string text = replaced(kForecast, "\"temperature_2m\": [",
                                "\"temperature_2m_a\": [1, 1, 1, 1, 1, 1],\n\"temperature_2m_b\": [");
    CHECK_THROWS_WITH(parse(text), Contains("holds temperatures by several models (a, b)"));
}

TEST_CASE("labels of a local clock count by the one offset of the series") {
    // asked for on 13 March 2027 in New York, the night before the clocks change (07:00 UTC on the 14th): the
    // service keeps -5 h to the end and gives labels that no clock there ever shows
    const std::string text = R"({"latitude": 40.7, "longitude": -74, "utc_offset_seconds": -18000,
        "hourly_units": {"time": "iso8601", "temperature_2m": "°C"},
        "hourly": {"time": ["2027-03-14T01:00", "2027-03-14T02:00", "2027-03-14T03:00"],
            "temperature_2m": [5, 6, 7]}})";
    const Outlook outlook = parse(text);
    CHECK(format_instant(outlook.first_hour) == "2027-03-14T06:00:00Z");
    CHECK(outlook.temp_at(date::sys_days(date::year(2027) / 3 / 14) + hours(8)) == 7);
}

TEST_CASE("each faulty Open-Meteo answer is refused with its fault") {
    struct Case {
        std::string from, to, fault;
    };
    const std::vector<Case> cases{
        {"-1.0, 0.5", "-1.0", "/hourly/temperature_2m: has 5 values for 6 hours"},
        {"[-1.5,", "[-1.5, -1.5,", "/hourly/temperature_2m: has 7 values for 6 hours"},
        {R"("temperature_2m": "°C")", R"("temperature_2m": "K")", "the unit is 'K'; expected '°C' or '°F'"},
        {R"("temperature_2m": "°C", )", "", "/hourly_units: has no \"temperature_2m\""},
        {R"("wind_speed_10m": "m/s")", R"("wind_speed_10m": "beaufort")", "the unit is 'beaufort'"},
        {R"("time": "unixtime")", R"("time": "stardate")", "expected 'unixtime' or 'iso8601'"},
        {"\"temperature_2m\": [", "\"temperature_80m\": [", "holds no temperature_2m"},
        {"1803884400", "1803888000", "/hourly/time/1: does not follow the hour before"},
        {"1803884400", "1803880800", "/hourly/time/1: does not follow the hour before"},
        {"1803880800", "1803880801", "/hourly/time/0: is not a whole hour"},
        {"[-1.5,", "[-25,", "a jump from -25 to -1 degC"},
        {"[-1.5,", "[\"NaN\",", "/hourly/temperature_2m/0: is text; expected a number"},
        {"[-1.5,", "[NaN,", "it is not valid JSON"},
        {"[-1.5,", "[451,", "451 degC at 2027-03-01T06:00:00Z is outside what air can be"},
        {"[100, 90", "[100, 190", "1.9 at 2027-03-01T07:00:00Z is outside what can be"},
        {"[0.7, 1.4", "[0.7, 140", "1400 mm/h at 2027-03-01T06:00:00Z is outside what can be"},
        {R"("latitude": 46.79)", R"("latitude": 146.79)", "/latitude: is no latitude"},
        {R"("latitude": 46.79,)", "", "has no \"latitude\""},
        {"\"hourly\":", "\"daily\":", "has no \"hourly\""},
    };
    for (const Case& fault : cases) {
        INFO(fault.from << " -> " << fault.to);
        CHECK_THROWS_WITH(parse(replaced(kForecast, fault.from, fault.to)), Contains(fault.fault));
    }
}

TEST_CASE("an Open-Meteo answer cut anywhere is refused") {
    for (std::size_t length = 0; length < kForecast.rfind('}'); length += 61)
        CHECK_THROWS_AS(parse(kForecast.substr(0, length)), WeatherError);
}

TEST_CASE("an answer that breaks off in a message is refused") {
    const std::string text =
        kForecast.substr(0, kForecast.size() / 2) + "Unexpected error while streaming data: timeoutReached";
    CHECK_THROWS_WITH(parse(text), Contains("it is not valid JSON"));
}

TEST_CASE("an error of the service is refused in its own words") {
    CHECK_THROWS_WITH(parse(R"({"reason": "The service is overloaded", "error": true})"),
                      Contains("this is an error answer of the service: The service is overloaded"));
}

TEST_CASE("ensemble members are kept as members with the control first") {
    const Outlook outlook = parse(kEnsemble, Basis::ensemble);
    CHECK(outlook.basis == Basis::ensemble);
    REQUIRE(outlook.temp_c.size() == 3);
    CHECK(outlook.temp_c[0][0] == -2);
    CHECK(outlook.temp_c[1][5] == Approx(-0.5).margin(1e-12));
    CHECK(outlook.temp_c[2][0] == -1);
    CHECK(outlook.mean_c(0) == Approx(-2).margin(1e-12));
}

TEST_CASE("members may carry the name of their model") {
    std::string text = kEnsemble;
    for (const char* key :
         {"\"temperature_2m\"", "\"temperature_2m_member01\"", "\"temperature_2m_member02\""}) {
        const std::string bare(key);
        const std::string named = bare.substr(0, bare.size() - 1) + "_ncep_gefs025\"";
        text = replaced(replaced(text, bare + ": \"", named + ": \""), bare + ": [", named + ": [");
    }
    CHECK(parse(text, Basis::ensemble).temp_c.size() == 3);
}

TEST_CASE("a missing member is noticed") {
    CHECK_THROWS_WITH(
        parse(replaced(kEnsemble, "\"temperature_2m_member01\": [", "\"x\": ["), Basis::ensemble),
        Contains("has no member 01 of temperature_2m"));
    CHECK_THROWS_WITH(parse(replaced(kEnsemble, "\"temperature_2m\": [", "\"x\": ["), Basis::ensemble),
                      Contains("has no member 00 of temperature_2m"));
}

TEST_CASE("a forecast is no ensemble") {
    CHECK_THROWS_WITH(parse(kForecast, Basis::ensemble), Contains("holds 1 members; an ensemble has more"));
}
