#include "mildway/weather/met_norway.hpp"

#include "mildway/base/errors.hpp"
#include "mildway/base/files.hpp"

#include "catch.hpp"
#include "source_fixtures.hpp"

#include <cmath>

using namespace mildway;
using namespace mildway::weather;
using namespace mildway::testing;
using Catch::Matchers::Contains;

namespace {

const std::string kWinter = weather_fixture("met-norway/complete_winter.json");

Outlook parse(const std::string& text) {
    return parse_met_norway("answer", text);
}

/// The hour of 1 March 2027, or of the day after from 24 on.
double hour_of_march(const Outlook& outlook, const std::vector<double>& series, int hour) {
    return outlook.at(series, date::sys_days(date::year(2027) / 3 / 1) + hours(hour));
}
double temp_at(const Outlook& outlook, int hour) {
    return hour_of_march(outlook, outlook.temp_c.front(), hour);
}

/// A series of steps with nothing but a temperature.
std::string bare_series(const std::string& steps) {
    return R"({"properties": {
        "meta": {"updated_at": "2027-03-01T09:40:00Z", "units": {"air_temperature": "celsius"}},
        "timeseries": [)" +
           steps + "]}}";
}
std::string bare_step(const std::string& time, const std::string& temp_c) {
    return R"({"time": ")" + time + R"(", "data": {"instant": {"details": {"air_temperature": )" + temp_c +
           "}}}}";
}

const Place kDuluth{"Duluth MN", 46.7867, -92.1005, "America/Chicago", Climate::elsewhere, 190.4};

}  // namespace

TEST_CASE("a MET Norway answer says who made it when and for which point") {
    const Outlook outlook = parse(kWinter);
    CHECK(outlook.source == "MET Norway");
    CHECK(outlook.origin == "answer");
    CHECK(format_instant(outlook.issued) == "2027-03-01T09:40:00Z");
    CHECK(outlook.cell_latitude_deg == 46.7867);
    CHECK(outlook.cell_longitude_deg == -92.1005);
    CHECK(outlook.cell_elevation_m == 190);
    CHECK(outlook.error_factor == kSingleModelErrorFactor);
    CHECK(outlook.attributions == std::vector<std::string>{"Data from MET Norway (CC BY 4.0)"});
}

TEST_CASE("the hours run from the first step to the last") {
    const Outlook outlook = parse(kWinter);
    CHECK(format_instant(outlook.first_hour) == "2027-03-01T10:00:00Z");
    CHECK(outlook.hour_count() == 21);
    CHECK(format_instant(outlook.last_known()) == "2027-03-02T06:00:00Z");
}

TEST_CASE("hourly steps stand as they are") {
    const Outlook outlook = parse(kWinter);
    CHECK(temp_at(outlook, 10) == 2.0);
    CHECK(temp_at(outlook, 11) == 3.5);
    CHECK(temp_at(outlook, 12) == 4.0);
}

TEST_CASE("a six hour step reaches the highest and lowest that the service names") {
    const Outlook outlook = parse(kWinter);  // 4 at 12:00, up to 6, down to 0, 1 at 18:00
    const std::vector<double> expected{4, 6, 4.5, 3, 1.5, 0, 1};
    for (int i = 0; i <= 6; ++i) {
        CHECK(temp_at(outlook, 12 + i) == Approx(expected[static_cast<std::size_t>(i)]).margin(1e-12));
        CHECK(hour_of_march(outlook, outlook.extra_error_k, 12 + i) == 0);
    }
}

TEST_CASE("a six hour step without extremes is straight and less certain strictly inside") {
    const Outlook outlook = parse(kWinter);  // 1 at 18:00, -1 at 24:00
    CHECK(temp_at(outlook, 21) == Approx(0).margin(1e-12));
    CHECK(temp_at(outlook, 23) == Approx(-2.0 / 3).margin(1e-12));
    CHECK(hour_of_march(outlook, outlook.extra_error_k, 18) == 0);
    CHECK(hour_of_march(outlook, outlook.extra_error_k, 19) == kCoarseStepErrorK);
    CHECK(hour_of_march(outlook, outlook.extra_error_k, 23) == kCoarseStepErrorK);
    CHECK(hour_of_march(outlook, outlook.extra_error_k, 24) == 0);
}

TEST_CASE("a night low alone is reached and the missing high keeps the step uncertain") {
    const Outlook outlook = parse(kWinter);  // -1 at 24:00, down to -5, -2 at 30:00
    CHECK(temp_at(outlook, 27) == Approx(-5).margin(1e-12));
    CHECK(temp_at(outlook, 28) == Approx(-4).margin(1e-12));
    CHECK(hour_of_march(outlook, outlook.extra_error_k, 27) == kCoarseStepErrorK);
}

TEST_CASE("extremes inside the range of the two step values bend nothing") {
    const std::string text =
        replaced(replaced(kWinter, R"("air_temperature_max": 6.0)", R"("air_temperature_max": 4.0)"),
                 R"("air_temperature_min": 0.0)", R"("air_temperature_min": 1.0)");
    CHECK(temp_at(parse(text), 14) == Approx(3).margin(1e-12));
}

TEST_CASE("a series of hours alone has no further error") {
    const Outlook outlook = parse(
        bare_series(bare_step("2027-03-01T10:00:00Z", "1") + "," + bare_step("2027-03-01T11:00:00Z", "2")));
    CHECK(outlook.temp_c.front() == std::vector<double>{1, 2});
    CHECK(outlook.extra_error_k.empty());
}

TEST_CASE("cloud wind and gust are read and laid straight between coarse steps") {
    const Outlook outlook = parse(kWinter);
    CHECK(outlook.cloud_fraction[0] == Approx(0.25).margin(1e-12));
    CHECK(hour_of_march(outlook, outlook.cloud_fraction, 15) == Approx(0.60).margin(1e-12));
    CHECK(hour_of_march(outlook, outlook.wind_m_per_s, 20) == Approx(6).margin(1e-12));
    CHECK(outlook.gust_m_per_s[0] == 6.5);
    CHECK(std::isnan(outlook.gust_m_per_s[1]));
}

TEST_CASE("snow is ten times its water where the symbol says snow and half of that for sleet") {
    const Outlook outlook = parse(kWinter);
    CHECK(hour_of_march(outlook, outlook.snow_mm_per_h, 10) ==
          0);  // the hour's own symbol, rain, comes first
    CHECK(hour_of_march(outlook, outlook.snow_mm_per_h, 11) == Approx(5).margin(1e-12));
    for (int hour = 12; hour < 18; ++hour)  // 6 mm of water over six hours
        CHECK(hour_of_march(outlook, outlook.snow_mm_per_h, hour) == Approx(10).margin(1e-12));
}

TEST_CASE("a trace of water under a dry symbol is snow only in freezing air") {
    const Outlook outlook = parse(kWinter);
    CHECK(hour_of_march(outlook, outlook.snow_mm_per_h, 18) == 0);  // 1 degC
    CHECK(hour_of_march(outlook, outlook.snow_mm_per_h, 23) == Approx(1).margin(1e-12));
}

TEST_CASE("snow is unknown without an amount and behind the last step") {
    const Outlook outlook = parse(kWinter);
    CHECK(std::isnan(hour_of_march(outlook, outlook.snow_mm_per_h, 25)));
    CHECK(std::isnan(hour_of_march(outlook, outlook.snow_mm_per_h, 30)));
}

TEST_CASE("a symbol that is not known leaves the snow unknown") {
    const Outlook outlook = parse(replaced(kWinter, "\"sleet\"", "\"plasma\""));
    CHECK(std::isnan(hour_of_march(outlook, outlook.snow_mm_per_h, 11)));
}

TEST_CASE("glaze is none in warm or dry air and otherwise unknown since it is not forecast") {
    const Outlook outlook =
        parse(replaced(kWinter, R"("precipitation_amount": 0.6)", R"("precipitation_amount": 0)"));
    CHECK(std::isnan(hour_of_march(outlook, outlook.ice_mm_per_h, 10)));  // 2 degC and rain
    CHECK(hour_of_march(outlook, outlook.ice_mm_per_h, 11) == 0);         // 3.5 degC
    CHECK(hour_of_march(outlook, outlook.ice_mm_per_h, 22) == 0);         // dry
}

TEST_CASE("thunder is a probability or a symbol and without either unknown") {
    const Outlook outlook = parse(kWinter);
    CHECK(hour_of_march(outlook, outlook.thunder_probability, 10) == Approx(0.04).margin(1e-12));
    CHECK(hour_of_march(outlook, outlook.thunder_probability, 26) == 0.5);
    CHECK(std::isnan(hour_of_march(outlook, outlook.thunder_probability, 12)));
}

TEST_CASE("fog is as likely as the share of the area that it covers and ends where it is not given") {
    const std::string text = replaced(
        replaced(replaced(kWinter, R"("cloud_area_fraction": "%",)",
                          R"("cloud_area_fraction": "%", "fog_area_fraction": "%",)"),
                 R"("cloud_area_fraction": 90.0)",
                 R"("cloud_area_fraction": 90.0, "fog_area_fraction": 10.0)"),
        R"("cloud_area_fraction": 30.0)", R"("cloud_area_fraction": 30.0, "fog_area_fraction": 40.0)");
    const Outlook outlook = parse(text);
    CHECK(hour_of_march(outlook, outlook.fog_probability, 12) == Approx(0.1).margin(1e-12));
    CHECK(hour_of_march(outlook, outlook.fog_probability, 14) == Approx(0.2).margin(1e-12));
    CHECK(hour_of_march(outlook, outlook.fog_probability, 18) == Approx(0.4).margin(1e-12));
    CHECK(std::isnan(hour_of_march(outlook, outlook.fog_probability, 11)));
    CHECK(std::isnan(hour_of_march(outlook, outlook.fog_probability, 19)));
}

TEST_CASE("more fog than the whole area is refused") {
    CHECK_THROWS_WITH(parse(replaced(replaced(kWinter, R"("cloud_area_fraction": "%",)",
                                              R"("cloud_area_fraction": "%", "fog_area_fraction": "%",)"),
                                     R"("cloud_area_fraction": 90.0)",
                                     R"("cloud_area_fraction": 90.0, "fog_area_fraction": 110.0)")),
                      Contains("1.1 at 2027-03-01T12:00:00Z is outside what can be (0 to 1)"));
}

TEST_CASE("a step without a temperature leaves the hours around it unknown and is told") {
    const std::string text = replaced(kWinter, R"("air_temperature": 1.0)", R"("air_temperature": null)");
    const Outlook outlook = parse(text);
    CHECK(temp_at(outlook, 12) == 4.0);
    for (int hour = 13; hour < 24; ++hour) CHECK(std::isnan(temp_at(outlook, hour)));
    CHECK(temp_at(outlook, 24) == -1.0);
    REQUIRE(outlook.findings.size() == 1);
    CHECK(outlook.findings[0] == "no temperature from 2027-03-01T13:00:00Z to 2027-03-02T00:00:00Z");
}

TEST_CASE("steps more than six hours apart are a gap and not bridged") {
    const Outlook outlook = parse(
        bare_series(bare_step("2027-03-01T10:00:00Z", "1") + "," + bare_step("2027-03-01T17:00:00Z", "2")));
    CHECK(std::isnan(temp_at(outlook, 13)));
    CHECK(outlook.findings.size() == 1);
}

TEST_CASE("each faulty MET Norway answer is refused with its fault") {
    struct Case {
        std::string from, to, fault;
    };
    const std::vector<Case> cases{
        {R"("air_temperature": "celsius")", R"("air_temperature": "fahrenheit")",
         "/properties/meta/units/air_temperature: the unit is 'fahrenheit'; expected 'celsius'"},
        {R"("wind_speed": "m/s")", R"("wind_speed": "knots")", "the unit is 'knots'; expected 'm/s'"},
        {R"("cloud_area_fraction": "%",)", "", "has no \"cloud_area_fraction\""},
        {R"("updated_at": "2027-03-01T09:40:00Z",)", "", "/properties/meta: has no \"updated_at\""},
        {R"("updated_at": "2027-03-01T09:40:00Z")", R"("updated_at": "yesterday")",
         "'yesterday' is not a time"},
        {R"("updated_at")", R"("error": "no data for this point", "updated_at")",
         "the service says: no data for this point"},
        {"2027-03-01T11:00:00Z", "2027-03-01T13:00:00Z", "the steps are not in order"},
        {"2027-03-01T11:00:00Z", "2027-03-01T10:00:00Z", "the steps are not in order"},
        {"2027-03-01T11:00:00Z", "2027-03-01T11:30:00Z", "is not a whole hour"},
        {"2027-03-02T06:00:00Z", "2027-04-02T06:00:00Z", "covers more than 384 hours"},
        {R"("air_temperature": 3.5)", R"("air_temperature": "NaN")", "is text; expected a number"},
        {R"("air_temperature": 3.5)", R"("air_temperature": NaN)", "it is not valid JSON"},
        {R"("air_temperature": 3.5)", R"("air_temperature": 303.5)", "is outside what air can be"},
        {R"("wind_speed": 4.0)", R"("wind_speed": 400)",
         "400 m/s at 2027-03-01T11:00:00Z is outside what can be"},
        {R"("cloud_area_fraction": 90.0)", R"("cloud_area_fraction": 900.0)",
         "9 at 2027-03-01T12:00:00Z is outside"},
        {R"("air_temperature_max": 6.0)", R"("air_temperature_max": -6.0)", "is above the highest, -6 degC"},
        {R"("precipitation_amount": 0.3)", R"("precipitation_amount": -0.3)", "less precipitation than none"},
        {R"("wind_speed": 4.0)", R"("wind_speed": 4.0, "wind_speed": 5.0)", "wind_speed: stands twice"},
        {"\"properties\"", "\"properties_of_another_shape\"", "has no \"properties\""},
    };
    for (const Case& fault : cases) {
        INFO(fault.from << " -> " << fault.to);
        CHECK_THROWS_WITH(parse(replaced(kWinter, fault.from, fault.to)), Contains(fault.fault));
    }
}

TEST_CASE("an empty MET Norway series is refused") {
    CHECK_THROWS_WITH(parse(bare_series("")), Contains("is empty: there is no forecast in it"));
}

TEST_CASE("a MET Norway answer without any temperature is refused") {
    CHECK_THROWS_WITH(parse(bare_series(bare_step("2027-03-01T10:00:00Z", "null"))),
                      Contains("holds no temperature at any hour"));
}

TEST_CASE("a MET Norway answer cut anywhere is refused") {
    for (std::size_t length = 0; length < kWinter.rfind('}'); length += 97)
        CHECK_THROWS_AS(parse(kWinter.substr(0, length)), WeatherError);
}

TEST_CASE("MET Norway is asked with four decimals and whole metres of height") {
    LocalService service([](const Seen&) { return reply(200, kWinter); });
    const MetNorwaySource source(&service.fetcher, service.server.url());
    const std::vector<Reading> readings = source.read(std::vector{kDuluth});
    REQUIRE(readings[0].outlook);
    REQUIRE(service.server.seen().size() == 1);
    CHECK(service.server.seen()[0].target ==
          "/weatherapi/locationforecast/2.0/complete?lat=46.7867&lon=-92.1005&altitude=190");
    CHECK_THAT(service.server.seen()[0].headers.at("user-agent"), Contains("test@example.org"));
    CHECK(readings[0].outlook->fetched == service.now);
}

TEST_CASE("a place of unknown height is asked for without one") {
    LocalService service([](const Seen&) { return reply(200, kWinter); });
    Place place = kDuluth;
    place.elevation_m.reset();
    static_cast<void>(MetNorwaySource(&service.fetcher, service.server.url()).read(std::vector{place}));
    CHECK_THAT(service.server.seen().at(0).target, !Contains("altitude"));
}

TEST_CASE("a refusal by MET Norway says that the contact is to be checked") {
    LocalService service([](const Seen&) { return reply(403, "<html>Forbidden</html>"); });
    const Reading reading =
        MetNorwaySource(&service.fetcher, service.server.url()).read(std::vector{kDuluth})[0];
    CHECK_FALSE(reading.outlook);
    CHECK(reading.reason ==
          "MET Norway refuses the way this program names itself (answered 403): check that \"contact\" in "
          "workspace.json is an address of yours");
}

TEST_CASE("a place outside MET Norway is told so") {
    LocalService service([](const Seen&) { return reply(422, "outside"); });
    const Reading reading =
        MetNorwaySource(&service.fetcher, service.server.url()).read(std::vector{kDuluth})[0];
    CHECK(reading.reason == "MET Norway has no forecast for Duluth MN (46.7867,-92.1005): it answered 422");
}

TEST_CASE("an answer under 203 is used and the warning passed on") {
    LocalService service([](const Seen&) { return reply(203, kWinter); });
    const Reading reading =
        MetNorwaySource(&service.fetcher, service.server.url()).read(std::vector{kDuluth})[0];
    REQUIRE(reading.outlook);
    CHECK_THAT(reading.outlook->findings.at(0), Contains("will end the version of its service"));
}

TEST_CASE("when MET Norway breaks down its last answer is used with its age") {
    int requests = 0;
    LocalService service(
        [&](const Seen&) { return ++requests == 1 ? reply(200, kWinter) : reply(500, "oops"); });
    const MetNorwaySource source(&service.fetcher, service.server.url());
    static_cast<void>(source.read(std::vector{kDuluth}));
    const Instant first = service.now;
    service.now += hours(3);
    const Reading reading = source.read(std::vector{kDuluth})[0];
    REQUIRE(reading.outlook);
    CHECK(reading.outlook->fetched == first);
    CHECK_THAT(reading.outlook->findings.at(0), Contains("MET Norway gave no new answer (") &&
                                                    Contains("answered 500") &&
                                                    Contains("that of Mon 1 Mar 04:00 is used"));
}

TEST_CASE("one place that MET Norway does not know leaves the others alone") {
    LocalService service([](const Seen& seen) {
        return seen.target.find("lat=46.7867") != std::string::npos ? reply(200, kWinter) : reply(404, "");
    });
    const Place nowhere{"Nowhere", -80, 0, "Etc/UTC"};
    const auto readings =
        MetNorwaySource(&service.fetcher, service.server.url()).read(std::vector{nowhere, kDuluth});
    REQUIRE(readings.size() == 2);
    CHECK_FALSE(readings[0].outlook);
    CHECK(readings[1].outlook);
}
