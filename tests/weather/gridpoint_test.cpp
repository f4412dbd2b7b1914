#include "mildway/weather/gridpoint.hpp"

#include "mildway/base/errors.hpp"
#include "mildway/base/files.hpp"

#include "catch.hpp"

#include <cmath>
#include <filesystem>
#include <map>
#include <string>

using namespace mildway;
using namespace mildway::weather;

namespace {

const std::filesystem::path kFixtures = std::filesystem::path(MILDWAY_SOURCE_DIR) / "fixtures/weather";

Gridpoint parse_fixture(const std::string& file) {
    return parse_gridpoint(file, read_file(kFixtures / file, 1 << 20));
}

/// Five hours from 05:00Z on with a layer of weather.
std::string with_weather(const std::string& values) {
    return R"({"properties": {"updateTime": "2027-03-01T05:00:00Z", "temperature": {"uom": "degC", "values": [
            {"validTime": "2027-03-01T05:00:00Z/PT5H", "value": 1}]}, "weather": {"values": [)" +
           values + "]}}}";
}

Place at(double latitude_deg, double longitude_deg) {
    return {"somewhere", latitude_deg, longitude_deg, ""};
}

}  // namespace

TEST_CASE("a gridpoint answer says who made it and when") {
    const Outlook outlook = parse_fixture("plain_cell.json").outlook;
    CHECK(outlook.source == "US National Weather Service");
    CHECK(outlook.origin == "plain_cell.json");
    CHECK(outlook.basis == Basis::forecast);
    CHECK(format_instant(outlook.issued) == "2027-03-01T10:12:00Z");
}

TEST_CASE("merged runs expand to one temperature an hour") {
    const Outlook outlook = parse_fixture("plain_cell.json").outlook;
    CHECK(format_instant(outlook.first_hour) == "2027-03-01T06:00:00Z");
    REQUIRE(outlook.temp_c.size() == 1);
    CHECK(outlook.temp_c.front() == std::vector<double>{1, 1, 2.5, 4, 4, 4});
}

TEST_CASE("cloud and thunder come as shares and end where they end") {
    const Outlook outlook = parse_fixture("plain_cell.json").outlook;
    REQUIRE(outlook.cloud_fraction.size() == 6);
    CHECK(outlook.cloud_fraction[0] == Approx(0.25).margin(1e-12));
    CHECK(outlook.cloud_fraction[3] == Approx(0.80).margin(1e-12));
    CHECK(std::isnan(outlook.cloud_fraction[4]));
    CHECK(outlook.thunder_probability[5] == Approx(0.15).margin(1e-12));
}

TEST_CASE("wind in km an hour is converted and cut to the hours of the temperature") {
    const Outlook outlook = parse_fixture("plain_cell.json").outlook;
    REQUIRE(outlook.wind_m_per_s.size() == 6);
    CHECK(outlook.wind_m_per_s[1] == Approx(5).margin(1e-12));
    CHECK(outlook.wind_m_per_s[5] == Approx(10).margin(1e-12));
}

TEST_CASE("gusts are read like the wind") {
    const Outlook outlook = parse_fixture("plain_cell.json").outlook;
    REQUIRE(outlook.gust_m_per_s.size() == 6);
    CHECK(outlook.gust_m_per_s[0] == Approx(12.5).margin(1e-12));  // 45 km/h
    CHECK(std::isnan(outlook.gust_m_per_s[2]));
}

TEST_CASE("a cell tells its height and its middle") {
    const Outlook outlook = parse_fixture("plain_cell.json").outlook;
    CHECK(outlook.cell_elevation_m == 417.5);
    CHECK(outlook.cell_latitude_deg.value() == Approx(40.0).margin(1e-9));
    CHECK(outlook.cell_longitude_deg.value() == Approx(-100.0).margin(1e-9));
}

TEST_CASE("a height in feet or of null is unknown") {
    CHECK_FALSE(parse_fixture("old_units.json").outlook.cell_elevation_m.has_value());           // null
    CHECK_FALSE(parse_fixture("unordered_with_gap.json").outlook.cell_elevation_m.has_value());  // feet
}

TEST_CASE("a cell without an outline has no middle") {
    CHECK_FALSE(parse_fixture("unordered_with_gap.json").outlook.cell_latitude_deg.has_value());
}

TEST_CASE("the middle of a cell across the date line lies in it") {
    const std::string text = R"({"geometry": {"type": "Polygon", "coordinates":
            [[[179.98, 51], [-179.98, 51], [-179.98, 52], [179.98, 52], [179.98, 51]]]},
        "properties": {"updateTime": "2027-03-01T05:00:00Z", "temperature": {"uom": "degC", "values": [
            {"validTime": "2027-03-01T05:00:00Z/PT3H", "value": 1}]}}})";
    const Outlook outlook = parse_gridpoint("inline", text).outlook;
    CHECK(std::abs(outlook.cell_longitude_deg.value()) == Approx(180).margin(1e-9));
    CHECK(outlook.cell_latitude_deg.value() == Approx(51.5).margin(1e-9));
}

TEST_CASE("an outline other than a polygon is none") {
    const std::string text = R"({"geometry": {"type": "Point", "coordinates": [-100, 40]},
        "properties": {"updateTime": "2027-03-01T05:00:00Z", "temperature": {"uom": "degC", "values": [
            {"validTime": "2027-03-01T05:00:00Z/PT3H", "value": 1}]}}})";
    CHECK(parse_gridpoint("inline", text).cell.empty());
}

TEST_CASE("an old time of issue comes through as it is and is not refused here") {
    const std::string text = R"({"properties": {"updateTime": "2027-02-25T14:00:00Z",
        "temperature": {"uom": "degC", "values": [{"validTime": "2027-03-01T05:00:00Z/PT3H", "value": 1}]}}})";
    CHECK(format_instant(parse_gridpoint("inline", text).outlook.issued) == "2027-02-25T14:00:00Z");
}

TEST_CASE("totals of snow and ice become mean rates and are unknown where nothing is forecast") {
    const Outlook outlook = parse_fixture("plain_cell.json").outlook;
    CHECK(outlook.snow_mm_per_h[0] == Approx(2).margin(1e-12));
    CHECK(outlook.snow_mm_per_h[3] == Approx(2).margin(1e-12));
    CHECK(std::isnan(outlook.snow_mm_per_h[4]));
    CHECK(outlook.ice_mm_per_h[5] == Approx(0.1).margin(1e-12));
}

TEST_CASE("fog is as likely as the word of its coverage") {
    const Outlook outlook = parse_gridpoint("inline", with_weather(R"(
            {"validTime": "2027-03-01T05:00:00Z/PT1H", "value": [{"weather": null, "coverage": null}]},
            {"validTime": "2027-03-01T06:00:00Z/PT1H", "value": [{"weather": "fog", "coverage": "patchy"}]},
            {"validTime": "2027-03-01T07:00:00Z/PT1H", "value": [
                {"weather": "rain", "coverage": "definite"}, {"weather": "freezing_fog", "coverage": "areas"},
                {"weather": "fog", "coverage": "patchy"}]},
            {"validTime": "2027-03-01T08:00:00Z/PT1H", "value": [{"weather": "snow", "coverage": "likely"}]},
            {"validTime": "2027-03-01T09:00:00Z/PT1H", "value": [{"weather": "fog", "coverage": "widespread"}]})"))
                                .outlook;
    CHECK(outlook.fog_probability == std::vector<double>{0, 0.25, 0.5, 0, 0.9});
}

TEST_CASE("fog without a known word of coverage is as likely as not") {
    const Outlook outlook = parse_gridpoint("inline", with_weather(R"(
            {"validTime": "2027-03-01T05:00:00Z/PT1H", "value": [{"weather": "fog", "coverage": null}]},
            {"validTime": "2027-03-01T06:00:00Z/PT4H", "value": [{"weather": "fog", "coverage": "here_and_there"}]})"))
                                .outlook;
    CHECK(outlook.fog_probability == std::vector<double>(5, 0.5));
}

TEST_CASE("where the weather is a null or an empty list or not given fog is unknown") {
    const Outlook outlook = parse_gridpoint("inline", with_weather(R"(
            {"validTime": "2027-03-01T05:00:00Z/PT1H", "value": null},
            {"validTime": "2027-03-01T06:00:00Z/PT1H", "value": []},
            {"validTime": "2027-03-01T07:00:00Z/PT1H", "value": [{"weather": null}]})"))
                                .outlook;
    CHECK(std::isnan(outlook.fog_probability[0]));
    CHECK(std::isnan(outlook.fog_probability[1]));
    CHECK(outlook.fog_probability[2] == 0);
    CHECK(std::isnan(outlook.fog_probability[3]));
    CHECK(std::isnan(parse_fixture("plain_cell.json").outlook.fog_probability[0]));
}

TEST_CASE("weather in another form is refused with its place") {
    CHECK_THROWS_WITH(parse_gridpoint("inline", with_weather(R"(
            {"validTime": "2027-03-01T05:00:00Z/PT1H", "value": "fog"})")),
                      Catch::Contains("/properties/weather/values/0/value"));
    CHECK_THROWS_WITH(parse_gridpoint("inline", with_weather(R"(
            {"validTime": "2027-03-01T05:00:00Z/PT2H", "value": []},
            {"validTime": "2027-03-01T06:00:00Z/PT1H", "value": []})")),
                      Catch::Contains("weather: two values claim the time"));
}

TEST_CASE("degrees Fahrenheit labelled as such are converted") {
    const Outlook outlook = parse_fixture("old_units.json").outlook;
    CHECK(outlook.temp_c.front()[0] == Approx(10).margin(1e-9));
    CHECK(outlook.temp_c.front()[2] == Approx(-5).margin(1e-9));
}

TEST_CASE("wind in m a second is taken as it is") {
    CHECK(parse_fixture("old_units.json").outlook.wind_m_per_s[0] == Approx(5).margin(1e-12));
}

TEST_CASE("a missing an empty and a null layer are all unknown and never none") {
    const Outlook outlook = parse_fixture("old_units.json").outlook;
    CHECK(std::isnan(outlook.cloud_fraction[0]));
    CHECK(std::isnan(outlook.snow_mm_per_h[0]));
    CHECK(std::isnan(outlook.ice_mm_per_h[0]));
    CHECK(std::isnan(outlook.thunder_probability[0]));
}

TEST_CASE("intervals out of order are put in order") {
    const Outlook outlook = parse_fixture("unordered_with_gap.json").outlook;
    CHECK(format_instant(outlook.first_hour) == "2027-03-01T06:00:00Z");
    CHECK(outlook.temp_c.front()[1] == 1);
    CHECK(outlook.temp_c.front()[7] == 3);
}

TEST_CASE("a gap stays unknown and is told") {
    const Outlook outlook = parse_fixture("unordered_with_gap.json").outlook;
    REQUIRE(outlook.hour_count() == 8);
    for (std::size_t hour = 2; hour < 6; ++hour) CHECK(std::isnan(outlook.temp_c.front()[hour]));
    REQUIRE(outlook.findings.size() == 1);
    CHECK(outlook.findings[0] == "no temperature from 2027-03-01T08:00:00Z to 2027-03-01T12:00:00Z");
}

TEST_CASE("values of intervals that are not whole hours land on whole hours") {
    const std::string text = R"({"properties": {"updateTime": "2027-03-01T05:00:00Z",
        "temperature": {"uom": "degC", "values": [
            {"validTime": "2027-03-01T05:40:00Z/PT50M", "value": 1}, {"validTime": "2027-03-01T06:30:00Z/PT90M", "value": 3}]},
        "snowfallAmount": {"uom": "mm", "values": [{"validTime": "2027-03-01T06:30:00Z/PT30M", "value": 4}]}}})";
    const Outlook outlook = parse_gridpoint("inline", text).outlook;
    CHECK(format_instant(outlook.first_hour) == "2027-03-01T06:00:00Z");
    CHECK(outlook.temp_c.front() == std::vector<double>{1, 3});
    CHECK(outlook.snow_mm_per_h[0] == Approx(8).margin(1e-12));  // the rate while it is known to fall
}

TEST_CASE("a cell contains its middle and its border but not its surroundings") {
    const Gridpoint cell = parse_fixture("plain_cell.json");
    CHECK(cell.contains(at(40.0, -100.0)));
    CHECK(cell.contains(at(39.99, -100.02)));    // a corner
    CHECK(cell.contains(at(39.985, -100.005)));  // on the southern edge
    CHECK_FALSE(cell.contains(at(39.98, -100.01)));
    CHECK_FALSE(cell.contains(at(40.0, -99.9)));
    CHECK_FALSE(cell.contains(at(40.05, -100.0)));
}

TEST_CASE("an answer without an outline contains no place") {
    CHECK_FALSE(parse_fixture("unordered_with_gap.json").contains(at(40.0, -100.0)));
}

TEST_CASE("a cell across the date line contains places on both sides") {
    Gridpoint cell;
    cell.cell = {{179.9, 51}, {-179.9, 51}, {-179.9, 52}, {179.9, 52}, {179.9, 51}};
    CHECK(cell.contains(at(51.5, 179.95)));
    CHECK(cell.contains(at(51.5, -179.95)));
    CHECK_FALSE(cell.contains(at(51.5, 0)));
}

TEST_CASE("each faulty answer is refused with its file and its fault") {
    // file of fixtures/weather/bad, what the message must say
    const std::map<std::string, std::string> faults{
        {"all_null_temperature", "temperature: holds no value at any hour"},
        {"cut_short", "it is cut short: the JSON does not end"},
        {"empty_temperature", "temperature: there is no such layer, or it is empty"},
        {"error_answer", "an error answer of the service, not a forecast: Unexpected Problem (An unexpected"},
        {"fahrenheit_as_celsius", "looks like degrees Fahrenheit"},
        {"fahrenheit_as_celsius_in_spring", "a mean of 48 degC over 72 hours, hotter than any place"},
        {"fahrenheit_as_celsius_in_winter", "looks like degrees Fahrenheit"},
        {"four_hundred_hours", "temperature: covers 400 hours; a forecast has at most 384"},
        {"hot_as_an_oven",
         "temperature: 200 degC at 2027-03-01T08:00:00Z is outside what air can be (-70 to 60 degC)"},
        {"gust_of_a_bomb", "windGust: 250 m/s at 2027-03-01T06:00:00Z is outside what can be (0 to 115 m/s)"},
        {"html_page", "it is not valid JSON (line 1)"},
        {"interval_from_now", "'NOW/PT6H' is not an interval"},
        {"interval_missing", "/properties/temperature/values/0: has no \"validTime\""},
        {"interval_of_no_length", "it must last longer than nothing"},
        {"jump_in_an_hour", "temperature: a jump from 12 to 34 degC in the hour to 2027-03-01T08:00:00Z"},
        {"layer_stands_twice", "/properties/temperature: stands twice"},
        {"list_at_the_top", "list_at_the_top: is a list; expected an object"},
        {"month_long_interval", "'P1M' is not a duration"},
        {"nan_value", "it is not valid JSON (line 7)"},
        {"negative_snow", "snowfallAmount: -0.5 mm/h at 2027-03-01T06:00:00Z is outside"},
        {"nested_too_deep", "it is nested more than 32 deep"},
        {"no_properties", "this is not a forecast: there is no \"properties\""},
        {"no_temperature", "temperature: there is no such layer, or it is empty"},
        {"no_unit", "temperature: the unit is ''; expected 'degC' or 'degF'"},
        {"no_update_time", "updateTime: is missing"},
        {"not_json", "it is not valid JSON (line 6)"},
        {"number_beyond_bounds", "it holds a number beyond all bounds (line 7)"},
        {"outline_of_text", "/geometry/coordinates/0/0/0: is text; expected a number"},
        {"outline_of_two_corners", "geometry: the outline of the cell has fewer than four points"},
        {"outline_off_the_globe", "geometry: -100.02, 139.99 is not a longitude and a latitude"},
        {"overlapping_hours", "temperature: two values claim the time from 2027-03-01T09:00:00Z"},
        {"properties_is_text", "/properties: is a list; expected an object"},
        {"sky_over_full", "skyCover: 2.5 at 2027-03-01T06:00:00Z is outside what can be (0 to 1)"},
        {"temperature_is_a_number", "/properties/temperature: is a number; expected an object"},
        {"text_for_a_value", "/properties/temperature/values/0/value: is text; expected a number"},
        {"thirty_one_days", "temperature: covers 746 hours; a forecast has at most 384"},
        {"unknown_unit", "temperature: the unit is 'wmoUnit:degN'; expected 'degC' or 'degF'"},
        {"unknown_wind_unit", "windSpeed: the unit is 'wmoUnit:furlong'; expected 'km_h-1' or 'm_s-1'"},
        {"unreadable_interval",
         "/properties/temperature/values/1/validTime: 'tomorrow/PT2H' is not an interval"},
        {"unreadable_update_time", "updateTime: 'this morning' is not a time"},
        {"value_missing", "/properties/temperature/values/0: has no \"value\""},
        {"value_stands_twice", "/properties/temperature/values/0/value: stands twice"},
    };
    for (const auto& entry : std::filesystem::directory_iterator(kFixtures / "bad")) {
        const std::string name = entry.path().stem().string();
        INFO(name);
        REQUIRE(faults.count(name) == 1);
        std::string message = "nothing was refused";
        try {
            (void)parse_gridpoint(name, read_file(entry.path(), 1 << 20));
        } catch (const WeatherError& error) {
            message = error.what();
        }
        CHECK_THAT(message, Catch::StartsWith(name + ": ") && Catch::Contains(faults.at(name)));
    }
    CHECK(std::distance(std::filesystem::directory_iterator(kFixtures / "bad"), {}) ==
          static_cast<std::ptrdiff_t>(faults.size()));
}

TEST_CASE("one hot value in an ordinary series is not put down to Fahrenheit") {
    CHECK_THROWS_WITH(parse_fixture("bad/hot_as_an_oven.json"), !Catch::Contains("Fahrenheit"));
}

TEST_CASE("an answer far larger than any real one is refused unread") {
    CHECK_THROWS_WITH(parse_gridpoint("huge", std::string((8u << 20) + 1, ' ')),
                      Catch::Contains("it has 8388609 bytes; expected at most 8388608"));
}
