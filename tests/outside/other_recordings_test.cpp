// Real answers of MET Norway (CC BY 4.0), Open-Meteo (CC BY 4.0) and NCEI (US government work), as recorded
// by several public repositories. Values were read by eye from the files.
#include "mildway/base/errors.hpp"
#include "mildway/base/files.hpp"
#include "mildway/places/open_meteo_finder.hpp"
#include "mildway/weather/climate_normals.hpp"
#include "mildway/weather/met_norway.hpp"
#include "mildway/weather/open_meteo.hpp"

#include "catch.hpp"

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <map>
#include <set>
#include <string>
#include <vector>

#include <nlohmann/json.hpp>

using namespace mildway;
using namespace mildway::weather;
using Catch::Matchers::Contains;

namespace {

const std::filesystem::path kRecordings =
    std::filesystem::path(MILDWAY_SHARED_DATA).parent_path() / "weather/recorded";

bool there() {
    if (std::filesystem::exists(kRecordings)) return true;
    WARN("skipped: there are no recordings beside MILDWAY_SHARED_DATA");
    return false;
}

std::string text_of(const std::string& file) {
    return read_file(kRecordings / file, 8u << 20);
}

Outlook met_norway(const std::string& file) {
    return parse_met_norway(file, text_of(file));
}

Outlook open_meteo(const std::string& file, Basis basis = Basis::forecast) {
    return parse_open_meteo(file, text_of(file), basis, Instant{});
}

double from_f(double degrees_f) {
    return (degrees_f - 32) / 1.8;
}

double value(const Outlook& outlook, const std::vector<double>& series, const std::string& hour) {
    return outlook.at(series, parse_instant(hour).value());
}
double temp_c(const Outlook& outlook, const std::string& hour) {
    return value(outlook, outlook.temp_c.front(), hour);
}

/// A forecast by Open-Meteo for one place: from when to when, and the temperatures that stand at its ends.
struct Forecast {
    std::string file;
    std::string first_hour;
    std::string last_hour;
    double first_c;
    double last_c;
};

const std::vector<Forecast> kForecasts{
    {"mca_hrrr_2026-07-20", "2026-07-20T16:00:00Z", "2026-07-21T04:00:00Z", from_f(82.2), from_f(78.1)},
    {"melbourne_2025-05-09", "2025-05-09T00:00:00Z", "2025-05-15T23:00:00Z", 13.6, 13.4},
    {"ny_6pm_2025-12-28", "2025-12-28T00:00:00Z", "2026-01-10T23:00:00Z", -2.0, 7.8},
    {"ny_7pm_2025-12-29", "2025-12-29T00:00:00Z", "2026-01-11T23:00:00Z", -1.3, 2.5},
    {"nyc14d_2023-10-01_0500", "2023-10-01T04:00:00Z", "2023-10-15T03:00:00Z", from_f(60.5), from_f(60.7)},
    {"nyc14d_2024-07-04_1800", "2024-07-04T04:00:00Z", "2024-07-18T03:00:00Z", from_f(70.2), from_f(81.8)},
    {"nyc14d_2025-06-07_1100", "2025-06-07T04:00:00Z", "2025-06-21T03:00:00Z", from_f(77.4), from_f(79.7)},
    {"nyc14d_2025-07-27_0900", "2025-07-27T04:00:00Z", "2025-08-10T03:00:00Z", from_f(75.4), from_f(85.8)},
    // the clocks go back on 2 November: the labels stay 4 hours behind UTC
    {"nyc14d_2025-10-31_1300", "2025-10-31T04:00:00Z", "2025-11-14T03:00:00Z", from_f(59.6), from_f(49.8)},
    {"nyc14d_2026-02-21_1200", "2026-02-21T05:00:00Z", "2026-03-07T04:00:00Z", from_f(36.4), from_f(42.0)},
    {"nyc14d_2026-06-27_0500", "2026-06-27T04:00:00Z", "2026-07-11T03:00:00Z", from_f(75.3), from_f(88.1)},
};

/// Answers that are refused, and why.
const std::map<std::string, std::string> kRefused{
    {"open-meteo/errors/429_daily_limit_a.json",
     "Daily API request limit exceeded. Please try again tomorrow."},
    {"open-meteo/errors/502_bad_gateway_nginx.html", "it is not valid JSON"},
    {"open-meteo/errors/503_overloaded_a.json", "The service is overloaded"},
    {"open-meteo/errors/503_overloaded_b.json", "The service is overloaded"},
    {"open-meteo/errors/504_gateway_timeout_nginx.html", "it is not valid JSON"},
    {"open-meteo/forecast/cities_multi_2024-01-26.json",
     "is for several places; expected one"},  // read part by part
    {"open-meteo/forecast/models_three_suffixed.json", "by several models (gfs_seamless, icon_seamless, "},
    {"open-meteo/forecast/ruby_general.json", "holds no temperature_2m"},
    {"open-meteo/forecast/ruby_more_models.json", "holds no temperature_2m"},
};

/// Files that hold no answer: headers are the transport's matter, and column_metadata is another project's
/// description of the columns of a station file.
const std::set<std::string> kNotAnswers{
    "met-norway/compact_beijing_2020-07-20.headers.txt", "met-norway/compact_nyc_2020-07-20.headers.txt",
    "met-norway/complete_london_2020-07-20.headers.txt", "ncei/column_metadata_hourly_1991-2020.json",
    "open-meteo/forecast/ruby_general.headers.txt",      "open-meteo/forecast/ruby_more_models.headers.txt",
    "open-meteo/geocoding/hollywood_10.headers.txt",     "open-meteo/geocoding/hollywood_20.headers.txt",
};

/// Files with a test of their own below.
const std::set<std::string> kReadOneByOne{
    "met-norway/compact_innsbruck_2022-06-02.json",
    "met-norway/compact_nyc_2020-07-20.json",
    "met-norway/complete_london_2020-07-20.json",
    "ncei/hourly_normals_1981-2010_USW00094746.csv",
    "open-meteo/ensemble/amsterdam_2026-07-11_one_step.json",
    "open-meteo/ensemble/gem_21_members_2026-10-03.json",
    "open-meteo/geocoding/empty.json",
    "open-meteo/geocoding/hollywood_10.json",
    "open-meteo/historical/archive_amsterdam_2026-07.json",
    "open-meteo/previous-runs/previous_runs_2026-10-03.json",
};

}  // namespace

TEST_CASE("every recording of MET Norway Open-Meteo and NCEI is known to a test") {
    if (!there()) return;
    std::set<std::string> known(kNotAnswers);
    known.insert(kReadOneByOne.begin(), kReadOneByOne.end());
    for (const auto& [file, reason] : kRefused) known.insert(file);
    for (const Forecast& forecast : kForecasts)
        known.insert("open-meteo/forecast/" + forecast.file + ".json");
    std::set<std::string> found;
    for (const char* folder : {"met-norway", "open-meteo", "ncei"}) {
        for (const auto& entry : std::filesystem::recursive_directory_iterator(kRecordings / folder)) {
            if (entry.is_regular_file()) found.insert(entry.path().lexically_relative(kRecordings).string());
        }
    }
    CHECK(found == known);
}

TEST_CASE("recorded Open-Meteo forecasts hold the hours and temperatures of their files") {
    if (!there()) return;
    for (const Forecast& expected : kForecasts) {
        INFO(expected.file);
        const Outlook outlook = open_meteo("open-meteo/forecast/" + expected.file + ".json");
        CHECK(format_instant(outlook.first_hour) == expected.first_hour);
        CHECK(format_instant(outlook.last_known()) == expected.last_hour);
        CHECK(outlook.temp_c.front().front() == Approx(expected.first_c).margin(1e-9));
        CHECK(outlook.temp_c.front().back() == Approx(expected.last_c).margin(1e-9));
        CHECK(outlook.findings.empty());
    }
}

TEST_CASE("recorded answers that are no usable forecast are refused with the right reason") {
    if (!there()) return;
    for (const auto& [file, reason] : kRefused) {
        INFO(file);
        CHECK_THROWS_WITH(open_meteo(file), Contains(reason));
    }
}

TEST_CASE("layers of a recorded forecast stand at the right hours") {
    if (!there()) return;
    const Outlook outlook = open_meteo("open-meteo/forecast/ny_6pm_2025-12-28.json");
    // in the file: snowfall 0.5 (cm) is the sixth value, of the hour that ends at 05:00
    CHECK(value(outlook, outlook.snow_mm_per_h, "2025-12-28T04:00:00Z") == Approx(5).margin(1e-9));
    CHECK(value(outlook, outlook.snow_mm_per_h, "2025-12-28T03:00:00Z") == 0);
    // wind_speed_10m 5.9, 6.6 km/h; wind_gusts_10m 11.2, 16.6 km/h
    CHECK(value(outlook, outlook.wind_m_per_s, "2025-12-28T01:00:00Z") == Approx(6.6 / 3.6).margin(1e-9));
    CHECK(value(outlook, outlook.gust_m_per_s, "2025-12-28T00:00:00Z") == Approx(16.6 / 3.6).margin(1e-9));
    // cloud_cover 1, 44; 24 nulls from the 14th value on
    CHECK(value(outlook, outlook.cloud_fraction, "2025-12-28T01:00:00Z") == Approx(0.44).margin(1e-9));
    CHECK(std::isnan(value(outlook, outlook.cloud_fraction, "2025-12-28T13:00:00Z")));
    CHECK(std::count_if(outlook.cloud_fraction.begin(), outlook.cloud_fraction.end(),
                        [](double c) { return std::isnan(c); }) == 24);
}

TEST_CASE("a recorded forecast in miles and inches is converted under the old names") {
    if (!there()) return;
    const Outlook outlook = open_meteo("open-meteo/forecast/nyc14d_2026-02-21_1200.json");
    // windspeed_10m 3.3 mp/h; cloudcover 100; snowfall 0.083 inch is the 32nd value, label 2026-02-22T07:00
    // at -5 h
    CHECK(outlook.wind_m_per_s[0] == Approx(3.3 * 0.44704).margin(1e-9));
    CHECK(outlook.cloud_fraction[0] == 1);
    CHECK(value(outlook, outlook.snow_mm_per_h, "2026-02-22T11:00:00Z") == Approx(0.083 * 25.4).margin(1e-9));
}

TEST_CASE("a recorded answer for twelve cities is read city by city in order") {
    if (!there()) return;
    const auto cities = nlohmann::json::parse(text_of("open-meteo/forecast/cities_multi_2024-01-26.json"));
    REQUIRE(cities.size() == 12);
    const auto city = [&](std::size_t i) {
        return parse_open_meteo("city", cities[i].dump(), Basis::forecast, Instant{});
    };
    CHECK(city(0).temp_c.front()[0] == 11.9);
    CHECK(city(0).cell_latitude_deg == 51.6);
    CHECK(city(1).temp_c.front()[100] == 9.5);
    CHECK(city(11).temp_c.front().back() == 5.3);
    CHECK(city(11).hour_count() == 240);
}

TEST_CASE("a recorded ensemble of 21 members is kept as 21 members") {
    if (!there()) return;
    const Outlook outlook = open_meteo("open-meteo/ensemble/gem_21_members_2026-10-03.json", Basis::ensemble);
    REQUIRE(outlook.temp_c.size() == 21);
    CHECK(format_instant(outlook.first_hour) == "2026-10-03T00:00:00Z");
    CHECK(outlook.temp_c[0] == std::vector<double>{10.5, 10.1});  // the control
    CHECK(outlook.temp_c[4] == std::vector<double>{11.4, 10.8});
    CHECK(outlook.temp_c[14] == std::vector<double>{11.8, 11.3});
}

TEST_CASE("a recorded ensemble of one step is read at its hour in UTC") {
    if (!there()) return;
    const Outlook outlook =
        open_meteo("open-meteo/ensemble/amsterdam_2026-07-11_one_step.json", Basis::ensemble);
    REQUIRE(outlook.temp_c.size() == 31);
    CHECK(format_instant(outlook.first_hour) == "2026-07-10T22:00:00Z");  // midnight in Amsterdam
    CHECK(outlook.temp_c[30][0] == 19.1);
}

TEST_CASE("a recorded archive answer is read at its hour in UTC") {
    if (!there()) return;
    const Outlook outlook =
        open_meteo("open-meteo/historical/archive_amsterdam_2026-07.json", Basis::climate);
    CHECK(format_instant(outlook.first_hour) == "2024-05-31T22:00:00Z");
    CHECK(outlook.temp_c.front() == std::vector<double>{14.4});
}

TEST_CASE("of a recorded answer with previous runs the forecast itself is taken") {
    if (!there()) return;
    const Outlook outlook = open_meteo("open-meteo/previous-runs/previous_runs_2026-10-03.json");
    CHECK(outlook.temp_c.front() == std::vector<double>{13.8, 13.3, 12.1});
}

TEST_CASE("recorded geocoding results are places and none is none") {
    if (!there()) return;
    const auto found =
        places::parse_open_meteo_places("hollywood", text_of("open-meteo/geocoding/hollywood_10.json"));
    REQUIRE(found.size() == 10);
    CHECK(found[0].place.name == "Hollywood, Florida, United States");
    CHECK(found[0].place.latitude_deg == 26.0112);
    CHECK(found[0].place.longitude_deg == -80.14949);
    CHECK(found[0].place.elevation_m == 3);
    CHECK(found[3].place.zone == "America/Chicago");
    CHECK(found[5].place.name == "Peggy, Texas, United States");
    CHECK(places::parse_open_meteo_places("empty", text_of("open-meteo/geocoding/empty.json")).empty());
}

TEST_CASE("the recorded MET Norway answer for London reaches its lows between the steps") {
    if (!there()) return;
    const Outlook outlook = met_norway("met-norway/complete_london_2020-07-20.json");
    CHECK(format_instant(outlook.issued) == "2020-07-20T01:30:57Z");
    CHECK(format_instant(outlook.first_hour) == "2020-07-20T11:00:00Z");
    CHECK(format_instant(outlook.last_known()) == "2020-07-29T06:00:00Z");
    CHECK(outlook.cell_elevation_m == 25);
    CHECK(temp_c(outlook, "2020-07-20T12:00:00Z") == 19.6);
    CHECK(temp_c(outlook, "2020-07-22T17:00:00Z") == 23.2);  // the last hourly step
    CHECK(temp_c(outlook, "2020-07-23T00:00:00Z") == 14.8);
    CHECK(temp_c(outlook, "2020-07-23T06:00:00Z") == 13.5);
    double night_c = 100;
    for (const char* hour : {"01", "02", "03", "04", "05"})
        night_c = std::min(night_c, temp_c(outlook, std::string("2020-07-23T") + hour + ":00:00Z"));
    CHECK(night_c == Approx(11.8).margin(1e-9));  // air_temperature_min of the step at 00:00
    CHECK(value(outlook, outlook.wind_m_per_s, "2020-07-23T06:00:00Z") == 3.4);
    CHECK(value(outlook, outlook.cloud_fraction, "2020-07-23T06:00:00Z") == Approx(0.492).margin(1e-9));
    CHECK(value(outlook, outlook.snow_mm_per_h, "2020-07-23T06:00:00Z") == 0);    // fair
    CHECK(value(outlook, outlook.fog_probability, "2020-07-22T18:00:00Z") == 0);  // the last that is given
    CHECK(std::isnan(value(outlook, outlook.fog_probability, "2020-07-22T19:00:00Z")));
    CHECK(outlook.extra_error_k.empty());  // the extremes are known throughout
}

TEST_CASE("the recorded MET Norway answer for New York is less certain between its coarse steps") {
    if (!there()) return;
    const Outlook outlook = met_norway("met-norway/compact_nyc_2020-07-20.json");
    CHECK(format_instant(outlook.first_hour) == "2020-07-20T11:00:00Z");
    CHECK(outlook.temp_c.front()[1] == 27.9);
    CHECK(temp_c(outlook, "2020-07-23T00:00:00Z") == 26.7);
    CHECK(temp_c(outlook, "2020-07-23T03:00:00Z") == Approx((26.7 + 24.9) / 2).margin(1e-9));
    CHECK(temp_c(outlook, "2020-07-29T06:00:00Z") == 24.7);
    CHECK(value(outlook, outlook.extra_error_k, "2020-07-22T17:00:00Z") == 0);
    CHECK(value(outlook, outlook.extra_error_k, "2020-07-23T03:00:00Z") == kCoarseStepErrorK);
    CHECK(outlook.ice_mm_per_h[0] == 0);
}

TEST_CASE("the recorded MET Norway answer for Innsbruck is read to its last step") {
    if (!there()) return;
    const Outlook outlook = met_norway("met-norway/compact_innsbruck_2022-06-02.json");
    CHECK(format_instant(outlook.issued) == "2022-06-02T13:38:21Z");
    CHECK(format_instant(outlook.first_hour) == "2022-06-02T14:00:00Z");
    CHECK(format_instant(outlook.last_known()) == "2022-06-12T00:00:00Z");
    CHECK(outlook.cell_elevation_m == 585);
    CHECK(outlook.temp_c.front()[0] == 20.0);
    CHECK(temp_c(outlook, "2022-06-05T06:00:00Z") == 17.1);
    CHECK(temp_c(outlook, "2022-06-12T00:00:00Z") == 15.1);
    CHECK(outlook.findings.empty());
}

TEST_CASE("the recorded hourly normals of Worcester are those of the file") {
    if (!there()) return;
    const std::string file = "ncei/hourly_normals_1981-2010_USW00094746.csv";
    const HourlyNormals normals = parse_hourly_normals(file, text_of(file));
    CHECK(normals.station == "USW00094746");
    CHECK(normals.latitude_deg == 42.2706);
    CHECK(normals.elevation_m == 304.8);
    const auto hour = [](int day_of_year, int clock) {
        return static_cast<std::size_t>((day_of_year - 1) * 24 + clock);
    };
    CHECK(normals.normal_c[hour(1, 0)] == Approx(from_f(24.6)).margin(1e-9));
    CHECK(normals.low_c[hour(1, 0)] == Approx(from_f(10.0)).margin(1e-9));
    CHECK(normals.high_c[hour(1, 0)] == Approx(from_f(37.0)).margin(1e-9));
    CHECK(normals.normal_c[hour(20, 5)] == Approx(from_f(20.2)).margin(1e-9));    // 20 January 05:00
    CHECK(normals.normal_c[hour(59, 12)] == Approx(from_f(33.0)).margin(1e-9));   // 28 February 12:00
    CHECK(normals.normal_c[hour(196, 15)] == Approx(from_f(77.5)).margin(1e-9));  // 15 July 15:00
    CHECK(normals.normal_c[hour(365, 23)] == Approx(from_f(25.9)).margin(1e-9));
}
