#include "mildway/weather/climate_normals.hpp"

#include "mildway/base/errors.hpp"

#include "catch.hpp"
#include "source_fixtures.hpp"

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <numbers>
#include <vector>

#include <fmt/format.h>

using namespace mildway;
using namespace mildway::weather;
using namespace mildway::testing;
using Catch::Matchers::Contains;

namespace {

constexpr int kYear = 2001;  // any of 365 days

/// What the made station's file says, degF: warm in July, warm at 15:00.
double made_f(int hour_of_year) {
    const double day = hour_of_year / 24.0;
    const double season = -std::cos(2 * std::numbers::pi * (day - 20) / 365);
    const double clock = std::cos(2 * std::numbers::pi * (hour_of_year % 24 - 15) / 24);
    return std::round(10 * (50 + 25 * season + 9 * clock)) / 10;
}
double made_c(int hour_of_year) {
    return (made_f(hour_of_year) - 32) / 1.8;
}

enum class Publication { in_1981_2010, in_1991_2020 };

/// A line of a station file; the 10th and 90th percentiles are 12 degF to either side.
std::string made_line(Publication publication, int hour_of_year, double warmer_f = 0) {
    const Instant when = date::sys_days(date::year(kYear) / 1 / 1) + hours(hour_of_year);
    const std::string label = date::format("%m-%dT%H:%M:%S", when);
    const double normal_f = made_f(hour_of_year) + warmer_f;
    const std::string station =
        fmt::format(R"("USW00099901","{}","41.5","-87.25","200.0","MADE UP, IL US",)", label);
    if (publication == Publication::in_1981_2010) {
        return station + fmt::format(R"("{:.0f}","C","{:.0f}","C","{:.0f}","C")", 10 * (normal_f - 12),
                                     10 * (normal_f + 12), 10 * normal_f);
    }
    return station + fmt::format(R"("  {:.1f}","C","30","  {:.1f}","C","  {:.1f}","C")", normal_f - 12,
                                 normal_f + 12, normal_f);
}

std::string first_line(Publication publication) {
    const std::string station = R"("STATION","DATE","LATITUDE","LONGITUDE","ELEVATION","NAME",)";
    if (publication == Publication::in_1981_2010) {
        return station + R"("HLY-TEMP-10PCTL","HLY-TEMP-10PCTL_ATTRIBUTES",)"
                         R"("HLY-TEMP-90PCTL","HLY-TEMP-90PCTL_ATTRIBUTES",)"
                         R"("HLY-TEMP-NORMAL","HLY-TEMP-NORMAL_ATTRIBUTES")";
    }
    return station +
           R"("HLY-TEMP-10PCTL","comp_flag_HLY-TEMP-10PCTL","years_HLY-TEMP-10PCTL","HLY-TEMP-90PCTL",)"
           R"("comp_flag_HLY-TEMP-90PCTL","HLY-TEMP-NORMAL","comp_flag_HLY-TEMP-NORMAL")";
}

std::string made_file(Publication publication, int hour_count = 365 * 24) {
    std::string text = first_line(publication) + "\n";
    for (int hour = 0; hour < hour_count; ++hour) text += made_line(publication, hour) + "\n";
    return text;
}

const std::string kOld = made_file(Publication::in_1981_2010);
const std::string kNew = made_file(Publication::in_1991_2020);

HourlyNormals parse(const std::string& text) {
    return parse_hourly_normals("file", text);
}

const std::vector<ClimateStation> kStations{{"USW00099902", "Far Off", 45.0, -100.0},
                                            {"USW00099901", "Made Up", 41.5, -87.25}};
const Place kNearby{"Nearby", 41.6, -87.5, "America/Chicago"};
const Instant kJuly = date::sys_days(date::year(2027) / 7 / 4);

ClimateNormals normals_at(const LocalService& service) {
    return {&service.fetcher, kStations, service.server.url()};
}

constexpr int day_of(int month, int day) {
    return (date::sys_days(date::year(kYear) / month / day) - date::sys_days(date::year(kYear) / 1 / 1))
        .count();
}

}  // namespace

TEST_CASE("a station file of 1981-2010 is in tenths of a degree Fahrenheit") {
    const HourlyNormals normals = parse(kOld);
    CHECK(normals.station == "USW00099901");
    CHECK(normals.latitude_deg == 41.5);
    CHECK(normals.longitude_deg == -87.25);
    CHECK(normals.elevation_m == 200);
    REQUIRE(normals.normal_c.size() == 8760);
    CHECK(normals.normal_c[0] == Approx(made_c(0)).margin(1e-9));
    CHECK(normals.normal_c[8759] == Approx(made_c(8759)).margin(1e-9));
}

TEST_CASE("a station file of 1991-2020 is in degrees Fahrenheit") {
    const HourlyNormals normals = parse(kNew);
    CHECK(normals.normal_c[0] == Approx(made_c(0)).margin(1e-9));
    CHECK(normals.normal_c[4444] == Approx(made_c(4444)).margin(1e-9));
}

TEST_CASE("the percentiles are kept beside the normal") {
    const HourlyNormals normals = parse(kNew);
    CHECK(normals.low_c[100] == Approx(made_c(100) - 12 / 1.8).margin(1e-9));
    CHECK(normals.high_c[100] == Approx(made_c(100) + 12 / 1.8).margin(1e-9));
}

TEST_CASE("an empty field and a code for no value are unknown") {
    const std::string line = made_line(Publication::in_1981_2010, 500);
    const std::string value = fmt::format("\"{:.0f}\",\"C\"", 10 * made_f(500));
    const std::string head = line.substr(0, line.size() - value.size());
    for (const char* missing : {"", "\"\",\"\"", "\"-7777\",\"C\"", "\"-9999\",\"C\""}) {
        INFO(missing);
        const std::string end = *missing == '\0' ? "," : missing;
        CHECK(std::isnan(parse(replaced(kOld, line, head + end)).normal_c[500]));
    }
}

TEST_CASE("lines in another order are told by their dates") {
    const std::string a = made_line(Publication::in_1991_2020, 10);
    const std::string b = made_line(Publication::in_1991_2020, 20);
    const std::string swapped = replaced(replaced(replaced(kNew, a, "@"), b, a), "@", b);
    CHECK(parse(swapped).normal_c == parse(kNew).normal_c);
}

TEST_CASE("each faulty station file is refused with its fault") {
    struct Case {
        std::string from, to, fault;
    };
    const std::string line = made_line(Publication::in_1981_2010, 30);
    const std::vector<Case> cases{
        {"\"HLY-TEMP-NORMAL\"", "\"HLY-TEMP-MEAN\"", "line 1: there is no column HLY-TEMP-NORMAL"},
        {"\"HLY-TEMP-NORMAL_ATTRIBUTES\"", "\"FLAGS\"", "cannot be told whether temperatures are in degF"},
        {line + "\n", "", "holds 8759 of the 8760 hours of a year"},
        {line, made_line(Publication::in_1981_2010, 29), "line 32: '01-02T05:00:00' stands twice"},
        {"01-02T06:00:00", "02-29T06:00:00", "line 32: '02-29T06:00:00' is no hour of a year of 365 days"},
        {"01-02T06:00:00", "01-02T06:30:00", "is no hour of a year"},
        {line, line + ",\"1\"", "line 32: has 13 columns; the first line has 12"},
        {line, replaced(line, "USW00099901", "USW00099903"), "line 32: is of another station"},
        {line, replaced(line, fmt::format("\"{:.0f}\"", 10 * made_f(30)), "\"warm\""),
         "line 32: column 11: 'warm' is not a number"},
        {line, replaced(line, fmt::format("\"{:.0f}\"", 10 * made_f(30)), "\"31.5\""),
         "'31.5' is no whole number of tenths of a degree"},
        {line, replaced(line, fmt::format("\"{:.0f}\"", 10 * made_f(30)), "\"9990\""),
         "line 32: the normal is not between the 10th and the 90th percentile"},
        {"\"41.5\"", "\"\"", "line 2: does not say where the station is"},
    };
    for (const Case& fault : cases) {
        INFO(fault.fault);
        CHECK_THROWS_WITH(parse(replaced(kOld, fault.from, fault.to)), Contains(fault.fault));
    }
}

TEST_CASE("a station file cut short or of another kind is refused") {
    CHECK_THROWS_WITH(parse(kNew.substr(0, kNew.size() / 2)), Contains("file: "));
    CHECK_THROWS_WITH(parse(made_file(Publication::in_1991_2020, 24)),
                      Contains("holds 24 of the 8760 hours"));
    CHECK_THROWS_WITH(parse("<html><body>Not found</body></html>"), Contains("there is no column STATION"));
    CHECK_THROWS_WITH(parse(""), Contains("is empty"));
}

TEST_CASE("a whole station file hotter than any place is refused") {
    std::string text = first_line(Publication::in_1991_2020) + "\n";
    for (int hour = 0; hour < 8760; ++hour) text += made_line(Publication::in_1991_2020, hour, 66) + "\n";
    CHECK_THROWS_WITH(parse(text), Contains("HLY-TEMP-NORMAL: ") && Contains("is outside what air can be"));
}

TEST_CASE("the climate at a place is that of the nearest station by its standard time") {
    LocalService service([](const Seen&) { return reply(200, kNew); });
    const Reading reading =
        normals_at(service).read(std::vector{kNearby}, kJuly + minutes(90), kJuly + hours(30))[0];
    REQUIRE(reading.outlook);
    const Outlook& outlook = *reading.outlook;
    CHECK(service.server.seen().at(0).target == "/data/normals-hourly/1991-2020/access/USW00099901.csv");
    CHECK(outlook.basis == Basis::climate);
    CHECK(outlook.source == "NOAA climate normals");
    CHECK(outlook.first_hour == kJuly + hours(1));
    CHECK(outlook.climate_from == outlook.first_hour);
    CHECK(outlook.hour_count() == 30);
    CHECK(outlook.issued == service.now);
    // 01:00 UTC on 4 July is 19:00 Central Standard Time on the 3rd, whatever the clocks there show
    CHECK(outlook.temp_c.front()[0] == Approx(made_c(day_of(7, 3) * 24 + 19)).margin(1e-9));
    CHECK(outlook.temp_c.front()[29] == Approx(made_c(day_of(7, 5) * 24 + 0)).margin(1e-9));
}

TEST_CASE("29 February has the climate of the 28th and 1 March its own") {
    LocalService service([](const Seen&) { return reply(200, kNew); });
    const Instant noon = date::sys_days(date::year(2028) / 2 / 29) + hours(18);  // 12:00 CST
    const Reading reading = normals_at(service).read(std::vector{kNearby}, noon, noon + hours(24))[0];
    REQUIRE(reading.outlook);
    CHECK(reading.outlook->temp_c.front()[0] == Approx(made_c(day_of(2, 28) * 24 + 12)).margin(1e-9));
    CHECK(reading.outlook->temp_c.front()[24] == Approx(made_c(day_of(3, 1) * 24 + 12)).margin(1e-9));
}

TEST_CASE("the new year begins by the local clock") {
    LocalService service([](const Seen&) { return reply(200, kNew); });
    const Instant new_year = date::sys_days(date::year(2028) / 1 / 1) + hours(6);
    const Reading reading = normals_at(service).read(std::vector{kNearby}, new_year - hours(1), new_year)[0];
    REQUIRE(reading.outlook);
    CHECK(reading.outlook->temp_c.front()[0] == Approx(made_c(8759)).margin(1e-9));
    CHECK(reading.outlook->temp_c.front()[1] == Approx(made_c(0)).margin(1e-9));
}

TEST_CASE("a difference in height to the station is corrected once") {
    LocalService service([](const Seen&) { return reply(200, kNew); });
    Place hill = kNearby;
    hill.elevation_m = 1200;
    const auto readings = normals_at(service).read(std::vector{kNearby, hill}, kJuly, kJuly);
    REQUIRE(readings[1].outlook);
    // 1000 m higher: 6.5 K colder (ICAO standard atmosphere, Doc 7488)
    CHECK(readings[1].outlook->mean_c(0) == Approx(readings[0].outlook->mean_c(0) - 6.5).margin(1e-9));
    CHECK_FALSE(readings[1].outlook->cell_elevation_m);  // nothing is left to correct
}

TEST_CASE("a place without a station in reach is told so and nothing is asked") {
    LocalService service([](const Seen&) { return reply(200, kNew); });
    const Place island{"Island", 21.3, -157.9, "Pacific/Honolulu"};
    const Reading reading = normals_at(service).read(std::vector{island}, kJuly, kJuly)[0];
    CHECK(reading.reason == "no station of climate_stations.json is within 120 km of Island");
    CHECK(service.server.seen().empty());
}

TEST_CASE("a station that lies elsewhere than the list says is refused") {
    LocalService service([](const Seen&) { return reply(200, kNew); });
    const std::vector<ClimateStation> wrong{{"USW00099901", "Made Up", 41.0, -88.0}};
    const Reading reading = ClimateNormals(&service.fetcher, wrong, service.server.url())
                                .read(std::vector{kNearby}, kJuly, kJuly)[0];
    CHECK_FALSE(reading.outlook);
    CHECK_THAT(reading.reason, Contains("the station lies at 41.5000,-87.2500, 8") &&
                                   Contains("km from where climate_stations.json has Made Up"));
}

TEST_CASE("a file of another station is refused") {
    LocalService service([](const Seen&) { return reply(200, kNew); });
    const std::vector<ClimateStation> wrong{{"USW00099909", "Made Up", 41.5, -87.25}};
    const Reading reading = ClimateNormals(&service.fetcher, wrong, service.server.url())
                                .read(std::vector{kNearby}, kJuly, kJuly)[0];
    CHECK_THAT(reading.reason, Contains("it is of station USW00099901"));
}

TEST_CASE("a station without a file is told") {
    LocalService service([](const Seen&) { return reply(404, "<html>"); });
    const Reading reading = normals_at(service).read(std::vector{kNearby}, kJuly, kJuly)[0];
    CHECK_THAT(reading.reason, Contains("NOAA climate normals: ") && Contains("answered 404"));
}

TEST_CASE("a station file is asked for once in half a year for all places near it") {
    LocalService service([](const Seen&) { return reply(200, kNew); });
    static_cast<void>(normals_at(service).read(std::vector{kNearby, kNearby}, kJuly, kJuly));
    service.now += hours(24 * 170);
    static_cast<void>(normals_at(service).read(std::vector{kNearby}, kJuly, kJuly));
    CHECK(service.server.seen().size() == 1);
}

TEST_CASE("the stations of the starter workspace are read") {
    const auto stations = read_climate_stations(
        ConfigNode::load(std::filesystem::path(MILDWAY_SOURCE_DIR) / "config/climate_stations.json"));
    const auto el_paso = std::find_if(stations.begin(), stations.end(),
                                      [](const ClimateStation& s) { return s.id == "USW00023044"; });
    REQUIRE(el_paso != stations.end());
    CHECK(el_paso->latitude_deg == Approx(31.8).margin(0.1));
}

TEST_CASE("a faulty list of stations is refused with its fault") {
    const auto read = [](const std::string& stations) {
        return read_climate_stations(
            ConfigNode::parse("stations.json", R"({"stations": [)" + stations + "]}"));
    };
    const std::string good =
        R"({"id": "USW00023044", "name": "El Paso", "latitude_deg": 31.8, "longitude_deg": -106.4})";
    CHECK(read(good).size() == 1);
    CHECK_THROWS_WITH(read(replaced(good, "USW00023044", "../passwd")),
                      Contains("expected 11 capitals and digits"));
    CHECK_THROWS_WITH(read(good + "," + good), Contains("'USW00023044' stands twice"));
    CHECK_THROWS_WITH(read(replaced(good, "31.8", "131.8")), Contains("latitude_deg"));
    CHECK_THROWS_WITH(read(replaced(good, "\"name\"", "\"nam\"")), Contains("name"));
}
