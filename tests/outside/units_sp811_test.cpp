// Units of weather answers against the factors of NIST Special Publication 811 (2008 edition), appendix B.8,
// "Factors for units listed alphabetically" (quoted from memory; all but the knot's and the hour's are
// exact).
#include "mildway/base/units.hpp"
#include "mildway/weather/gridpoint.hpp"
#include "mildway/weather/open_meteo.hpp"

#include "catch.hpp"

#include <string>

using namespace mildway;
using namespace mildway::weather;

namespace {

/// Gridpoint data of the US National Weather Service with one layer of one value beside a mild temperature.
Outlook gridpoint_with(const std::string& layer, const std::string& unit, double value) {
    const std::string text = R"({"properties": {"updateTime": "2027-03-01T05:00:00Z",
        "temperature": {"uom": "degC", "values": [{"validTime": "2027-03-01T06:00:00Z/PT3H", "value": 1}]}, ")" +
                             layer + R"(": {"uom": ")" + unit +
                             R"(", "values": [{"validTime": "2027-03-01T06:00:00Z/PT1H", "value": )" +
                             std::to_string(value) + "}]}}}";
    return parse_gridpoint("inline", text).outlook;
}

/// An Open-Meteo forecast of three hours with one variable beside a mild temperature.
Outlook open_meteo_with(const std::string& variable, const std::string& unit, double value) {
    const std::string three =
        std::to_string(value) + ", " + std::to_string(value) + ", " + std::to_string(value);
    const std::string text =
        R"({"latitude": 46.8, "longitude": -92.1, "utc_offset_seconds": 0, "timezone": "GMT",
        "hourly_units": {"time": "unixtime", "temperature_2m": "°C", ")" +
        variable + R"(": ")" + unit + R"("},
        "hourly": {"time": [1803880800, 1803884400, 1803888000], "temperature_2m": [1, 1, 1], ")" +
        variable + R"(": [)" + three + "]}}";
    return parse_open_meteo("inline", text, Basis::forecast, parse_instant("2027-03-01T06:00:00Z").value());
}

}  // namespace

TEST_CASE("degrees Fahrenheit become Celsius as NIST says") {
    // t/degC = (t/degF - 32)/1.8
    const auto [fahrenheit, celsius] =
        GENERATE(table<double, double>({{32, 0}, {212, 100}, {-40, -40}, {98.6, 37}, {0, -17.777778}}));
    CHECK(from_fahrenheit(fahrenheit).value() == Approx(celsius).margin(1e-6));
}

TEST_CASE("a gridpoint temperature in degrees Fahrenheit becomes Celsius as NIST says") {
    const std::string text =
        R"({"properties": {"updateTime": "2027-03-01T05:00:00Z", "temperature": {"uom": "degF",
        "values": [{"validTime": "2027-03-01T06:00:00Z/PT1H", "value": 0},
                   {"validTime": "2027-03-01T07:00:00Z/PT1H", "value": 32}]}}})";
    const Outlook outlook = parse_gridpoint("inline", text).outlook;
    CHECK(outlook.temp_c.front()[0] == Approx(-17.777778).margin(1e-6));
    CHECK(outlook.temp_c.front()[1] == Approx(0).margin(1e-12));
}

TEST_CASE("a gridpoint wind in km an hour becomes m a second as NIST says") {
    // kilometer per hour (km/h): 2.777 778 E-01 m/s
    CHECK(gridpoint_with("windSpeed", "wmoUnit:km_h-1", 100).wind_m_per_s[0] ==
          Approx(27.77778).margin(1e-5));
    CHECK(gridpoint_with("windGust", "wmoUnit:km_h-1", 100).gust_m_per_s[0] == Approx(27.77778).margin(1e-5));
}

TEST_CASE("an Open-Meteo wind in any of its units becomes m a second as NIST says") {
    // kilometer per hour 2.777 778 E-01; mile per hour 4.4704 E-01; knot 5.144 444 E-01
    const auto [unit, factor] = GENERATE(table<std::string, double>(
        {{"m/s", 1}, {"km/h", 2.777778e-1}, {"mp/h", 4.4704e-1}, {"kn", 5.144444e-1}}));
    INFO(unit);
    CHECK(open_meteo_with("wind_speed_10m", unit, 50).wind_m_per_s[0] == Approx(50 * factor).margin(1e-5));
}

TEST_CASE("an Open-Meteo snowfall in any of its units becomes mm as NIST says") {
    // inch 2.54 E-02 m; the service calls its metric snow "cm"
    const auto [unit, mm] = GENERATE(table<std::string, double>({{"cm", 10}, {"inch", 25.4}}));
    INFO(unit);
    CHECK(open_meteo_with("snowfall", unit, 1).snow_mm_per_h[0] == Approx(mm).margin(1e-9));
}

TEST_CASE("an Open-Meteo temperature in degrees Fahrenheit becomes Celsius as NIST says") {
    std::string text = R"({"latitude": 46.8, "longitude": -92.1, "utc_offset_seconds": 0,
        "hourly_units": {"time": "unixtime", "temperature_2m": "°F"},
        "hourly": {"time": [1803880800, 1803884400], "temperature_2m": [32, 14]}})";
    const Outlook outlook =
        parse_open_meteo("inline", text, Basis::forecast, parse_instant("2027-03-01T06:00:00Z").value());
    CHECK(outlook.temp_c.front()[0] == Approx(0).margin(1e-9));
    CHECK(outlook.temp_c.front()[1] == Approx(-10).margin(1e-9));
}
