// Real answers of the US National Weather Service and the US Census geocoder (US government work), as
// recorded by several public repositories: points, warnings and errors. Gridpoint answers:
// gridpoint_recordings_test.cpp.
#include "mildway/base/errors.hpp"
#include "mildway/base/files.hpp"
#include "mildway/fetch/curl_transport.hpp"
#include "mildway/fetch/disk_cache.hpp"
#include "mildway/fetch/fetcher.hpp"
#include "mildway/places/census.hpp"
#include "mildway/weather/gridpoint.hpp"
#include "mildway/weather/nws.hpp"

#include "catch.hpp"
#include "http_server.hpp"
#include "temp_workspace.hpp"

#include <algorithm>
#include <filesystem>
#include <set>
#include <string>
#include <vector>

using namespace mildway;
using namespace mildway::weather;
namespace fs = std::filesystem;

namespace {

fs::path recordings() {
    return fs::path(MILDWAY_SHARED_DATA).parent_path() / "weather/recorded";
}

bool there() {
    if (fs::exists(recordings())) return true;
    WARN("skipped: there are no recordings beside MILDWAY_SHARED_DATA");
    return false;
}

std::string text_of(const std::string& file) {
    return read_file(recordings() / file, 8u << 20);
}

/// What the file says, read by eye.
struct RecordedPoint {
    std::string file, cell, zone, nearby;
};

const std::vector<RecordedPoint> kPoints{
    {"21.305_-157.858_HFO_2024-03.json", "HFO/154,145", "Pacific/Honolulu", "Urban Honolulu, HI"},
    {"30_-85_TAE.json", "TAE/58,65", "America/New_York", "Sumatra, FL"},
    {"33.8_-117.882_SGX_2026-07.json", "SGX/38,66", "America/Los_Angeles", "Anaheim, CA"},
    {"39.7456_-97.0892_2019-08-04.json", "TOP/31,80", "America/Chicago", "Linn, KS"},
    {"40.743_-74.029_OKX_2026-03_EDITED.json", "OKX/1,1", "America/New_York", "Hoboken, NJ"},
    {"41.212_-96.623_OAX_2024-12.json", "OAX/59,58", "America/Chicago", "Wahoo, NE"},
    {"42.745_-73.752_ALY_2026-07.json", "ALY/71,67", "America/New_York", "Latham, NY"},
    {"45_-93_MPX_2026-03_EDITED.json", "MPX/1,1", "America/Chicago", "South St. Paul, MN"},
    {"MPX_2026-07-20.json", "MPX/103,81", "America/Chicago", "Dayton, MN"},
};

enum class Where { nowhere, point, grid, alerts };

/// An error answer, the question that got it, and what a person is told.
struct RecordedError {
    std::string file;
    int status;
    Where where;
    std::string told;
};

const std::vector<RecordedError> kErrors{
    {"301_AdjustPointPrecision.json", 301, Where::point, "Adjusting Precision Of Point Coordinate"},
    {"400_InvalidParameter_alert_point.json", 400, Where::alerts,
     "answered 400: Invalid Parameter (Parameter \"point\" is invalid: out of bounds)"},
    {"404_InvalidPoint_a.json", 404, Where::point,
     "lies outside the area of the US National Weather Service"},
    {"404_InvalidPoint_b.json", 404, Where::point,
     "lies outside the area of the US National Weather Service"},
    {"404_MarineForecastNotSupported.json", 404, Where::grid, "the point lies in its marine areas"},
    {"404_NotFound.json", 404, Where::grid, "no longer knows the grid cell of Albany NY"},
    {"500_UnexpectedProblem_2019-08-05.json", 500, Where::grid,
     "answered 500: Unexpected Problem (An unexpected problem has occurred.)"},
    {"500_UnexpectedProblem_short.json", 500, Where::point,
     "answered 500: Unexpected Problem (An unexpected problem has occurred.)"},
    {"503_ForecastGridExpired_a.json", 503, Where::grid, "issued 2020-02-11T11:36:27+00:00 and has expired"},
    {"503_ForecastGridExpired_b.json", 503, Where::grid, "issued 2020-07-07T12:17:50+00:00 and has expired"},
    {"503_ServiceUnavailable.json", 503, Where::grid,
     "Service Unavailable (An upstream data source is temporarily unavailable. Please try again later.)"},
};

const std::vector<std::string> kAlertFiles{"active_heat_2026-07-15_subset.json", "active_zone_2020.json",
                                           "active_zone_second_2020.json", "empty.json"};

/// Answers of services that are not asked: the hourly and the twelve-hour forecast, derived from the grid.
const std::vector<std::string> kNotGridpoints{
    "forecast12h/SGX_38_66_2026-07-02.json",
    "forecast12h/gridpoints_forecast_empty_pynws_EDITED.json",
    "hourly/MPX_2026-07-20_first14.json",
    "hourly/SGX_38_66_2026-07-02.json",
    "hourly/gridpoints_hourly_empty_pynws_EDITED.json",
    "hourly_reanchored/ALY_71_67_2026-07-15.json",
    "hourly_reanchored/BOX_70_82_2026-07-15.json",
    "hourly_reanchored/HFO_154_145_2024-03-14.json",
    "hourly_reanchored/MPX_112_73_2026-03-04.json",
    "hourly_reanchored/OAX_59_58_2024-12-03.json",
    "hourly_reanchored/OKX_32_36_2026-03-04.json",
    "hourly_reanchored/SEW_96_55_2024-03-11.json",
};

const std::vector<std::string> kCensusFiles{"address-geographies_0.json", "address-locations_0.json",
                                            "coordinates_0.json", "onelineaddress_0.json"};

std::vector<Alert> alerts_of(const std::string& file) {
    return parse_nws_alerts(file, text_of("nws/alerts/" + file));
}

/// Albany's recorded answers at their own addresses, but one of them replaced by a recorded error.
Reading albany(const RecordedError& error) {
    const auto at = [](const std::string& target) {
        if (target.starts_with("/points/")) return Where::point;
        return target.starts_with("/gridpoints/") ? Where::grid : Where::alerts;
    };
    const testing::HttpServer server([&](const testing::Seen& seen) {
        testing::Reply reply;
        const Where where = at(seen.target);
        if (where == error.where) {
            reply.status = error.status;
            reply.content_type = "application/problem+json";
            reply.body = text_of("nws/errors/" + error.file);
        } else if (where == Where::point) {
            reply.body = text_of("nws/points/42.745_-73.752_ALY_2026-07.json");
        } else if (where == Where::grid) {
            reply.body = text_of("nws/gridpoints_reanchored/ALY_71_67_2026-07-15.json");
        } else {
            reply.body = text_of("nws/alerts/empty.json");
        }
        return reply;
    });
    const testing::TempFolder folder;
    const fetch::CurlTransport transport(
        {.user_agent = "mildway-test (test@example.org)", .first_wait = fetch::milliseconds(1)});
    const fetch::DiskCache cache(folder.path());
    const fetch::Fetcher fetcher(&transport, &cache,
                                 [] { return parse_instant("2026-07-15T19:00:00Z").value(); });
    const Place place{"Albany NY", 42.745, -73.752, "America/New_York"};
    return NwsSource(&fetcher, server.url()).read(std::span(&place, 1)).front();
}

/// As above, with every answer as it was recorded.
Reading albany() {
    return albany({"", 200, Where::nowhere, ""});
}

}  // namespace

TEST_CASE("recorded points name the cell the clock and the town that stand in the file") {
    if (!there()) return;
    for (const RecordedPoint& recorded : kPoints) {
        INFO(recorded.file);
        const NwsPoint point = parse_nws_point(recorded.file, text_of("nws/points/" + recorded.file));
        CHECK(point.gridpoint_url == "https://api.weather.gov/gridpoints/" + recorded.cell);
        CHECK(point.zone == recorded.zone);
        CHECK(point.nearby == recorded.nearby);
        CHECK_FALSE(point.marine);
        CHECK_NOTHROW(find_zone(point.zone));
    }
}

TEST_CASE("recorded warnings are all in force and as many as the file holds") {
    if (!there()) return;
    CHECK(alerts_of("active_heat_2026-07-15_subset.json").size() == 40);
    CHECK(alerts_of("active_zone_2020.json").size() == 1);
    CHECK(alerts_of("active_zone_second_2020.json").size() == 2);
    CHECK(alerts_of("empty.json").empty());
}

TEST_CASE("a recorded heat warning ends with the heat and not with its message") {
    if (!there()) return;
    const Alert first = alerts_of("active_heat_2026-07-15_subset.json").front();
    CHECK(first.event == "Extreme Heat Warning");
    CHECK(first.phenomenon == "XH");
    CHECK(first.severity == "Severe");
    CHECK(format_instant(first.begins) == "2026-07-15T19:58:00Z");
    CHECK(format_instant(first.ends.value()) ==
          "2026-07-17T02:59:59Z");  // its message expires at 11:29:59 on the 16th
    CHECK(first.headline ==
          "Extreme Heat Warning issued July 15 at 12:58PM MST until July 16 at 8:00PM MST by NWS Phoenix AZ");
}

TEST_CASE("recorded warnings without any end are open") {
    if (!there()) return;
    // "ends": null stands 21 times in the file, each in an air quality alert that carries no code
    const auto alerts = alerts_of("active_heat_2026-07-15_subset.json");
    CHECK(std::count_if(alerts.begin(), alerts.end(), [](const Alert& a) { return !a.ends.has_value(); }) ==
          21);
    CHECK(std::all_of(alerts.begin(), alerts.end(), [](const Alert& a) {
        return a.ends.has_value() != (a.event == "Air Quality Alert") &&
               a.phenomenon.empty() != a.ends.has_value();
    }));
}

TEST_CASE("a recorded warning to come begins at its onset") {
    if (!there()) return;
    const auto alerts = alerts_of("active_heat_2026-07-15_subset.json");
    const auto seattle = std::find_if(alerts.begin(), alerts.end(), [](const Alert& alert) {
        return alert.headline.find("NWS Seattle WA") != std::string::npos;
    });
    REQUIRE(seattle != alerts.end());
    CHECK(seattle->phenomenon == "FW");
    CHECK(format_instant(seattle->begins) == "2026-07-16T07:59:59Z");
    CHECK(format_instant(seattle->ends.value()) == "2026-07-17T05:59:59Z");
}

TEST_CASE("a recorded flood watch of 2019 is read in its local offset") {
    if (!there()) return;
    const Alert flood = alerts_of("active_zone_2020.json").front();
    CHECK(flood.event == "Flood Watch");
    CHECK(flood.phenomenon == "FA");
    CHECK(format_instant(flood.begins) == "2019-12-20T21:34:00Z");
    CHECK(format_instant(flood.ends.value()) == "2019-12-22T18:00:00Z");
}

TEST_CASE("recorded answers make a forecast without a doubt when nothing fails") {
    if (!there()) return;
    const Reading reading = albany();
    CHECK(reading.reason.empty());
    REQUIRE(reading.outlook.has_value());
    CHECK(reading.outlook->findings.empty());
    CHECK(reading.outlook->alerts_known);
    CHECK(format_instant(reading.outlook->issued) == "2026-07-15T18:36:45Z");
    CHECK(reading.outlook->cell_elevation_m == 111.8616);
    CHECK(reading.outlook->gust_m_per_s.front() == Approx(31.484 / 3.6).margin(1e-9));
}

TEST_CASE("each recorded error answer is told in words") {
    if (!there()) return;
    for (const RecordedError& error : kErrors) {
        INFO(error.file);
        const Reading reading = albany(error);
        if (error.where == Where::alerts) {
            REQUIRE(reading.outlook.has_value());
            CHECK_FALSE(reading.outlook->alerts_known);
            REQUIRE(reading.outlook->findings.size() == 1);
            CHECK_THAT(reading.outlook->findings[0], Catch::Contains(error.told));
        } else {
            CHECK_FALSE(reading.outlook.has_value());
            CHECK_THAT(reading.reason, Catch::Contains(error.told));
        }
    }
}

TEST_CASE("recorded forecasts of other kinds are not taken for gridpoint data") {
    if (!there()) return;
    for (const std::string& file : kNotGridpoints) {
        INFO(file);
        CHECK_THROWS_WITH(parse_gridpoint(file, text_of("nws/" + file)),
                          Catch::Contains("temperature: there is no such layer, or it is empty"));
    }
}

TEST_CASE("recorded addresses are found with x as the longitude and the ZIP code the geocoder knows") {
    if (!there()) return;
    for (const char* file :
         {"address-geographies_0.json", "address-locations_0.json", "onelineaddress_0.json"}) {
        INFO(file);
        const auto found = places::parse_census(file, text_of(std::string("census/") + file));
        REQUIRE(found.size() == 1);
        CHECK(found[0].place.name == "1600 PENNSYLVANIA AVE NW, WASHINGTON, DC, 20502");  // asked for 20500
        CHECK(found[0].place.latitude_deg == 38.898754);
        CHECK(found[0].place.longitude_deg == -77.03535);
    }
}

TEST_CASE("a recorded answer about coordinates is no answer about an address") {
    if (!there()) return;
    CHECK_THROWS_WITH(places::parse_census("coordinates", text_of("census/coordinates_0.json")),
                      Catch::Contains("/result: has no \"addressMatches\""));
}

TEST_CASE("every recording of the service and the geocoder is known to a test") {
    if (!there()) return;
    std::set<std::string> known;
    for (const RecordedPoint& point : kPoints) known.insert("nws/points/" + point.file);
    for (const RecordedError& error : kErrors) known.insert("nws/errors/" + error.file);
    for (const std::string& file : kAlertFiles) known.insert("nws/alerts/" + file);
    for (const std::string& file : kNotGridpoints) known.insert("nws/" + file);
    for (const std::string& file : kCensusFiles) known.insert("census/" + file);
    std::set<std::string> present;
    for (const char* folder : {"nws", "census"}) {
        for (const auto& entry : fs::recursive_directory_iterator(recordings() / folder)) {
            const std::string file = entry.path().lexically_relative(recordings()).string();
            // gridpoint_recordings_test.cpp walks these folders itself
            if (entry.is_regular_file() && file.find("nws/gridpoints") != 0) present.insert(file);
        }
    }
    CHECK(present == known);
}
