// Real answers of the US National Weather Service (US government work), as recorded by several public
// repositories.
#include "mildway/base/errors.hpp"
#include "mildway/base/files.hpp"
#include "mildway/weather/gridpoint.hpp"

#include "catch.hpp"

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <string>
#include <vector>

using namespace mildway;
using namespace mildway::weather;

namespace {

std::filesystem::path recordings() {
    return std::filesystem::path(MILDWAY_SHARED_DATA).parent_path() / "weather/recorded/nws";
}

bool there() {
    if (std::filesystem::exists(recordings())) return true;
    WARN("skipped: there are no recordings beside MILDWAY_SHARED_DATA");
    return false;
}

Gridpoint parse(const std::string& file) {
    return parse_gridpoint(file, read_file(recordings() / file, 8u << 20));
}

std::size_t index_of(const Outlook& outlook, const std::string& hour) {
    return static_cast<std::size_t>((parse_instant(hour).value() - outlook.first_hour) / hours(1));
}

}  // namespace

TEST_CASE("every unedited recording is read without a gap for at least six days") {
    if (!there()) return;
    std::vector<std::filesystem::path> files;
    for (const char* folder : {"gridpoints", "gridpoints_reanchored"}) {
        for (const auto& entry : std::filesystem::directory_iterator(recordings() / folder)) {
            files.push_back(entry.path().lexically_relative(recordings()));
        }
    }
    REQUIRE(files.size() >= 12);
    for (const auto& file : files) {
        INFO(file.string());
        const Outlook outlook = parse(file.string()).outlook;
        CHECK(outlook.hour_count() >= 24 * 6);
        CHECK(outlook.findings.empty());
        CHECK_FALSE(outlook.first_unknown(outlook.first_hour, outlook.end() - hours(1)).has_value());
        CHECK(outlook.issued >= outlook.first_hour);
    }
}

TEST_CASE("temperatures of recordings are those that stand in the file") {
    if (!there()) return;
    // read by eye; the runs are merged in the files
    struct Spot {
        std::string file;
        std::string hour;
        double temp_c;
    };
    const std::vector<Spot> spots{
        {"gridpoints/RAH_67_53_2019-01-23.json", "2019-01-25T02:00:00Z", 5},
        {"gridpoints/TAE_58_65_2022-02-04.json", "2022-02-07T03:00:00Z", 9.4444444},  // third hour of a run
        {"gridpoints_reanchored/MPX_112_73_2026-03-04.json", "2026-03-09T12:00:00Z", 7.2222222},
        {"gridpoints_reanchored/MPX_112_73_2026-03-04.json", "2026-03-09T13:00:00Z", 7.7777778},
        {"gridpoints_reanchored/FWD_89_104_2024-10-01.json", "2024-10-01T21:00:00Z", 33.8888889},
        {"gridpoints_reanchored/HFO_154_145_2024-03-14.json", "2024-03-14T17:00:00Z", 21.6666667},
    };
    for (const Spot& spot : spots) {
        INFO(spot.file << " " << spot.hour);
        const Outlook outlook = parse(spot.file).outlook;
        CHECK(outlook.temp_c.front().at(index_of(outlook, spot.hour)) == Approx(spot.temp_c).margin(1e-6));
    }
}

TEST_CASE("wind of recordings is read in the unit of its time") {
    if (!there()) return;
    const Outlook old = parse("gridpoints/RAH_67_53_2019-01-23.json").outlook;  // m/s
    CHECK(old.wind_m_per_s.at(index_of(old, "2019-01-23T18:00:00Z")) == Approx(2.57222).margin(1e-6));
    const Outlook recent = parse("gridpoints_reanchored/LZK_83_73_2024-02-20.json").outlook;  // 27.78 km/h
    CHECK(recent.wind_m_per_s.at(index_of(recent, "2024-02-22T19:00:00Z")) == Approx(7.71667).margin(1e-4));
}

TEST_CASE("snow of a recording is spread over its six hours") {
    if (!there()) return;
    const Outlook outlook = parse("gridpoints_reanchored/MPX_112_73_2026-03-04.json").outlook;
    // 2.54 mm from 06:00Z to 12:00Z on 7 March, nothing before and after
    CHECK(outlook.snow_mm_per_h.at(index_of(outlook, "2026-03-07T05:00:00Z")) == 0);
    CHECK(outlook.snow_mm_per_h.at(index_of(outlook, "2026-03-07T06:00:00Z")) ==
          Approx(0.423333).margin(1e-6));
    CHECK(outlook.snow_mm_per_h.at(index_of(outlook, "2026-03-07T11:00:00Z")) ==
          Approx(0.423333).margin(1e-6));
    CHECK(outlook.snow_mm_per_h.at(index_of(outlook, "2026-03-07T12:00:00Z")) == 0);
}

TEST_CASE("shares of recordings are read and layers without values stay unknown") {
    if (!there()) return;
    const Outlook omaha = parse("gridpoints_reanchored/OAX_59_58_2024-12-03.json").outlook;
    CHECK(omaha.cloud_fraction.at(index_of(omaha, "2024-12-02T22:00:00Z")) == Approx(0.76).margin(1e-9));
    const Outlook seattle = parse("gridpoints_reanchored/SEW_96_55_2024-03-11.json").outlook;
    CHECK(seattle.thunder_probability.at(index_of(seattle, "2024-03-11T19:00:00Z")) ==
          Approx(0.08).margin(1e-9));
    const Outlook honolulu = parse("gridpoints_reanchored/HFO_154_145_2024-03-14.json").outlook;
    CHECK(std::all_of(honolulu.thunder_probability.begin(), honolulu.thunder_probability.end(),
                      [](double p) { return std::isnan(p); }));
}

TEST_CASE("fog of recordings is told by the words that stand in the file") {
    if (!there()) return;
    // Minneapolis: "areas" of fog from 12:00Z for four hours, "patchy" fog from 09:00Z on the next day for
    // four
    const Outlook outlook = parse("gridpoints_reanchored/MPX_112_73_2026-03-04.json").outlook;
    const auto fog = [&](const char* hour) { return outlook.fog_probability.at(index_of(outlook, hour)); };
    CHECK(fog("2026-03-04T15:00:00Z") == 0.5);
    CHECK(fog("2026-03-04T16:00:00Z") == 0);
    CHECK(fog("2026-03-05T08:00:00Z") == 0);
    CHECK(fog("2026-03-05T12:00:00Z") == 0.25);
    CHECK(std::count_if(outlook.fog_probability.begin(), outlook.fog_probability.end(),
                        [](double p) { return p > 0; }) == 8);
}

TEST_CASE("a recorded cell holds the point it was asked for") {
    if (!there()) return;
    // nws/points/42.745_-73.752_ALY_2026-07.json names the cell ALY 71,67 for this point
    const Gridpoint albany = parse("gridpoints_reanchored/ALY_71_67_2026-07-15.json");
    CHECK(albany.contains({"asked for", 42.745, -73.752, "America/New_York"}));
    CHECK_FALSE(albany.contains({"5 km north", 42.79, -73.752, "America/New_York"}));
}

TEST_CASE("the recording with an edited 200 degC is refused for that value") {
    if (!there()) return;
    CHECK_THROWS_WITH(
        parse("gridpoints_edited/SEW_125_68_2026-03-04_EDITED.json"),
        Catch::Contains("temperature: 200 degC at 2026-03-04T16:00:00Z is outside what air can be"));
}

TEST_CASE("the recorded error answers of the service are not taken for forecasts") {
    if (!there()) return;
    for (const auto& entry : std::filesystem::directory_iterator(recordings() / "errors")) {
        const std::string file = entry.path().lexically_relative(recordings()).string();
        INFO(file);
        CHECK_THROWS_AS(parse(file), WeatherError);
    }
}
